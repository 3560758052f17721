"""Which readings count: doubt, its confirmation, and several readings of a chord in one survey."""

from __future__ import annotations

import pytest

from harness.shelf import Read, Shelf, moved, route_with, rows_of

KEPT = {"outcome": "kept", "reason": "looks like a hole too low; read again, the same"}


def marks(job):
    return [(row.counts, row.doubtful, row.confirmed_by != "") for row in rows_of(job)]


GOOD, DOUBTFUL, CONFIRMED, BESIDE = (
    (True, False, False),
    (False, True, False),
    (True, False, True),
    (False, False, False),
)


def test_a_kept_reading_is_doubtful_and_the_ground_of_nothing(shelf):
    shelf.survey(0, Read("L-R", "8000.00"))
    shelf.survey(1, Read("L-R", "7975.00", **KEPT))
    shelf.survey(2, Read("L-R", "7999.00"))
    job = shelf.job
    assert marks(job) == [GOOD, DOUBTFUL, GOOD]
    assert moved(job) == [None, -25.0, -1.0]
    assert float(rows_of(job)[2].since_last.value) == -1.0
    assert rows_of(job)[1].doubt == KEPT["reason"]
    ground = job.ground().chord(("A", "L-R"))
    assert [past.doubtful for past in ground.segments[0].readings] == [False, True, False]


def test_a_later_reading_that_says_the_same_confirms_it(shelf):
    shelf.survey(0, Read("L-R", "8000.00"))
    shelf.survey(1, Read("L-R", "7990.00", **KEPT))
    shelf.survey(2, Read("L-R", "7989.90"))
    job = shelf.job
    assert marks(job) == [GOOD, CONFIRMED, GOOD]
    assert float(rows_of(job)[2].since_last.value) == pytest.approx(-0.1)
    assert rows_of(job)[1].doubt == KEPT["reason"]


def test_two_kept_readings_that_say_the_same_are_the_movement(shelf):
    shelf.survey(0, Read("L-R", "8000.00"))
    shelf.survey(1, Read("L-R", "7990.00", **KEPT), Read("L-R", "7990.05", **KEPT))
    assert marks(shelf.job) == [GOOD, (*BESIDE[:2], True), CONFIRMED]


def test_what_the_pace_makes_of_the_time_between_is_allowed_for(shelf):
    """0.5 mm a day before; a week after the jump the chord has gone on by 3 mm."""
    for days, length in ((0, "8000.00"), (2, "7999.00")):
        shelf.survey(days, Read("L-R", length))
    shelf.survey(3, Read("L-R", "7985.00", **KEPT))
    shelf.survey(10, Read("L-R", "7982.00"))
    assert marks(shelf.job)[2] == CONFIRMED


def test_and_no_more_than_that(shelf):
    for days, length in ((0, "8000.00"), (2, "7999.00")):
        shelf.survey(days, Read("L-R", length))
    shelf.survey(3, Read("L-R", "7985.00", **KEPT))
    shelf.survey(10, Read("L-R", "7981.00"))
    assert marks(shelf.job)[2] == DOUBTFUL


def test_nearer_to_what_was_before_confirms_nothing(shelf):
    """Fast ground: the later reading is within the pace of both; a reading misread by a hole is not confirmed by it."""
    for days, length in ((0, "8000.00"), (2, "7980.00")):
        shelf.survey(days, Read("L-R", length))
    shelf.survey(3, Read("L-R", "7966.00", **KEPT))
    shelf.survey(4, Read("L-R", "7975.00"))
    assert marks(shelf.job)[2] == DOUBTFUL


def test_the_first_reading_that_counts_decides(shelf):
    shelf.survey(0, Read("L-R", "8000.00"))
    shelf.survey(1, Read("L-R", "7990.00", **KEPT))
    shelf.survey(2, Read("L-R", "8000.00"))
    shelf.survey(3, Read("L-R", "7990.00"))
    assert marks(shelf.job)[1] == DOUBTFUL


def test_of_several_readings_in_a_survey_the_last_that_agrees_counts(shelf):
    shelf.survey(0, Read("L-R", "8000.00"))
    shelf.survey(1, Read("L-R", "7999.00"), Read("L-R", "7999.10"))
    shelf.survey(2, Read("L-R", "7998.90"), Read("L-R", "7974.00", **KEPT))
    job = shelf.job
    assert marks(job) == [GOOD, BESIDE, GOOD, GOOD, DOUBTFUL]
    assert [float(row.since_last.value) for row in rows_of(job)[1:3]] == [-1.0, -0.9]
    # the second reading of the last survey is held against the survey before, not against its own first
    assert float(rows_of(job)[4].since_last.value) == pytest.approx(-25.1)
    assert len(list(job.readings())) == 4
    (segment,) = job.ground().chord(("A", "L-R")).segments
    assert [float(past.length.value) for past in segment.readings] == [8000.0, 7999.1, 7998.9]


def test_a_station_read_in_two_surveys_of_one_shift_counts_twice(shelf):
    shelf.survey(0, Read("L-R", "8000.00"))
    shelf.survey(1, Read("L-R", "7999.00"))
    shelf.survey(1.2, Read("L-R", "7998.80"))
    assert marks(shelf.job) == [GOOD, GOOD, GOOD]
    assert round(float(rows_of(shelf.job)[2].since_last.value), 6) == -0.2


class TestFrame:
    def read(self, shelf, frames, lengths):
        for days, (frame, length) in enumerate(zip(frames, lengths, strict=True)):
            shelf.survey(days, Read("L-R", length), frame=frame)
        return shelf.job

    def test_a_frame_beyond_its_limit_puts_the_survey_in_doubt(self, shelf):
        job = self.read(shelf, ("5000.00", "5000.16", "5000.00"), ("8000.00", "8001.00", "7998.00"))
        assert marks(job) == [GOOD, DOUBTFUL, GOOD]
        assert rows_of(job)[1].doubt == "control frame beyond its limit at the start"

    def test_within_it_nothing_is_said(self, shelf):
        job = self.read(shelf, ("5000.00", "5000.15"), ("8000.00", "7999.00"))
        assert marks(job) == [GOOD, GOOD]

    def test_a_later_survey_with_a_proven_instrument_confirms_it(self, shelf):
        job = self.read(shelf, ("5000.00", "5000.20", "5000.00"), ("8000.00", "7999.00", "7999.00"))
        assert marks(job) == [GOOD, CONFIRMED, GOOD]

    def test_an_instrument_that_is_in_doubt_itself_confirms_nothing(self, shelf):
        job = self.read(shelf, ("5000.00", "5000.20", "5000.20"), ("8000.00", "7999.00", "7999.00"))
        assert marks(job) == [GOOD, DOUBTFUL, DOUBTFUL]

    def test_each_instrument_has_a_reference_of_its_own(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"), frame="5000.00")
        shelf.survey(1, Read("L-R", "8000.00"), frame="5002.00", tape="T2")
        assert all(row.counts for row in rows_of(shelf.job))

    def test_taken_off_where_the_route_asks_for_it(self):
        shelf = Shelf(route_with(("correct = false", "correct = true")))
        self.read(shelf, ("5000.00", "5000.10"), ("8000.00", "7999.00"))
        row = rows_of(shelf.job)[1]
        assert float(row.length.frame_correction) == pytest.approx(-0.1)
        assert moved(shelf.job)[1] == pytest.approx(-1.1)
