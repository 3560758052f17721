"""Figures of whole tables: the same as the job's own rows, and by hand where a job has none."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import numpy as np
import pandas as pd
import pytest

from fieldtui.history import Tables
from fieldtui.history.compute import computed
from fieldtui.history.figures import ABOVE, BELOW, CANNOT_TELL, level_state
from fieldtui.job import Job
from fieldtui.reduction.sources import EXPANSION, HOLE
from fieldtui.route import Level

START = datetime(2031, 5, 1, 8, 0, tzinfo=UTC)


def table(*rows: tuple[float, str, float], **columns: object) -> pd.DataFrame:
    """Rows of (days, survey, length) of one chord's one segment."""
    return pd.DataFrame(
        {
            "station": "A",
            "chord": "L-R",
            "segment": 1,
            "survey": [survey for _, survey, _ in rows],
            "time": pd.to_datetime([START + timedelta(days=days) for days, _, _ in rows]),
            "length": [length for _, _, length in rows],
            **columns,
        }
    )


def test_changes_rates_and_levels_of_a_job_are_those_of_its_rows(job: Job, found: Tables) -> None:
    """Of first segments, whose baselines have one set: values and uncertainties alike, to the last figure."""
    rows = [row for row in job.history() if row.counts and row.segment == 1]
    bare = found.readings[found.readings["segment"] == 1].reset_index(drop=True)
    sources = [{one.name: one.effect for one in row.length.sources} for row in rows if row.length is not None]
    own = [np.sqrt(sum(v * v for k, v in one.items() if k not in (HOLE, EXPANSION))) for one in sources]
    asked = bare[["station", "chord", "segment", "survey", "time", "length", "counts", "baseline"]].assign(
        own_u=own,
        hole=[row.length.figures.hole for row in rows if row.length is not None],
        hole_u=[abs(one.get(HOLE, 0.0)) for one in sources],
        expansion=[one.get(EXPANSION, 0.0) for one in sources],
    )
    made = computed(asked, float(job.route.rate_over_hours), job.route.levels, float(job.route.coverage_factor))
    for name in ("change", "change_u", "rate", "rate_u"):
        assert made[name].to_numpy() == pytest.approx(bare[name].to_numpy(), rel=1e-9, nan_ok=True), name
    moved = ~bare["baseline"].to_numpy()
    for name in ("since_baseline", "since_baseline_u"):
        assert made[name].to_numpy()[moved] == pytest.approx(bare[name].to_numpy()[moved], rel=1e-9), name
    assert list(made["level"][moved]) == list(bare["level"][moved])
    assert list(made["level_name"][moved].astype(object).fillna("")) == list(
        bare["level_name"][moved].astype(object).fillna("")
    )


def test_by_hand() -> None:
    made = computed(table((0, "a", 8000.0), (0.5, "b", 7999.0), (2, "c", 7996.0)), 24)
    assert made["change"].to_numpy() == pytest.approx([np.nan, -1.0, -3.0], nan_ok=True)
    assert made["since_baseline"].to_numpy() == pytest.approx([0.0, -1.0, -4.0])
    assert made["rate"].to_numpy() == pytest.approx([np.nan, np.nan, -2.0], nan_ok=True), "1.5 days older, not half"


def test_the_order_of_the_rows_does_not_matter() -> None:
    rows = table((0, "a", 8000.0), (0.5, "b", 7999.0), (2, "c", 7996.0), (3, "d", 7995.5))
    straight = computed(rows, 24)
    turned = computed(rows.iloc[[2, 0, 3, 1]], 24)
    pd.testing.assert_frame_equal(turned.sort_index(), straight)


def test_what_does_not_count_is_no_ground_for_anything() -> None:
    rows = table((0, "a", 8000.0), (1, "b", 7900.0), (2, "c", 7998.0), counts=[True, False, True])
    made = computed(rows, 24)
    assert made["change"].to_numpy() == pytest.approx([np.nan, -100.0, -2.0], nan_ok=True)
    assert made["rate"].to_numpy()[2] == pytest.approx(-1.0)


