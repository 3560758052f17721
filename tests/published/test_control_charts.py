"""The chart of the control frame against the worked examples of the e-Handbook.

Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 (individuals) and 6.3.2.4 (EWMA), its data and answers
as printed there. Both run through `reduction.chart`, the code that judges and draws the frame in the walk.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest

from fieldtui.reduction.chart import Chart, Limits, limits_of

FLOW = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)
"""6.3.2.2: ten batches."""
EWMA_DATA = (52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, *FLOW)
EWMA = (
    50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33,
    50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
)  # fmt: skip
START = datetime(2031, 5, 4, tzinfo=UTC)


def run(chart: Chart, values: tuple[float, ...]) -> Chart:
    for day, value in enumerate(values):
        chart = chart.after(START + timedelta(days=day), f"survey {day + 1}", value)
    return chart


def test_individuals_limits_of_the_handbook() -> None:
    limits = limits_of(FLOW)
    assert limits.centre == pytest.approx(50.81, abs=1e-9)
    assert limits.centre + limits.half_width == pytest.approx(55.8041, abs=5e-5)
    assert limits.centre - limits.half_width == pytest.approx(45.8159, abs=5e-5)
    assert (limits.ranges, limits.left_out) == (9, 0)


def test_a_chart_freezes_those_very_limits_from_its_first_ten_values() -> None:
    chart = run(Chart(size=10), FLOW)
    assert chart.limits == limits_of(FLOW)
    later = run(chart, (58.0, 50.0))
    assert later.limits == chart.limits, "frozen"
    assert [point.outside for point in later.points] == [False] * 10 + [True, False]


def test_the_weighted_mean_of_the_handbook() -> None:
    chart = run(Chart(limits=Limits(50.0, 2.0539, weight=0.3)), EWMA_DATA)
    assert [round(point.ewma or 0.0, 2) for point in chart.points] == list(EWMA)
    assert chart.limits is not None
    assert 50 + chart.limits.ewma_half_width == pytest.approx(52.5884, abs=5e-5)
    assert 50 - chart.limits.ewma_half_width == pytest.approx(47.4115, abs=5e-4)
    assert not any(point.drifted or point.outside for point in chart.points)


def test_a_moving_range_over_three_and_a_half_times_their_mean_is_left_out() -> None:
    # Nelson 1982: a single jump must not widen the limits
    quiet = (0.0, 1.0) * 10
    ranges = [abs(later - earlier) for earlier, later in pairwise((*quiet, 30.0))]
    assert max(ranges) > 3.5 * sum(ranges) / len(ranges)
    limits = limits_of((*quiet, 30.0))
    assert (limits.ranges, limits.left_out) == (19, 1)
    assert limits.sigma == pytest.approx(1 / 1.128)
