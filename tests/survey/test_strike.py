"""Entries struck out with a reason and a name; both stay."""

from __future__ import annotations

import pytest

from fieldtui.survey import fold


@pytest.fixture
def read(pages, first):
    """A survey with one accepted chord, and the numbers of its records."""
    pages.start()
    accepted = pages.chord(first)
    holes = [line.seq for line in pages.lines if line.data.get("slot") == "hole"]
    return pages, holes[0], accepted


def strike(pages, seq, typed=None, log=""):
    more = {} if typed is None else {"typed": typed}
    return pages.add("struck", log=log, seq=seq, reason="misread in the book", by="CD", **more)


def test_a_struck_figure_leaves_the_reading_without_it_and_stays_to_be_seen(read, first):
    pages, hole, _ = read
    strike(pages, hole)
    booking = pages.state.bookings[first]
    assert "hole" not in booking.slots
    assert (booking.outcome, booking.figures()) == ("", None)
    (struck,) = booking.struck
    assert (struck.slot, struck.entry.typed, struck.by) == ("hole", "319", None)
    assert (struck.reason, struck.who) == ("misread in the book", "CD")
    assert pages.state.going == first


def test_in_a_closed_survey_the_right_figure_stands_in_its_place(read, first):
    pages, hole, _ = read
    pages.add("closed")
    when = pages.state.bookings[first].slots["hole"].read_at
    seq = strike(pages, hole, "320")
    booking = pages.state.bookings[first]
    assert (booking.hole, booking.outcome) == (320, "read")
    assert booking.slots["hole"].read_at == when
    assert booking.slots["hole"].seq == seq
    assert booking.struck[0].by == booking.slots["hole"]
    assert pages.state.going is None


def test_in_an_open_survey_the_right_figure_is_looked_at_once_more(read, first):
    pages, hole, _ = read
    strike(pages, hole, "320")
    assert (pages.state.bookings[first].hole, pages.state.bookings[first].outcome) == (320, "")
    assert pages.state.going == first


def test_an_outcome_struck_is_a_reading_not_accepted(read, first):
    pages, _, accepted = read
    strike(pages, accepted)
    booking = pages.state.bookings[first]
    assert (booking.outcome, booking.figures_in) == ("", True)
    assert [one.slot for one in booking.struck] == ["accepted"]


def test_a_wrong_tape_takes_its_bookings_with_it(read, first, second):
    pages, _, _ = read
    said = next(line.seq for line in pages.lines if line.data.get("what") == "tape")
    strike(pages, said, "T2")
    pages.figure(second, "hole", "300")
    assert pages.state.bookings[first].tape == "T2"
    assert pages.state.bookings[second].tape == "T2"
    assert [one.entry.typed for one in pages.state.struck] == ["T1"]


def test_a_tape_that_was_changed_since_can_be_set_right(read, first, second):
    pages, _, _ = read
    said = next(line.seq for line in pages.lines if line.data.get("what") == "tape")
    pages.say("tape", "T3")
    pages.chord(second)
    strike(pages, said, "T2")
    bookings = pages.state.bookings
    assert (bookings[first].tape, bookings[second].tape, pages.state.answer("tape")) == ("T2", "T3", "T3")


def test_a_struck_answer_gives_way_to_the_one_before(pages, first):
    pages.say("tape", "T1")
    wrong = pages.say("tape", "T2")
    pages.figure(first, "hole", "1")
    strike(pages, wrong)
    assert pages.state.answer("tape") == "T1"
    assert pages.state.bookings[first].tape == "T1"
    strike(pages, pages.state.said["tape"].seq)
    assert pages.state.answer("tape") is None
    assert pages.state.bookings[first].tape == ""


def test_notes_and_tellings_can_be_struck(pages):
    note = pages.add("note", text="wet")
    told = pages.add("call", station="A", chord="L-R", level="look", role="shift engineer", answer="yes")
    strike(pages, note)
    strike(pages, told)
    assert (pages.state.notes, pages.state.calls) == ((), ())
    assert [(one.slot, one.entry.typed) for one in pages.state.struck] == [("note", "wet"), ("call", "yes")]


def test_a_note_can_be_put_right(pages):
    note = pages.add("note", text="anchor K lose", station="A")
    strike(pages, note, "anchor K loose")
    assert [(one.text, one.station) for one in pages.state.notes] == [("anchor K loose", "A")]


def test_an_entry_of_another_log_is_named_by_its_log(pages, new_pages, first):
    pages.start().chord(first)
    journal = new_pages("journal")
    hole = next(line.seq for line in pages.lines if line.data.get("slot") == "hole")
    journal.add("struck", log="one", seq=hole, reason="r", by="CD")
    state = pages.state
    assert "hole" not in fold(journal.lines, "journal", state).bookings[first].slots


@pytest.mark.parametrize("log", ["", "another"])
def test_what_is_not_there_is_a_stray_and_nothing_changes(read, first, log):
    pages, _, _ = read
    before = pages.state
    strike(pages, 999, log=log)
    assert pages.state.strays == 1
    assert pages.state.bookings == before.bookings


def test_struck_twice_is_struck_once(read, first):
    pages, hole, _ = read
    strike(pages, hole)
    strike(pages, hole)
    assert len(pages.state.bookings[first].struck) == 1
    assert pages.state.strays == 1


def test_an_earlier_length_can_be_struck(pages, first):
    seq = pages.add(
        "earlier", station="A", chord="L-R", length="8000", uncertainty="0.5", read_at="2030-01-01T06:00:00Z"
    )
    strike(pages, seq)
    assert pages.state.bookings[first].outcome == ""
    assert [one.slot for one in pages.state.bookings[first].struck] == ["length"]
    assert not pages.state.bookings[first].slots, "its uncertainty goes with it"
    strike(pages, seq)
    assert pages.state.strays == 1


def test_a_figure_set_right_keeps_its_place_in_the_reading_and_is_the_one_booked_last(read, first, second):
    pages, hole, _ = read
    pages.chord(second)
    before = pages.state.bookings[first].slots["hole"]
    strike(pages, hole, "318")
    after = pages.state.bookings[first].slots["hole"]
    assert (after.read_at, after.read_order) == (before.read_at, before.read_order)
    assert pages.state.figure_before()[:2] == (first, "hole")
