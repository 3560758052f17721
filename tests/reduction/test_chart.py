"""The chart of one instrument's frame readings: what freezes, what is outside, what drifts."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from random import Random

import pytest

from fieldtui.reduction.chart import SET, Chart, limits_of

START = datetime(2031, 5, 4, tzinfo=UTC)


def run(values: list[float], chart: Chart | None = None) -> Chart:
    chart = chart or Chart(widest=0.3)
    for value in values:
        chart = chart.after(START + timedelta(days=len(chart.points)), str(len(chart.points)), value)
    return chart


def usual(count: int, seed: int = 1) -> list[float]:
    chance = Random(seed)
    return [5000 + chance.gauss(0, 0.05) for _ in range(count)]


def test_nothing_is_said_before_the_set_is_full() -> None:
    chart = run(usual(SET - 1))
    assert chart.limits is None
    assert all(point.in_set and point.ewma is None and not point.outside for point in chart.points)


def test_the_set_is_the_first_values_and_stays_it() -> None:
    chart = run([*usual(SET), *(5000.1 for _ in range(30))])
    assert len(chart.first_set) == SET
    assert chart.limits == limits_of([point.value for point in chart.points[:SET]])


def test_a_gross_value_is_not_taken_into_the_set() -> None:
    values = usual(SET + 1)
    values[3] = 5025.0  # a hole misread
    chart = run(values)
    assert not chart.points[3].in_set
    assert chart.limits is not None
    assert chart.limits.sigma < 0.1


def test_a_value_far_outside_is_noticed_and_does_not_colour_the_weighted_mean() -> None:
    chart = run([*usual(SET), 5025.0, 5000.0])
    assert chart.points[-2].outside
    assert not chart.points[-1].outside
    assert not chart.points[-1].drifted


def test_a_slow_drift_is_noticed_while_single_values_are_usual() -> None:
    chart = run([*usual(SET), *(5000.1 for _ in range(20))])
    drifted = [place for place, point in enumerate(chart.points) if point.drifted]
    assert drifted
    assert not any(point.outside for point in chart.points[: drifted[0]])


def test_figures_that_are_all_alike_leave_room_for_the_dial_s_step() -> None:
    chart = run([5000.0] * SET, Chart(least_sigma=0.01))
    assert not run([5000.01], chart).points[-1].outside
    assert run([5000.04], chart).points[-1].outside


def test_limits_need_two_values() -> None:
    with pytest.raises(ValueError, match="at least two"):
        limits_of([5000.0])


def test_two_in_a_row_outside_are_a_drift_and_one_alone_is_none() -> None:
    chart = run([*usual(SET), 5000.5, 5000.5])
    assert [point.drifted for point in chart.points[-2:]] == [False, True]
