"""A simulated year: tapes changed, an anchor replaced, a mistake found late, crews in parallel, a sheet booked late.

What the program makes of it is held against the invented truth, against an independent recomputation, and against the
answers kept in `golden/year.json`. After a change that is meant they are written anew by
`python tests/harness/golden_year.py`.
"""

from __future__ import annotations

import json
from itertools import pairwise
from math import hypot
from pathlib import Path

import pytest

from fieldtui.job import Job
from fieldtui.reduction import change
from harness.golden_year import answers
from harness.recompute import own_u, recompute
from harness.shelf import day, rows_of
from harness.year import truth, year

GOLDEN = Path(__file__).parent / "golden" / "year.json"


@pytest.fixture(scope="module")
def job() -> Job:
    return year().job


def days(row):
    return (row.booked.time - day(0)).total_seconds() / 86400


def test_nothing_is_left_to_be_asked_or_told(job):
    assert (job.questions(), job.problems, job.warnings, job.open_calls()) == ((), (), (), ())


@pytest.mark.parametrize("station", ["A", "B"])
def test_every_figure_is_the_truth_within_its_uncertainty(job, station):
    """The first reading's error is in every movement: 4 standard uncertainties over 120 figures."""
    for row in rows_of(job, station=station):
        if row.total is not None:
            assert abs(float(row.total.value) - truth(station, days(row))) < 4 * row.total.u


@pytest.mark.parametrize("station", ["A", "B"])
def test_no_figure_jumps_at_a_change(job, station):
    """Where one segment gives way to another, movement goes on by what the ground did, and the scatter of readings."""
    for before, after in pairwise(rows_of(job, station=station)):
        if before.segment == after.segment or before.total is None or after.total is None:
            continue
        moved = truth(station, days(after)) - truth(station, days(before))
        step = float(after.total.value - before.total.value)
        offset = (
            job.account.stories[("A", "L-R") if station == "A" else ("B", "L-R")].segments[after.segment - 1].offset
        )
        lost = offset.pace * offset.gap_days if offset is not None else 0.0
        assert abs(step - moved) < 4 * hypot(0.06 * 2**0.5, 0.08) + lost


def test_the_uncertainty_of_what_is_carried_grows_with_each_change(job):
    for story in job.account.stories.values():
        offsets = [segment.offset.value.u for segment in story.segments[1:]]
        assert all(later > 0.995 * earlier for earlier, later in pairwise(offsets))
        assert offsets[-1] > 1.4 * offsets[0]


def test_a_tie_adds_next_to_nothing_and_a_gap_adds_pace_times_gap(job):
    tied, gap = (segment.offset for segment in job.account.stories[("A", "L-R")].segments[1:])
    assert (tied.how, gap.how) == ("ties", "last value")
    last = max((row for row in rows_of(job) if row.segment == 2 and days(row) < 210), key=days)
    assert gap.value.u == pytest.approx(hypot(last.since_baseline.u, gap.pace * gap.gap_days), rel=1e-3)
    assert gap.gap_days == pytest.approx(5.0)


def test_the_mistake_of_three_months_is_set_right_and_both_figures_are_kept(job):
    corrected = [row for row in rows_of(job) if row.logged_length is not None and row.booked.tape == "T1"]
    assert [round(days(row)) for row in corrected] == [0, 10, 20, 30, 40, 50, 70, 80, 90]
    for row in corrected:
        warmth = float(row.booked.figures["temperature"]) - 20
        wrong = float(row.logged_length.value - row.length.value)
        assert wrong == pytest.approx(8000 * (17.2e-6 - 11.6e-6) * warmth, rel=2e-3)


def test_the_certificate_sets_right_every_length_of_its_tape(job):
    second = [row for row in rows_of(job) if row.booked.tape == "T2"]
    assert len(second) == 24
    for row in second:
        assert float(row.length.value - row.logged_length.value) == pytest.approx(0.4, abs=1e-4)


def test_the_sheet_booked_late_stands_in_its_place(job):
    rows = rows_of(job)
    place = next(index for index, row in enumerate(rows) if round(days(row)) == 60)
    assert [round(days(row)) for row in rows[place - 1 : place + 2]] == [50, 60, 70]
    assert rows[place + 1].last_time == rows[place].booked.time


def test_after_the_bench_movement_counts_from_nil_and_the_whole_is_still_there(job):
    after = [row for row in rows_of(job, station="B") if days(row) > 299]
    assert after[0].since_baseline is None
    for row in after[1:]:
        assert abs(float(row.since_baseline.value)) < 1
        assert float(row.total.value) < -10


@pytest.mark.parametrize("station", ["A", "B"])
def test_an_independent_recomputation_agrees_to_a_thousandth_of_a_millimetre(job, station):
    rows = [row for row in rows_of(job, station=station) if row.length is not None]
    sets = {id(past.length) for one in job.account.stories[(station, "L-R")].segments for past in one.baseline}
    table = [raw(row, sets) for row in rows]
    states = {"temperature": 0.5, "reproducibility": 0.08, "repeatability": 0.05}
    found = {(one["date"], one["segment"]): one for one in recompute(table, states, 1.0)}
    assert len(found) == len(rows)
    first = min(found.values(), key=lambda one: one["day"])
    for row in rows:
        one = found[(row.booked.time.date(), row.segment)]
        assert float(row.length.value) == pytest.approx(one["length"], abs=1e-3)
        if row.total is not None:
            assert float(row.total.value) == pytest.approx(one["moved"], abs=1e-3)
            # what grows with the gaps is at least in it, and the errors of first and last reading are
            own = hypot(own_u(one, states), own_u(first, states), one["gap_u"])
            assert row.total.u > 0.98 * own
    assert max(one["gap_u"] for one in found.values()) > 0.07


def raw(row, sets):
    """One row of the table: what is in the log and in the route, and nothing that was worked out but the segment."""
    tape = row.route.tape(row.booked.tape)
    constants = ("pitch", "first_hole", "first_hole_distance", "expansion", "expansion_uncertainty")
    known = {name: str(getattr(tape, name)) for name in (*constants, "reference_temperature")}
    own = {"segment": row.segment, "baseline": id(row.length) in sets, "day": days(row), "date": row.booked.time.date()}
    return {**row.booked.figures, **known, **own}


def test_the_answers_are_those_that_are_kept(job):
    assert answers(job) == json.loads(GOLDEN.read_text(encoding="utf-8"))


def test_successive_changes_add_up(job):
    """From one row to the next of a segment, movement differs by the change since the last survey."""
    for story in job.account.stories.values():
        rows = [row for row in rows_of(job, station=story.key[0]) if row.total is not None]
        for number in {row.segment for row in rows}:
            for before, after in pairwise([row for row in rows if row.segment == number]):
                assert after.total.value - before.total.value == pytest.approx(after.since_last.value)
                assert after.since_last.value == change(after.length, before.length).value
