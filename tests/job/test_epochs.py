"""Baselines declared anew, as after bench excavation."""

from __future__ import annotations

import pytest

from harness.shelf import Read, Shelf, day, moved, route_with, rows_of, stamp


def declared(movement, since=3.0, **more):
    data = {"name": "after the bench", "since": stamp(day(since)), "movement": movement, "reason": "bench taken"}
    return ("baseline", {**data, **more})


@pytest.fixture
def year(shelf) -> Shelf:
    for days, length in ((0, "8000"), (1, "7999"), (2, "7998"), (4, "7990"), (5, "7989")):
        shelf.survey(days, Read("L-R", length), Read("L-R", str(int(length) + 1), station="B"))
    return shelf


def epochs(job, **more):
    return [None if row.since_epoch is None else float(row.since_epoch.value) for row in rows_of(job, **more)]


def totals(job):
    return [None if row.total is None else float(row.total.value) for row in rows_of(job)]


def test_carried_it_goes_on_and_the_movement_since_is_shown_besides(year):
    year.journal(6, declared("carried"))
    assert moved(year.job) == [None, -1.0, -2.0, -10.0, -11.0]
    assert epochs(year.job) == [None, None, None, None, -1.0]
    assert [row.epoch for row in rows_of(year.job)] == ["", "", "", "after the bench", "after the bench"]
    assert [row.baseline for row in rows_of(year.job)] == [True, False, False, True, False]


def test_restarted_it_counts_from_nil_and_the_whole_is_shown_besides(year):
    year.journal(6, declared("restarted"))
    assert moved(year.job) == [None, -1.0, -2.0, None, -1.0]
    assert totals(year.job) == [None, -1.0, -2.0, -10.0, -11.0]


def test_levels_are_held_against_what_was_declared(year):
    level = [row.level and row.level.state for row in rows_of(year.job)]
    assert level[3:] == ["above", "above"]
    year.journal(6, declared("restarted"))
    assert [row.level and row.level.level for row in rows_of(year.job)][4] is None


def test_only_the_stations_named_are_concerned(year):
    year.journal(6, declared("restarted", stations=["B"]))
    assert moved(year.job)[-1] == -11.0
    assert moved(year.job, station="B")[-1] == -1.0


def test_the_walk_s_ground_counts_from_it(year):
    year.journal(6, declared("restarted"))
    (segment,) = year.job.ground().chord(("A", "L-R")).segments
    assert [float(past.length.value) for past in segment.baseline] == [7990.0]
    assert (segment.offset, segment.carried) == (0, False)
    assert len(segment.readings) == 5


def test_declared_ahead_the_next_reading_is_its_first_set(year):
    year.journal(6, declared("restarted", since=5.5))
    (segment,) = year.job.ground().chord(("A", "L-R")).segments
    assert segment.baseline == ()
    assert segment.takes_sets(1)
    assert year.job.ground().chord(("A", "L-R")).carry is None
    assert moved(year.job)[-1] == -11.0


def test_a_new_tape_goes_on_from_the_movement_since_the_epoch(year):
    year.journal(6, declared("restarted"))
    carry = year.job.ground().chord(("A", "L-R")).carry
    assert float(carry.value) == pytest.approx(-1.0)


def test_a_reading_at_the_very_time_is_of_the_new_epoch(year):
    at = rows_of(year.job)[3].booked.time
    year.journal(6, ("baseline", {**declared("restarted")[1], "since": stamp(at)}))
    assert moved(year.job) == [None, -1.0, -2.0, None, -1.0]
    last = rows_of(year.job)[4].booked.time
    year.journal(7, ("baseline", {**declared("restarted")[1], "name": "two", "since": stamp(last)}))
    (segment,) = year.job.ground().chord(("A", "L-R")).segments
    assert [past.time for past in segment.baseline] == [last]


def test_its_zero_is_the_mean_of_the_route_s_sets():
    shelf = Shelf(route_with(("[uncertainty]", "baseline_sets = 2\n[uncertainty]")))
    for days, length in ((0, "8000"), (1, "8000"), (4, "7990"), (5, "7989"), (6, "7988")):
        shelf.survey(days, Read("L-R", length))
    shelf.journal(6, declared("restarted"))
    assert moved(shelf.job) == [None, None, None, None, -1.5]


def test_another_tape_in_the_new_epoch_counts_from_the_same_zero(year):
    """The second tape was tied to the first before the bench; its first reading after it is not the epoch's zero."""
    year.survey(2.01, Read("L-R", "8030"), tape="T2")
    year.survey(5.01, Read("L-R", "8021"), tape="T2")
    year.journal(6, declared("restarted"))
    rows = {row.booked.label: row for row in rows_of(year.job)}
    assert float(rows["day 5.01 T2"].total.value) == pytest.approx(-11.0)
    assert float(rows["day 5.01 T2"].since_baseline.value) == pytest.approx(-1.0)
    new = year.job.ground().chord(("A", "L-R")).segment("T2", "X1")
    assert float(new.offset) == pytest.approx(8.0)
    # total of the day less the zero: -2 carried in, and the epoch began at -10
    assert float(new.offset) + 8021 - 8030 == pytest.approx(-1.0)


def test_two_epochs_each_count_from_their_own(year):
    year.journal(6, declared("restarted", since=0.5, name="one"), declared("carried", since=3, name="two"))
    assert moved(year.job) == [None, None, -1.0, -9.0, -10.0]
    assert epochs(year.job) == [None, None, -1.0, None, -1.0]


def test_an_epoch_that_a_wrong_record_declares_has_no_effect_and_is_told(year):
    year.journal(6, ("baseline", {"name": "x", "since": "yesterday", "movement": "perhaps", "reason": "r"}))
    assert moved(year.job)[-1] == -11.0
    (problem,) = year.job.problems
    assert "“since” is a time" in problem
    assert "carried, restarted" in problem
