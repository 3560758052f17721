"""Calls: which level, whom to tell, who was told; open until each role has been told. Levels: 5 mm look, 10 mm stop."""

from __future__ import annotations

import pytest

from fieldtui.job.calls import has_left
from fieldtui.job.kept import KeptBookings
from fieldtui.survey import State, Target
from harness.shelf import Read, day, stamp

KEPT = {"outcome": "kept", "reason": "jumped"}


def told(call, role, **more):
    about = {"station": call.station, "chord": call.chord, "level": call.level, "what": call.what}
    said = {"person": "EF", "means": "radio", "told_at": stamp(day(9)), "answer": "read again at noon"}
    return ("call", {**about, "survey": call.survey, "role": role, **said, **more})


def names(calls):
    return [(call.level, call.what, call.state, call.label) for call in calls]


@pytest.fixture
def over(shelf):
    """Over the first level on day 2 and still on day 3."""
    for days, length in ((0, "8000"), (1, "7998"), (2, "7993"), (3, "7992.5")):
        shelf.survey(days, Read("L-R", length), Read("L-K", "6000"), label=f"day {days}")
    return shelf


def test_a_level_that_is_reached_opens_a_call_when_the_chord_is_left(over):
    (call,) = over.job.open_calls()
    assert (call.station, call.chord, call.level, call.what) == ("A", "L-R", "look", "closing")
    assert (call.state, call.label, float(call.value), float(call.limit)) == ("above", "day 2", 7.0, 5.0)
    assert (call.response, call.tell) == ("Read again within the shift.", ("shift engineer",))
    assert call.untold == ("shift engineer",)


def test_it_is_open_until_each_role_is_told(over):
    over.survey(4, Read("L-R", "7985"), label="day 4")
    look, stop = over.job.open_calls()
    assert (stop.level, stop.tell) == ("stop", ("tunnel manager",))
    over.journal(5, told(look, "shift engineer"))
    assert over.job.open_calls() == (stop,)
    over.journal(6, told(stop, "shift engineer"))
    assert len(over.job.open_calls()) == 1
    over.journal(7, told(stop, "tunnel manager"))
    assert over.job.open_calls() == ()
    assert [one.answer for one in over.job.calls[0].told] == ["read again at noon"]
    assert [one.by for one in over.job.calls[0].told] == ["CD"]


def test_it_goes_on_through_the_surveys_and_is_one_call(over):
    assert len(over.job.calls) == 1
    over.survey(4, Read("L-R", "7992"), label="day 4")
    assert names(over.job.calls) == [("look", "closing", "above", "day 2")]


def test_below_and_over_again_is_a_new_call(over):
    over.journal(3.5, told(over.job.calls[0], "shift engineer"))
    over.survey(4, Read("L-R", "7997"), label="day 4")
    over.survey(5, Read("L-R", "7993"), label="day 5")
    assert names(over.job.open_calls()) == [("look", "closing", "above", "day 5")]
    assert len(over.job.calls) == 2


def test_what_cannot_be_told_from_a_level_is_told_like_above(shelf):
    shelf.survey(0, Read("L-R", "8000"))
    shelf.survey(1, Read("L-R", "7995.1"), label="day 1")
    assert names(shelf.job.open_calls()) == [("look", "closing", "cannot tell", "day 1")]


def test_accepted_without_a_second_reading_it_is_open_before_anything_else_is_booked(shelf):
    shelf.survey(0, Read("L-R", "8000"))
    shelf.survey(1, Read("L-R", "7993"), closed=False)
    assert len(shelf.job.open_calls()) == 1


def test_going_on_to_another_chord_opens_it(shelf):
    shelf.survey(0, Read("L-R", "8000"))
    shelf.survey(1, Read("L-R", "7993"), Read("L-K", "6000"), closed=False)
    assert len(shelf.job.open_calls()) == 1


def test_so_does_a_second_reading_that_says_the_same(shelf):
    shelf.survey(0, Read("L-R", "8000"))
    shelf.survey(1, Read("L-R", "7993"), Read("L-R", "7993.1"), closed=False)
    assert len(shelf.job.open_calls()) == 1


