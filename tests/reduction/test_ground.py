"""What is known before a survey."""

from __future__ import annotations

from decimal import Decimal

from msgspec.structs import replace

from fieldtui.reduction import ChordGround, Ground, Segment


def test_a_chord_never_read_has_no_segments():
    assert Ground.EMPTY.chord(("ring 12", "L-R")) == ChordGround()
    assert ChordGround().segment("T1", "E1") is None
    assert ChordGround().last("T1", "E1") is None


def test_the_newest_segment_of_the_same_tape_and_extensometer(past):
    old, other, new = (Segment(t, "E1", (), (past(h, 319, "20"),)) for h, t in ((0, "T1"), (24, "T2"), (48, "T1")))
    chord = ChordGround((old, other, new))
    assert chord.segment("T1", "E1") is new
    assert chord.segment("T2", "E1") is other
    assert chord.segment("T1", "E2") is None


def test_a_segment_whose_anchor_is_gone_is_not_gone_on_with(past):
    ended = Segment("T1", "E1", (), (past(0, 319, "20"),), ended=True)
    assert ChordGround((ended,)).segment("T1", "E1") is None


def test_the_last_reading_is_the_newest_that_is_not_doubtful(past):
    readings = (past(0, 319, "20"), past(24, 319, "21"), past(48, 320, "20", doubtful=True))
    chord = ChordGround((Segment("T1", "E1", readings[:1], readings),))
    assert chord.last("T1", "E1") is readings[1]
    assert Segment("T1", "E1", (), readings[2:]).last() is None


def test_a_baseline_takes_sets_until_it_has_them(past):
    first, second = past(0, 319, "20"), past(1, 319, "20")
    assert Segment("T1", "E1", (), ()).takes_sets(1)
    assert Segment("T1", "E1", (), (first,)).takes_sets(1), "a reading that is in no baseline"
    assert Segment("T1", "E1", (first,), (first,)).takes_sets(2)
    assert not Segment("T1", "E1", (first, second), (first, second)).takes_sets(2)
    assert not Segment("T1", "E1", (first,), (first,)).takes_sets(1)


def test_a_declared_baseline_of_fewer_sets_is_complete_once_a_reading_follows(past):
    first, second = past(0, 319, "20"), past(24, 319, "20")
    assert not Segment("T1", "E1", (first,), (first, second)).takes_sets(3)
    assert Segment("T1", "E1", (second,), (first, second)).takes_sets(3)
    doubtful = replace(second, doubtful=True)
    assert Segment("T1", "E1", (first,), (first, doubtful)).takes_sets(3)


def test_a_segment_carries_movement_where_it_has_an_offset_or_its_uncertainty():
    first = Segment("T1", "E1", (), ())
    assert not first.carried
    assert replace(first, offset=Decimal("-3.2")).carried
    assert replace(first, offset_u=0.1).carried
