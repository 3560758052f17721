"""Movement carried into a segment that has no reading yet."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from msgspec.structs import replace

from fieldtui.reduction import ChordGround, Draft, Ground, Segment, Source, assess, carried, change
from fieldtui.reduction.ground import Carry

KEY = ("ring 12", "L-R")


@pytest.fixture
def carry(start) -> Carry:
    return Carry(start, Decimal("-6"), (Source("any", ("any",), 0.3),), 0.2)


@pytest.fixture
def first(route, station, tape, extensometer, start):
    """The first reading of a segment, so many hours after the last of another."""

    def judged(chord_ground, hours=48):
        draft = Draft(319, (Decimal("20"),) * 3, Decimal(20), Decimal(20))
        at = start + timedelta(hours=hours)
        ground = Ground({KEY: chord_ground})
        (chord,) = station.chords
        segment = ground.segment(KEY, "T1", "E1", at)
        return assess(route(), station, chord, draft, segment, tape, extensometer, at, reading="now")

    return judged


def test_the_first_reading_has_the_movement_so_far(first, carry):
    said = first(ChordGround((), carry))
    assert said.since_baseline.value == -6
    assert said.level.state == "above"
    assert (said.since_last, said.rate, said.baseline_sets_in) == (None, None, 1)


@pytest.mark.parametrize(("hours", "gap"), [(0, 0.0), (24, 0.2), (240, 2.0)])
def test_what_may_have_moved_in_the_gap_is_in_its_uncertainty(first, carry, hours, gap):
    assert first(ChordGround((), carry), hours).since_baseline.u == pytest.approx((0.3**2 + gap**2) ** 0.5)


def test_a_time_before_the_last_reading_makes_no_gap(first, carry):
    assert first(ChordGround((), carry), -48).since_baseline.u == pytest.approx(0.3)


def test_where_the_pace_is_not_known_the_gap_adds_nothing(first, carry):
    assert first(ChordGround((), replace(carry, pace=None))).since_baseline.u == pytest.approx(0.3)


def test_a_segment_that_goes_on_is_preferred(first, carry, past):
    own = Segment("T1", "E1", (past(0, 319, "20.5"),), (past(0, 319, "20.5"),))
    assert first(ChordGround((own,), carry)).since_baseline.value == Decimal("-0.5")


def test_without_anything_to_carry_a_first_reading_says_nothing(first):
    assert first(ChordGround()).since_baseline is None


def test_what_an_offset_shares_with_a_reading_is_counted_once(past):
    """The offset rests on a reading of the same tape's hole: its error is in both and cancels."""
    baseline, later = past(0, 319, "20"), past(24, 319, "19")
    offset = tuple(replace(source, effect=-source.effect) for source in later.length.sources)
    segment = Segment("T1", "E1", (baseline,), (baseline,), Decimal("-3"), 1.0, offset)
    moved = carried(change(later.length, baseline.length), segment, KEY)
    assert moved.u == pytest.approx(baseline.length.u)


def test_the_budget_names_what_was_carried(first, carry):
    assert first(ChordGround((), carry)).since_baseline.terms["carried offset"] == pytest.approx(
        (0.3**2 + 0.4**2) ** 0.5
    )