def test_a_second_reading_that_counts_and_is_below_takes_it_back(shelf):
    shelf.survey(0, Read("L-R", "8000"))
    shelf.survey(1, Read("L-R", "7975", **KEPT), Read("L-R", "7999.5"))
    assert shelf.job.calls == ()


def test_a_doubtful_second_reading_takes_nothing_back(shelf):
    shelf.survey(0, Read("L-R", "8000"))
    shelf.survey(1, Read("L-R", "7993"), Read("L-R", "7999.5", **KEPT))
    assert len(shelf.job.open_calls()) == 1


def test_no_doubt_keeps_a_call_from_opening(shelf):
    shelf.survey(0, Read("L-R", "8000"))
    shelf.survey(1, Read("L-R", "7975", **KEPT), label="day 1")
    assert [call.level for call in shelf.job.open_calls()] == ["look", "stop"]


def test_a_doubtful_reading_below_the_level_does_not_end_a_call(over):
    over.survey(4, Read("L-R", "8000", **KEPT), label="day 4")
    over.survey(5, Read("L-R", "7992.4"), label="day 5")
    assert len(over.job.calls) == 1


def test_a_level_reached_before_stays_reached_over_a_new_tape(over):
    over.journal(3.5, told(over.job.calls[0], "shift engineer"))
    over.survey(4, Read("L-R", "8100"), tape="T2", label="day 4")
    assert len(over.job.calls) == 1
    assert over.job.open_calls() == ()


def test_a_level_reached_before_stays_reached_where_the_new_tape_s_first_reading_is_doubtful(shelf):
    """At 4.4 of 5 mm when the tape is changed: what may have moved since makes it not to be told from the level."""
    for days, length in ((0, "8000"), (1, "7998"), (2, "7995.6")):
        shelf.survey(days, Read("L-R", length), label=f"day {days}")
    shelf.survey(3, Read("L-R", "8100", **KEPT), tape="T2", label="day 3")
    assert names(shelf.job.open_calls()) == [("look", "closing", "cannot tell", "day 3")]
    row = shelf.job.history()[-1]
    assert (row.doubtful, row.counts, float(row.since_baseline.value)) == (True, False, -4.4)


def test_told_in_a_survey_it_is_told(over):
    (call,) = over.job.open_calls()
    kind, data = told(call, "shift engineer", by="AB")
    over.survey(4, Read("L-R", "7992.4"), label="day 4", more=[(kind, data)])
    assert over.job.open_calls() == ()


def test_told_of_a_later_survey_of_the_same_call_it_is_told(over):
    """Whoever tells may name the survey that is at hand; a survey booked late may have opened the call before it."""
    (call,) = over.job.open_calls()
    over.journal(4, told(call, "shift engineer", survey="id of day 3"))
    assert over.job.open_calls() == ()
    over.journal(5, told(call, "shift engineer", survey="id of day 0"), name="other")
    assert len(over.job.calls[0].told) == 1


def test_a_telling_that_does_not_say_how_is_refused_by_the_journal(over):
    (call,) = over.job.open_calls()
    over.journal(4, told(call, "shift engineer", means=""))
    assert len(over.job.open_calls()) == 1
    assert "“means” is missing" in over.job.problems[0]


def test_practice_opens_no_call(shelf):
    shelf.survey(0, Read("L-R", "8000"))
    shelf.survey(1, Read("L-R", "7980"), scope="practice")
    assert shelf.job.calls == ()


def test_a_clock_that_went_back_does_not_hide_that_the_chord_was_left(shelf):
    shelf.survey(0, Read("L-R", "8000"), Read("L-K", "6000"))
    over, after = Read("L-R", "7990", after_hours=5), Read("L-K", "6000", after_hours=1)
    shelf.survey(1, over, after, label="day 1", closed=False)
    assert {call.label for call in shelf.job.open_calls()} == {"day 1"}


def test_a_closed_survey_was_left_without_a_look_at_its_bookings():
    no_index = None  # a look would need it: one for each reading over a level takes as long as all else together
    assert has_left(State(bookings=KeptBookings(no_index, "a log"), closed=True), Target("A", "L-R"))
