"""Records to state."""

from __future__ import annotations

from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldtui.survey import KINDS, Target, fold, frame_target, zero_target
from harness.pages import START, Pages

FIRST = Target("A", "L-R")


def test_the_last_answer_counts_and_those_before_stay(pages):
    pages.say("tape", "T1")
    pages.say("tape", "T2")
    assert pages.state.answer("tape") == "T2"
    assert [entry.typed for entry in pages.state.said_before["tape"]] == ["T1"]
    assert pages.state.answer("reader") is None


def test_a_booking_has_the_tape_that_was_in_use_when_it_was_begun(pages, first, second):
    pages.start()
    pages.figure(first, "hole", "319")
    pages.say("tape", "T2")
    pages.figure(first, "dial_1", "20.00")
    pages.figure(second, "hole", "200")
    assert (pages.state.bookings[first].tape, pages.state.bookings[second].tape) == ("T1", "T2")


def test_a_figure_booked_over_is_struck_and_kept(pages, first):
    pages.figure(first, "hole", "318")
    pages.figure(first, "hole", "319")
    booking = pages.state.bookings[first]
    assert booking.hole == 319
    (struck,) = booking.struck
    assert (struck.slot, struck.entry.typed, struck.by.typed) == ("hole", "318", "319")


def test_a_figure_changed_after_it_was_accepted_is_looked_at_again(pages, first):
    pages.start().chord(first)
    assert pages.state.bookings[first].outcome == "read"
    pages.figure(first, "hole", "320")
    assert pages.state.bookings[first].outcome == ""
    assert pages.state.going == first


def test_a_correction_of_a_whole_reading_moves_nothing_in_time(pages, first):
    pages.start().chord(first)
    before = pages.state.bookings[first]
    for _ in range(300):
        pages.add("note", text="tea")
    pages.figure(first, "dial_3", "20.10")
    after = pages.state.bookings[first]
    assert after.slots["dial_3"].typed == "20.10"
    assert after.slots["dial_3"].read_at == before.slots["dial_3"].read_at
    assert after.read_at == before.read_at
    pages.figure(zero_target("start"), "zero", "0.01")
    assert pages.state.bookings[zero_target("start")].read_at < before.read_at


def test_a_figure_read_once_more_while_reading_goes_on_has_its_own_time(pages, first):
    pages.figure(first, "hole", "318")
    pages.figure(first, "dial_1", "20.00")
    pages.add("note", text="tea")
    pages.figure(first, "dial_1", "21.00")
    assert pages.state.bookings[first].read_at == START + timedelta(minutes=3)


def test_the_same_figure_booked_again_opens_nothing_anew(pages, first):
    pages.start().chord(first)
    pages.figure(first, "hole", "319")
    assert pages.state.bookings[first].outcome == "read"
    assert pages.state.going is None


def test_the_figure_booked_last_is_the_last_record_whatever_the_clock_says(pages, first, second):
    pages.add("figure", **first.data(), slot="temperature", typed="12.0", read_at="2031-05-04T09:00:00Z")
    pages.add("figure", **second.data(), slot="temperature", typed="9.0", read_at="2031-05-04T06:00:00Z")
    target, slot, entry = pages.state.figure_before()
    assert (target, slot, entry.typed) == (second, "temperature", "9.0")
    assert pages.state.figure_before(target, slot)[0] == first
    assert pages.state.last_temperature() == 9


def test_what_was_booked_in_a_later_log_comes_after(pages, first, second):
    pages.start()
    pages.figure(first, "hole", "319")
    later = Pages(log="two")
    later.figure(second, "hole", "200")
    state = fold(later.lines, later.log, pages.state)
    assert state.figure_before()[0] == second


def test_a_figure_just_corrected_is_the_one_booked_last(pages, first, second):
    pages.start().chord(first)
    pages.chord(second, temperature="9.0")
    pages.figure(first, "temperature", "12.5")
    assert pages.state.figure_before()[:2] == (first, "temperature")
    assert pages.state.last_temperature() == 9


