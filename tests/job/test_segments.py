"""Segments: what one chord's readings come to when tape, extensometer or anchors become other ones."""

from __future__ import annotations

from decimal import Decimal
from math import hypot

import pytest

from harness.shelf import Read, Shelf, day, moved, route_with, rows_of, stamp


def segment(job, number, chord="L-R"):
    return job.account.stories[("A", chord)].segments[number - 1]


class TestOneTape:
    def test_movement_counts_from_the_first_reading(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"))
        shelf.survey(1, Read("L-R", "7999.50"))
        shelf.survey(2, Read("L-R", "7999.20"))
        assert moved(shelf.job) == [None, -0.5, -0.8]
        assert [row.baseline for row in rows_of(shelf.job)] == [True, False, False]

    def test_the_baseline_is_the_mean_of_the_route_s_sets(self, route):
        shelf = Shelf(route_with(("[uncertainty]", "baseline_sets = 3\n[uncertainty]")))
        for days, length in ((0, "8000.00"), (0.1, "8000.30"), (0.2, "8000.60"), (1, "7999.30")):
            shelf.survey(days, Read("L-R", length))
        assert moved(shelf.job) == [None, None, None, -1.0]
        assert segment(shelf.job, 1).baseline == segment(shelf.job, 1).readings[:3]

    def test_until_the_sets_are_in_there_is_a_warning(self):
        shelf = Shelf(route_with(("[uncertainty]", "baseline_sets = 2\n[uncertainty]")))
        shelf.survey(0, Read("L-R", "8000.00"))
        assert shelf.job.warnings == ("A L-R, segment 1: 1 of 2 baseline sets are in",)
        shelf.survey(0.1, Read("L-R", "8000.10"))
        assert shelf.job.warnings == ()

    def test_a_past_dated_survey_takes_its_place_in_time(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"))
        shelf.survey(2, Read("L-R", "7999.00"))
        shelf.survey(1, Read("L-R", "7999.40"), booked_at=day(9))
        rows = rows_of(shelf.job)
        assert moved(shelf.job) == [None, -0.6, -1.0]
        assert rows[2].since_last.value == Decimal("-0.4")
        assert rows[2].last_time == rows[1].booked.time

    def test_a_sheet_from_before_the_first_reading_becomes_the_baseline(self, shelf):
        shelf.survey(1, Read("L-R", "7999.40"))
        shelf.survey(0, Read("L-R", "8000.00"), booked_at=day(9))
        assert moved(shelf.job) == [None, -0.6]

    def test_practice_is_kept_out(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"))
        shelf.survey(1, Read("L-R", "7000.00"), scope="practice")
        assert moved(shelf.job) == [None]
        assert len(shelf.job.surveys) == 2

    def test_a_chord_named_from_its_other_end_is_the_same_chord(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"))
        other = route_with(('from = "L"\nto = "R"\n[[station.chord]]', 'from = "R"\nto = "L"\n[[station.chord]]'))
        shelf.survey(1, Read("R-L", "7999.50"), route=other)
        assert moved(shelf.job) == [None, -0.5]


class TestNewTape:
    def test_without_a_tie_it_goes_on_from_the_last_value_and_the_gap_is_in_the_uncertainty(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"))
        shelf.survey(4, Read("L-R", "7998.00"))
        shelf.survey(6, Read("L-R", "8031.00"), tape="T2")
        shelf.survey(8, Read("L-R", "8030.50"), tape="T2")
        job = shelf.job
        assert moved(job) == [None, -2.0, -2.0, -2.5]
        before, first = rows_of(job)[1:3]
        offset = segment(job, 2).offset
        assert (offset.how, offset.since, offset.gap_days, offset.pace) == ("last value", 1, 2.0, 0.5)
        # at the first new reading nothing is known but the last value and what may have moved: 0.5 mm/day x 2 days
        assert first.since_baseline.u == pytest.approx(hypot(before.since_baseline.u, 1.0))

    def test_the_uncertainty_of_the_carried_movement_grows_with_the_gap(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"))
        shelf.survey(4, Read("L-R", "7998.00"))
        shelf.survey(14, Read("L-R", "8031.00"), tape="T2")
        u = rows_of(shelf.job)[2].since_baseline.u
        assert u == pytest.approx(hypot(rows_of(shelf.job)[1].since_baseline.u, 5.0))

    def test_read_with_both_on_one_day_the_two_agree_there(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"))
        shelf.survey(4, Read("L-R", "7998.00"), label="old")
        shelf.survey(4.125, Read("L-R", "8031.00"), tape="T2")
        shelf.survey(8, Read("L-R", "8030.50"), tape="T2")
        job = shelf.job
        assert moved(job) == [None, -2.0, -2.0, -2.5]
        offset = segment(job, 2).offset
        assert (offset.how, offset.pairs, offset.since) == ("ties", 1, 1)
        assert offset.gap_days == pytest.approx(0.125)
        old, new = rows_of(job)[1:3]
        assert new.since_baseline.u == pytest.approx(hypot(old.since_baseline.u, 0.5 * 0.125))

    def test_read_with_both_in_one_survey_over_midnight_is_a_tie_too(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"))
        shelf.survey(4.6, Read("L-R", "7998.00"), Read("L-R", "8031.00", tape="T2", after_hours=5))
        offset = segment(shelf.job, 2).offset
        assert (offset.how, offset.pairs) == ("ties", 1)

    def test_the_shift_of_a_day_begins_when_the_route_says(self):
        shelf = Shelf(route_with(("[uncertainty]", 'shift_start = "07:00"\n[uncertainty]')))
        shelf.survey(0, Read("L-R", "8000.00"))
        shelf.survey(4, Read("L-R", "7998.00"))
        shelf.survey(4.125, Read("L-R", "8031.00"), tape="T2")
        assert segment(shelf.job, 2).offset.how == "last value"

    def test_several_ties_are_averaged(self, shelf):
        for days, old, new in ((0, "8000.00", "8033.00"), (4, "7998.00", "8031.20"), (8, "7997.00", "8029.80")):
            shelf.survey(days, Read("L-R", old))
            shelf.survey(days + 0.01, Read("L-R", new), tape="T2")
        shelf.survey(9, Read("L-R", "8029.80"), tape="T2")
        offset = segment(shelf.job, 2).offset
        assert offset.pairs == 3
        # new minus old is 33.0, 33.2 and 32.8: on the mean 33.0, so 8029.80 with the new one is 7996.80 with the old
        assert moved(shelf.job)[-1] == pytest.approx(-3.2)

    def test_each_reading_is_in_one_pair_only(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"))
        shelf.survey(4, Read("L-R", "7998.00"))
        shelf.survey(4.1, Read("L-R", "8031.00"), tape="T2")
        shelf.survey(4.15, Read("L-R", "7997.00"))
        offset = segment(shelf.job, 2).offset
        assert (offset.pairs, offset.gap_days) == (1, pytest.approx(0.05))
        assert float(offset.value.value) == -3.0

    def test_the_gap_runs_to_the_middle_of_the_new_baseline(self):
        shelf = Shelf(route_with(("[uncertainty]", "baseline_sets = 2\n[uncertainty]")))
        for days, tape, length in ((0, "T1", "8000"), (1, "T1", "8000"), (3, "T2", "8030"), (5, "T2", "8030")):
            shelf.survey(days, Read("L-R", length), tape=tape)
        assert segment(shelf.job, 2).offset.gap_days == pytest.approx(3.0)

    def test_the_pace_over_less_than_the_route_s_hours_is_better_than_none(self, shelf):
        shelf.survey(0, Read("L-R", "8000"))
        shelf.survey(0.5, Read("L-R", "7999"))
        shelf.survey(2, Read("L-R", "8030"), tape="T2")
        assert segment(shelf.job, 2).offset.pace == pytest.approx(2.0)

    def test_a_doubtful_first_reading_is_no_baseline(self, shelf):
        shelf.survey(0, Read("L-R", "8000", outcome="kept", reason="scatter"))
        shelf.survey(1, Read("L-R", "7990"))
        shelf.survey(2, Read("L-R", "7989"))
        assert moved(shelf.job) == [10.0, None, -1.0]

    def test_segments_interleave_and_each_keeps_its_own_baseline(self, shelf):
        for days, tape, length in ((0, "T1", "8000"), (0.1, "T2", "8033"), (7, "T1", "7999"), (8, "T2", "8031.8")):
            shelf.survey(days, Read("L-R", length), tape=tape)
        shelf.survey(9, Read("L-R", "7998.9"))
        assert moved(shelf.job) == [None, None, -1.0, -1.2, -1.1]
        assert [row.segment for row in rows_of(shelf.job)] == [1, 2, 1, 2, 1]
        assert rows_of(shelf.job)[4].since_last.value == Decimal("-0.1")

    def test_a_tape_taken_up_again_goes_on_from_its_own_baseline(self, shelf):
        for days, tape, length in ((0, "T1", "8000"), (7, "T2", "8033"), (8, "T2", "8032"), (9, "T1", "7998.5")):
            shelf.survey(days, Read("L-R", length), tape=tape)
        assert moved(shelf.job)[-1] == -1.5

    def test_another_extensometer_is_another_segment(self, shelf):
        shelf.survey(0, Read("L-R", "8000"))
        shelf.survey(1, Read("L-R", "8003"), extensometer="X2")
        assert [row.segment for row in rows_of(shelf.job)] == [1, 2]

    def test_where_the_pace_is_not_known_it_is_said(self, shelf):
        shelf.survey(0, Read("L-R", "8000"))
        shelf.survey(2, Read("L-R", "8033"), tape="T2")
        assert "is not known" in shelf.job.warnings[0]
        assert "2.0 days" in shelf.job.warnings[0]

    def test_errors_that_both_sides_share_cancel(self, shelf):
        """With one steel at one temperature far from the reference, the steel's error is the same before and after."""
        warm = {"temperature": "40.0"}
        shelf.survey(0, Read("L-R", "8000", **warm))
        shelf.survey(1, Read("L-R", "7999", **warm))
        shelf.survey(1.01, Read("L-R", "7998.8", **warm), extensometer="X2")
        terms = rows_of(shelf.job)[-1].since_baseline.terms
        length = rows_of(shelf.job)[-1].length.terms
        assert length["expansion"] > 0.07
        assert terms.get("expansion", 0.0) == pytest.approx(0.0, abs=1e-4)

    def test_carried_over_three_tapes(self):
        tape = route_with().text
        third = tape[tape.index('[[tape]]\nserial = "T2"') :].split("[[extensometer]]")[0].replace("T2", "T3")
        shelf = Shelf(route_with(('[[tape]]\nserial = "T2"', third + '[[tape]]\nserial = "T2"')))
        for days, tape, length in ((0, "T1", "8000"), (1, "T1", "7999"), (2, "T2", "8100"), (3, "T2", "8099"),
                                   (4, "T3", "8200"), (5, "T3", "8199")):  # fmt: skip
            shelf.survey(days, Read("L-R", length), tape=tape)
        job = shelf.job
        assert moved(job) == [None, -1.0, -1.0, -2.0, -2.0, -3.0]
        u = [row.since_baseline.u for row in rows_of(job)[1:]]
        assert u == sorted(u)
        assert segment(job, 3).offset.since == 2


class TestAnchors:
    def test_a_replaced_anchor_begins_a_new_segment_of_its_own_chords_only(self, shelf):
        for days, length in ((0, "8000"), (2, "7999"), (4, "8051")):
            shelf.survey(days, Read("L-R", length), Read("L-K", length))
        shelf.journal(5, ("anchor", {"station": "A", "anchor": "R", "event": "replaced", "at": stamp(day(3))}))
        job = shelf.job
        assert moved(job) == [None, -1.0, -1.0]
        assert segment(job, 2).offset.pace == 0.5
        assert [row.segment for row in rows_of(job, "L-K")] == [1, 1, 1]
        ground = job.ground().chord(("A", "L-R"))
        assert ground.segment("T1", "X1").readings[0].time == rows_of(job)[2].booked.time

    def test_before_it_is_read_again_the_old_segment_is_ended_and_movement_is_carried(self, shelf):
        shelf.survey(0, Read("L-R", "8000"))
        shelf.survey(2, Read("L-R", "7999"))
        shelf.journal(5, ("anchor", {"station": "A", "anchor": "R", "event": "replaced", "at": stamp(day(3))}))
        ground = shelf.job.ground().chord(("A", "L-R"))
        assert ground.segment("T1", "X1") is None
        begun = ground.begun("T1", "X1", day(6), "chord")
        assert float(begun.offset) == -1.0
        assert begun.offset_u > 0.5 * 3.9

    def test_a_lost_anchor_ends_its_segments(self, shelf):
        shelf.survey(0, Read("L-R", "8000"), Read("L-K", "6000"))
        shelf.journal(5, ("anchor", {"station": "A", "anchor": "R", "event": "lost", "at": stamp(day(3))}))
        assert shelf.job.ground().chord(("A", "L-R")).segment("T1", "X1") is None
        assert shelf.job.ground().chord(("A", "L-K")).segment("T1", "X1") is not None

    def test_a_struck_anchor_is_noted_and_changes_no_segment(self, shelf):
        shelf.survey(0, Read("L-R", "8000"))
        shelf.survey(2, Read("L-R", "7999"))
        shelf.journal(5, ("anchor", {"station": "A", "anchor": "R", "event": "struck", "at": stamp(day(1))}))
        assert [row.segment for row in rows_of(shelf.job)] == [1, 1]
        assert [one.event for one in shelf.job.journals.anchors] == ["struck"]

    def test_struck_after_the_last_reading_it_is_gone_on_with(self, shelf):
        shelf.survey(0, Read("L-R", "8000"))
        shelf.journal(5, ("anchor", {"station": "A", "anchor": "R", "event": "struck", "at": stamp(day(1))}))
        assert shelf.job.ground().chord(("A", "L-R")).segment("T1", "X1") is not None

    def test_a_reading_at_the_very_time_is_of_the_new_anchor(self, shelf):
        shelf.survey(0, Read("L-R", "8000"))
        shelf.survey(2, Read("L-R", "7999"))
        at = rows_of(shelf.job)[1].booked.time
        shelf.journal(5, ("anchor", {"station": "A", "anchor": "R", "event": "replaced", "at": stamp(at)}))
        assert [row.segment for row in rows_of(shelf.job)] == [1, 2]


class TestNames:
    def test_a_renamed_station_takes_its_readings_with_it(self, shelf):
        old = route_with(('[[station]]\nname = "A"', '[[station]]\nname = "Old"'))
        shelf.survey(0, Read("L-R", "8000", station="Old"), route=old)
        shelf.survey(2, Read("L-R", "7999"))
        shelf.journal(5, ("renamed", {"old": "Old", "new": "A", "at": stamp(day(1))}))
        job = shelf.job
        assert moved(job) == [None, -1.0]
        assert rows_of(job)[0].booked.target.station == "Old"

    def test_a_name_given_again_later_is_another_station(self, shelf):
        old = route_with(('[[station]]\nname = "B"', '[[station]]\nname = "C"'))
        shelf.survey(0, Read("L-R", "8000", station="C"), route=old)
        shelf.survey(9, Read("L-R", "7000", station="C"), route=old)
        shelf.journal(5, ("renamed", {"old": "C", "new": "B", "at": stamp(day(5))}))
        assert moved(shelf.job, station="B") == [None]
        assert moved(shelf.job, station="C") == [None]


class TestEarlierLengths:
    def earlier(self, days, length, *, baseline=False, uncertainty="0.3"):
        data = {"station": "A", "chord": "L-R", "length": length, "unit": "mm", "uncertainty": uncertainty}
        return ("earlier", {**data, "read_at": stamp(day(days)), "baseline": baseline, "tape": "", "extensometer": ""})

    def test_they_are_a_segment_of_their_own_and_are_carried_on(self, shelf):
        lines = [self.earlier(0, "8000"), self.earlier(7, "7999"), self.earlier(14, "7998")]
        shelf.survey(20, label="taken over", more=lines)
        shelf.survey(21, Read("L-R", "8040"))
        shelf.survey(22, Read("L-R", "8039"))
        job = shelf.job
        assert moved(job) == [None, -1.0, -2.0, -2.0, -3.0]
        assert [row.segment for row in rows_of(job)] == [1, 1, 1, 2, 2]
        assert segment(job, 2).offset.gap_days == pytest.approx(7.0, abs=0.01)
        assert rows_of(job)[1].length.u == pytest.approx(0.3)
        assert [row.booked.outcome for row in rows_of(job)][:3] == ["earlier"] * 3

    def test_their_own_baseline_is_kept(self, shelf):
        lines = [
            self.earlier(0, "8000", baseline=True),
            self.earlier(1, "8001", baseline=True),
            self.earlier(7, "7999"),
        ]
        shelf.survey(20, label="taken over", more=lines)
        assert moved(shelf.job) == [None, None, -1.5]
        assert shelf.job.warnings == ()

    def test_without_a_stated_uncertainty_an_ordinary_reading_s_is_taken(self, shelf):
        shelf.survey(20, label="taken over", more=[self.earlier(0, "8000", uncertainty="")])
        shelf.survey(21, Read("L-R", "8000"))
        earlier, read = rows_of(shelf.job)
        assert earlier.length.u == pytest.approx(read.length.u, rel=0.001)
