"""One booking, figure by figure."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from msgspec.structs import replace

from fieldtui.reduction import (
    Assessment,
    ChordGround,
    Draft,
    FrameShift,
    Ground,
    Overall,
    Quantity,
    Segment,
    Source,
    assess,
    carried,
    change,
    movement_word,
)

TWO = Decimal(2)


@pytest.fixture
def judge(route, station, tape, extensometer, start):
    def judged(draft, *segments, sets=1, hours=72, levels=None, **more) -> Assessment:
        ground = Ground({("ring 12", "L-R"): ChordGround(segments)}) if segments else Ground.EMPTY
        (chord,) = station.chords
        chord = chord if levels is None else replace(chord, levels=levels)
        at = start + timedelta(hours=hours)
        told = route(baseline_sets=sets)
        begun = ground.segment(("ring 12", "L-R"), "T1", "E1", at)
        return assess(told, station, chord, draft, begun, tape, extensometer, at, reading="now", **more)

    return judged


def draft(hole=319, dials="20.00", temperature="20", assumed="20") -> Draft:
    figures = tuple(map(Decimal, dials.split()))
    return Draft(hole, figures, Decimal(temperature) if temperature else None, Decimal(assumed))


def segment(*readings, sets=1, **more) -> Segment:
    return Segment("T1", "E1", readings[:sets], readings, **more)


class TestIncomplete:
    def test_nothing_booked_says_nothing(self, judge):
        assert judge(draft(None, "", None)) == Assessment(temperature_assumed=True)
        assert judge(draft(319, "", "20")) == Assessment()

    def test_repeats_are_judged_before_there_is_a_hole(self, judge):
        said = judge(draft(None, "20.00 20.90"))
        assert said.length is None
        assert said.repeats.agree is False

    def test_a_hole_that_the_tape_does_not_have_gives_no_length(self, judge):
        assert judge(draft(601)).length is None

    def test_more_than_five_repeats_give_nothing(self, judge):
        assert judge(draft(319, "20 20 20 20 20 20")).repeats is None

    def test_the_first_dial_gives_a_length_with_the_assumed_temperature(self, judge):
        said = judge(draft(319, "25", None, assumed="10"))
        assert said.temperature_assumed
        assert said.length.value == Decimal("7999.072")
        booked = judge(draft(319, "25", "30", assumed="10"))
        assert not booked.temperature_assumed
        assert booked.length.value == Decimal("8000.928")


class TestFirstReadings:
    def test_the_first_reading_of_all(self, judge):
        said = judge(draft())
        assert (said.since_last, said.since_baseline, said.rate, said.level) == (None, None, None, None)
        assert said.baseline_sets_in == 1

    def test_baseline_sets_count_up_and_have_no_change_since_the_baseline(self, judge, past):
        said = judge(draft(), segment(past(0, 319, "20.2"), sets=1), sets=3)
        assert said.since_last.value == Decimal("-0.2")
        assert (said.since_baseline, said.baseline_sets_in) == (None, 2)

    def test_after_the_sets_their_mean_is_the_baseline(self, judge, past):
        readings = (past(0, 319, "20.2"), past(1, 319, "20.4"))
        said = judge(draft(), segment(*readings, sets=2), sets=2)
        assert said.since_baseline.value == Decimal("-0.3")
        assert said.baseline_sets_in == 2


class TestChanges:
    def test_since_last_passes_over_what_is_doubtful(self, judge, past):
        readings = (past(0, 319, "20.5"), past(24, 319, "20.3"), past(48, 320, "20.3", doubtful=True))
        said = judge(draft(), segment(*readings))
        assert said.since_last.value == Decimal("-0.3")
        assert said.last_time == readings[1].time
        assert said.time_since_last == timedelta(hours=48)
        assert said.since_baseline.value == Decimal("-0.5")

    def test_changes_are_counted_within_the_tape_s_own_segment(self, judge, past):
        other = Segment("T2", "E1", (), (past(0, 319, "20.5"),))
        said = judge(draft(), other)
        assert (said.since_last, said.since_baseline) == (None, None)

    def test_the_rate_reaches_back_over_the_route_s_hours_and_past_doubt(self, judge, past):
        readings = (past(0, 319, "23"), past(24, 319, "22"), past(48, 319, "49", doubtful=True), past(60, 319, "20.5"))
        said = judge(draft(), segment(*readings))
        assert said.rate.value == -1
        assert said.rate.since == readings[1].time

    def test_the_frame_s_shift_is_taken_off(self, judge, past):
        said = judge(draft(), segment(past(0, 319, "20")), frame=FrameShift(Decimal("0.25"), ()))
        assert said.since_last.value == Decimal("-0.25")


class TestCarriedMovement:
    def test_the_offset_and_its_uncertainty_are_added(self, judge, past):
        baseline = past(0, 319, "20.5")
        said = judge(draft(), segment(baseline, offset=Decimal("-3"), offset_u=0.4))
        assert said.since_baseline.value == Decimal("-3.5")
        within = change(said.length, baseline.length)
        assert said.since_baseline.u == pytest.approx((within.u**2 + 0.4**2) ** 0.5)
        assert said.since_baseline.terms["carried offset"] == pytest.approx(0.4)

    def test_within_the_baseline_sets_it_is_counted_from_the_sets_so_far(self, judge, past):
        said = judge(draft(), segment(past(0, 319, "20.2"), offset=Decimal("-3")), sets=3)
        assert said.since_baseline.value == Decimal("-3.1")
        assert said.baseline_sets_in == 2

    def test_the_first_reading_of_a_carried_segment_stands_where_the_last_one_ended(self, judge):
        said = judge(draft(), Segment("T1", "E1", (), (), Decimal("-6"), 0.1))
        assert (said.since_baseline.value, said.since_baseline.u) == (-6, pytest.approx(0.1))
        assert said.level == Overall("above", "amber")

    def test_all_readings_of_a_segment_share_the_offset_and_other_chords_do_not(self, past):
        one = segment(past(0, 319, "20"), offset=Decimal("-3"), offset_u=0.4)
        nil = Quantity(Decimal(0), ())
        here, there = carried(nil, one, ("ring 12", "L-R")), carried(nil, one, ("ring 13", "L-R"))
        assert change(here, carried(nil, one, ("ring 12", "L-R"))).u == 0
        assert change(here, there).u == pytest.approx(0.4 * 2**0.5)


class TestLevels:
    def test_levels_are_held_against_movement_over_all_segments_and_the_rate(self, judge, past):
        said = judge(draft(), segment(past(0, 319, "31")))
        assert [(one.level, one.what, one.state) for one in said.levels] == [
            ("amber", "closing", "above"),
            ("amber", "opening", "below"),
            ("red", "closing", "above"),
            ("red", "rate", "above"),
        ]
        assert said.level == Overall("above", "red")

    def test_near_a_level_it_cannot_be_told(self, judge, past):
        assert judge(draft(), segment(past(0, 319, "25.1"))).level == Overall("cannot tell", "amber")

    def test_a_chord_without_levels_has_no_state(self, judge, past):
        said = judge(draft(), segment(past(0, 319, "31")), levels=())
        assert (said.levels, said.level) == ((), None)


class TestWords:
    @pytest.mark.parametrize(
        ("value", "word"),
        [("-0.21", "closing"), ("-0.2", "within uncertainty"), ("0.2", "within uncertainty"), ("0.21", "opening")],
    )
    def test_a_change_is_named_at_the_coverage_factor(self, value, word):
        assert movement_word(Quantity(Decimal(value), (Source("any", ("any",), 0.1),)), TWO) == word

    def test_nil_without_uncertainty_is_no_movement(self):
        assert movement_word(Quantity(Decimal(0), ()), TWO) == "within uncertainty"

    def test_both_changes_get_their_word(self, judge, past):
        said = judge(draft(), segment(past(0, 319, "25"), past(24, 319, "20.1")))
        assert (said.since_last_word, said.since_baseline_word) == ("within uncertainty", "closing")