def test_a_zero_is_booked_by_its_one_figure(pages):
    pages.figure(zero_target("start"), "zero", "0.01")
    booking = pages.state.bookings[zero_target("start")]
    assert booking.outcome == "read"
    assert booking.figures() is None


def test_not_read_is_a_booking_with_a_reason(pages, first):
    pages.add("unread", **first.data(), outcome="unsafe", note="loose block")
    booking = pages.state.bookings[first]
    assert (booking.outcome, booking.reason, booking.was_read, booking.finished) == (
        "unsafe",
        "loose block",
        False,
        True,
    )


def test_the_time_of_reading_is_that_of_the_last_dial(pages, first):
    for slot in ("hole", "dial_1", "dial_2", "dial_3", "temperature"):
        pages.figure(first, slot, "20")
    assert pages.state.bookings[first].read_at == START + timedelta(minutes=3)


def test_a_time_of_reading_of_its_own_counts_before_the_time_of_booking(pages, first):
    pages.add("figure", **first.data(), slot="hole", typed="1", read_at="2030-01-01T06:00:00Z")
    pages.add("note", text="wet", read_at="2030-01-01T06:01:00Z")
    assert pages.state.bookings[first].read_at.year == 2030
    assert pages.state.notes[0].entry.read_at.year == 2030


def test_a_wrong_clock_moves_every_time_before_and_after(pages, first):
    pages.start()
    pages.figure(first, "hole", "318")
    pages.figure(first, "hole", "319")
    pages.add("note", text="wet")
    pages.say("reader", "CD")
    before = pages.state
    pages.add("clock", shift_seconds=3600)
    after, hour = pages.state, timedelta(hours=1)
    assert after.bookings[first].slots["hole"].read_at - before.bookings[first].slots["hole"].read_at == hour
    assert after.bookings[first].struck[0].entry.read_at - before.bookings[first].struck[0].entry.read_at == hour
    assert after.said["reader"].read_at - before.said["reader"].read_at == hour
    assert after.said_before["reader"][0].read_at - before.said_before["reader"][0].read_at == hour
    assert after.notes[0].entry.read_at - before.notes[0].entry.read_at == hour
    pages.figure(first, "dial_1", "20.00")
    assert pages.state.bookings[first].slots["dial_1"].read_at == START + timedelta(minutes=len(pages.lines) - 1) + hour


def test_a_kind_that_is_not_known_is_counted_and_changes_nothing(pages, first):
    pages.start()
    before = pages.state
    pages.add("something_new", figure=1)
    assert pages.state.unknown == 1
    assert pages.state.bookings == before.bookings
    assert "something_new" not in KINDS


def test_an_earlier_length_is_a_booking_without_figures(pages):
    said = {"station": "A", "chord": "L-R", "length": "8012.3", "unit": "mm", "uncertainty": "0.4"}
    pages.add("earlier", **said, read_at="2030-01-01T06:00:00Z", baseline=True, tape="", extensometer="")
    pages.add("earlier", **said, read_at="2030-01-08T06:00:00Z", baseline=False, tape="", extensometer="")
    one, two = pages.state.readings(("A", "L-R"))
    assert (one.is_earlier, one.baseline, two.baseline) == (True, True, False)
    assert (one.slots["length"].typed, one.slots["uncertainty"].typed) == ("8012.3", "0.4")
    assert (one.read_at.day, two.read_at.day) == (1, 8)
    assert (one.figures(), one.was_read) == (None, False)


def test_somebody_told_is_kept_as_booked(pages):
    pages.add("call", station="A", chord="L-R", level="look", what="closing", survey="s", role="shift engineer",
              person="EF", told_at="2031-05-04T03:00:00Z", means="radio", answer="read again", by="AB")  # fmt: skip
    (told,) = pages.state.calls
    assert (told.role, told.person, told.answer, told.by) == ("shift engineer", "EF", "read again", "AB")
    assert told.data()["means"] == "radio"