def test_a_second_booking_of_one_survey_is_counted_from_the_survey_before() -> None:
    rows = table((0, "a", 8000.0), (1, "b", 7998.0), (1.01, "b", 7990.0), counts=[True, True, False])
    assert computed(rows, 0)["change"].to_numpy() == pytest.approx([np.nan, -2.0, -10.0], nan_ok=True)
    assert computed(rows, 0)["rate"].to_numpy()[2] == pytest.approx(-10 / 1.01)


def test_the_baseline_is_the_mean_of_its_sets() -> None:
    rows = table((0, "a", 8000.0), (1, "b", 8000.4), (2, "c", 7998.0), baseline=[True, True, False], own_u=[0.1] * 3)
    made = computed(rows, 24)
    assert made["since_baseline"].to_numpy() == pytest.approx([-0.2, 0.2, -2.2])
    # u^2 (1 + 1/2) apart from it, u^2 (1 - 1/2) for a set of the mean itself
    assert made["since_baseline_u"].to_numpy() ** 2 == pytest.approx([0.005, 0.005, 0.015])


def test_the_first_reading_that_counts_is_the_baseline_where_none_is_named() -> None:
    rows = table((0, "a", 8100.0), (1, "b", 8000.0), (2, "c", 7998.0), counts=[False, True, True])
    assert computed(rows, 24)["since_baseline"].to_numpy() == pytest.approx([100.0, 0.0, -2.0])


def test_a_segment_of_which_nothing_counts_has_no_baseline() -> None:
    rows = table((0, "a", 8100.0), (1, "b", 8000.0), counts=[False, False])
    assert computed(rows, 24)["since_baseline"].isna().all()


def test_a_hole_read_twice_cancels_and_steel_counts_with_its_difference() -> None:
    rows = table(
        (0, "a", 8000.0), (1, "b", 7999.0), (2, "c", 7998.0),
        hole=[320, 320, 319], own_u=[0.1] * 3, hole_u=[0.03] * 3, expansion=[0.02, 0.05, 0.05],
    )  # fmt: skip
    variance = computed(rows, 24)["change_u"].to_numpy() ** 2
    assert variance[1:] == pytest.approx([0.02 + 0.03**2, 0.02 + 2 * 0.03**2])


def test_segments_and_chords_are_kept_apart() -> None:
    one = table((0, "a", 8000.0), (1, "b", 7999.0))
    other = table((0, "a", 5000.0), (1, "b", 5001.0)).assign(chord="L-K")
    later = table((3, "c", 6000.0)).assign(segment=2)
    made = computed(pd.concat([one, other, later], ignore_index=True), 24)
    assert made["change"].to_numpy() == pytest.approx([np.nan, -1.0, np.nan, 1.0, np.nan], nan_ok=True)


def test_a_level_is_below_cannot_tell_or_above() -> None:
    told = level_state(np.array([1.0, 4.8, 5.2, 6.0, np.nan, 5.0]), np.array([0.5, 0.5, 0.5, 0.5, 0.5, 0.0]), 5.0)
    assert list(told) == [BELOW, CANNOT_TELL, CANNOT_TELL, ABOVE, BELOW, ABOVE]


def test_the_most_severe_level_above_counts_before_a_severer_that_cannot_be_told() -> None:
    levels = [Level(name, Decimal(limit), None, None, "look", ("lead",)) for name, limit in (("mild", 5), ("hard", 10))]
    rows = table(*((day, f"s{day}", 8000.0 - moved) for day, moved in enumerate((0, 3, 5.1, 7, 9.9, 14))))
    made = computed(rows.assign(own_u=0.1), 24, levels, 2.0)
    assert list(made["level"]) == ["below", "below", "cannot tell", "above", "above", "above"]
    assert list(made["level_name"].astype(object).fillna("")) == ["", "", "mild", "mild", "mild", "hard"]


def test_an_opening_and_a_rate_have_levels_too() -> None:
    opening = Level("o", None, Decimal(1), None, "look", ("lead",))
    rate = Level("r", None, None, Decimal(1), "look", ("lead",))
    rows = table((0, "a", 8000.0), (1, "b", 8002.0), (2, "c", 8000.5)).assign(own_u=0.01)
    assert list(computed(rows, 24, [opening])["level"]) == ["below", "above", "below"]
    assert list(computed(rows, 24, [rate])["level"]) == ["below", "below", "above"]