TARGETS = st.sampled_from([FIRST, FIRST.again(), Target("B", "L-R"), frame_target("start"), zero_target("between")])
ACTIONS = st.one_of(
    st.tuples(st.just("said"), st.sampled_from(["tape", "reader", "stage"]), st.sampled_from(["T1", "T2", ""])),
    st.tuples(st.just("figure"), TARGETS, st.sampled_from(["hole", "dial_1", "dial_3", "temperature", "zero"])),
    st.tuples(st.sampled_from(["accepted", "unread", "go"]), TARGETS),
    st.tuples(st.just("struck"), st.integers(0, 40), st.sampled_from([None, "7"])),
    st.tuples(st.just("clock"), st.integers(-5000, 5000)),
    st.tuples(st.sampled_from(["note", "closed", "never_heard_of"])),
)


def written(actions) -> Pages:
    pages = Pages()
    for action in actions:
        kind = action[0]
        if kind == "said":
            pages.say(action[1], action[2])
        elif kind == "figure":
            pages.figure(action[1], action[2], "12")
        elif kind == "struck":
            typed = {} if action[2] is None else {"typed": action[2]}
            pages.add("struck", log="", seq=action[1], reason="misheard", by="AB", **typed)
        elif kind == "clock":
            pages.add("clock", shift_seconds=action[1])
        elif kind in ("accepted", "unread", "go"):
            pages.add(kind, **action[1].data(), **{"as": "read", "outcome": "blocked"})
        else:
            pages.add(kind, text="wet")
    return pages


@settings(max_examples=150, deadline=None)
@given(st.lists(ACTIONS, max_size=30), st.data())
def test_a_survey_taken_up_again_stands_where_it_stood(actions, data):
    """Any survey cut in two anywhere: the second part folded on the state of the first is the whole."""
    pages = written(actions)
    cut = data.draw(st.integers(0, len(pages.lines)))
    first = fold(pages.lines[:cut], pages.log)
    assert fold(pages.lines[cut:], pages.log, first) == pages.state


@settings(max_examples=150, deadline=None)
@given(st.lists(ACTIONS, max_size=30))
def test_nothing_typed_is_ever_lost(actions):
    """Every figure stands, or is struck and still to be seen."""
    pages = written(actions)
    state = pages.state
    kept = set()
    for booking in state.bookings.values():
        kept |= {entry.place for entry in booking.slots.values()} | {one.entry.place for one in booking.struck}
    kept |= {entry.place for entry in state.said.values()} | {one.entry.place for one in state.struck}
    kept |= {entry.place for before in state.said_before.values() for entry in before}
    kept |= {note.entry.place for note in state.notes}
    assert kept >= {(pages.log, line.seq) for line in pages.lines if line.kind in ("figure", "said", "note")}


def test_a_repeat_that_was_declined_and_is_read_after_all_has_its_own_time(pages, first):
    pages.start().chord(first)
    pages.figure(first, "dial_4", "")
    pages.add("note", text="tea")
    pages.figure(first, "dial_4", "20.10")
    entry = pages.state.bookings[first].slots["dial_4"]
    assert entry.read_at == START + timedelta(minutes=len(pages.lines) - 1)
    assert entry.read_order == entry.order


def test_who_was_told_is_told_by_the_clock_set_right_whether_booked_before_or_after(pages):
    told = {"station": "A", "chord": "L-R", "level": "alert", "what": "closing", "role": "shift engineer"}
    told |= {"person": "CD", "means": "radio", "answer": "", "by": "AB"}
    pages.add("call", **told, told_at="2031-05-04T06:00:00.000Z")
    pages.add("clock", shift_seconds=3600)
    pages.add("call", **told, told_at="2031-05-04T06:10:00.000Z")
    assert [one.told_at for one in pages.state.calls] == ["2031-05-04T07:00:00.000Z", "2031-05-04T07:10:00.000Z"]
