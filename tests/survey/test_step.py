"""What comes next, from the records alone."""

from __future__ import annotations

from fieldtui.survey import Target, frame_target, missing, next_step, zero_target


def walked(route, pages):
    step = next_step(route, pages.state)
    return step.kind, step.what


def test_the_questions_come_first_and_in_order(route, pages):
    asked = []
    while (step := next_step(route, pages.state)).kind == "say":
        asked.append((step.what, step.optional))
        pages.say(step.what, "T1")
    assert asked == [
        ("reader", False),
        ("recorder", True),
        ("tape", False),
        ("extensometer", False),
        ("stage", True),
        ("cautions", False),
    ]
    assert walked(route, pages) == ("figure", "zero")


def test_a_chord_is_arrived_at_and_read_figure_by_figure(route, pages, first):
    pages.start()
    assert walked(route, pages) == ("arrive", "A")
    pages.add("arrived", station="A")
    for slot in ("hole", "dial_1", "dial_2", "dial_3", "temperature"):
        assert walked(route, pages) == ("figure", slot)
        pages.figure(first, slot, "20")
    assert walked(route, pages) == ("result", "")


def test_repeats_that_do_not_agree_ask_for_a_fourth_and_fifth_until_it_is_declined(route, pages, first):
    pages.start()
    pages.add("arrived", station="A")
    for slot, typed in (("hole", "319"), ("dial_1", "20.00"), ("dial_2", "20.00"), ("dial_3", "21.00")):
        pages.figure(first, slot, typed)
    assert walked(route, pages) == ("figure", "dial_4")
    pages.figure(first, "dial_4", "22.00")
    assert walked(route, pages) == ("figure", "dial_5")
    pages.figure(first, "dial_5", "")
    assert walked(route, pages) == ("figure", "temperature")


def test_the_walk_goes_on_after_the_chord_dealt_with_last(route, pages, first, second):
    pages.start().chord(second)
    assert walked(route, pages) == ("arrive", "B")
    pages.add("unread", **Target("B", "L-R").data(), outcome="blocked", note="")
    assert walked(route, pages) == ("end", "")
    assert missing(route, pages.state) == (first,)
    pages.add("go", **first.data())
    assert walked(route, pages)[1] == "hole"


def test_the_frame_is_read_at_both_ends(controlled, pages, first):
    pages.start()
    assert next_step(controlled, pages.state).target == frame_target("start")
    pages.chord(frame_target("start"), "199", "18.40")
    pages.add("go", end=True)
    assert next_step(controlled, pages.state).target == frame_target("end")


def test_another_tape_is_proved_on_the_frame_before_it_is_read_with(controlled, pages, first, second):
    pages.start(control=True).chord(first)
    pages.say("tape", "T2")
    again = frame_target("start").again()
    assert next_step(controlled, pages.state).target == again
    pages.figure(again, "hole", "199")
    assert walked(controlled, pages) == ("figure", "dial_1")
    pages.chord(again, "199", "18.40")
    assert next_step(controlled, pages.state).target == second
    pages.say("tape", "T1")
    assert next_step(controlled, pages.state).target == second, "this one was proved at the start"


def test_a_frame_too_far_away_to_prove_another_tape_can_be_booked_as_not_read(controlled, pages, first, second):
    pages.start(control=True).chord(first)
    pages.say("tape", "T2")
    pages.add("unread", **frame_target("start").again().data(), outcome="other", note="an hour away")
    assert next_step(controlled, pages.state).target == second


def test_another_extensometer_begins_with_its_dial_zero(route, controlled, pages, first, second):
    pages.start(control=True).chord(first)
    pages.say("extensometer", "X2")
    again = zero_target("start").again()
    assert next_step(controlled, pages.state).target == again
    pages.figure(again, "zero", "0.01")
    assert next_step(controlled, pages.state).target == frame_target("start").again()
    assert next_step(route, pages.state).target == second, "no frame on this route"


def test_a_tape_set_right_takes_its_frame_reading_along(controlled, pages, first, second):
    pages.start(control=True).chord(first)
    named = next(line.seq for line in pages.lines if line.data.get("what") == "tape")
    pages.add("struck", log="", seq=named, reason="named wrong", by="AB", typed="T2")
    assert next_step(controlled, pages.state).target == second


def test_a_chord_not_read_can_be_read_after_all(route, pages, first):
    pages.start()
    pages.add("unread", **first.data(), outcome="blocked", note="")
    pages.add("go", **first.data())
    pages.add("arrived", station="A")
    assert walked(route, pages) == ("figure", "hole")


def test_a_struck_figure_is_asked_for_again(route, pages, first):
    pages.start().chord(first)
    hole = next(line.seq for line in pages.lines if line.data.get("slot") == "hole")
    pages.add("struck", log="", seq=hole, reason="misheard", by="AB")
    assert walked(route, pages) == ("figure", "hole")
    pages.figure(first, "hole", "320")
    assert walked(route, pages) == ("result", "")


def test_a_struck_zero_is_asked_for_again_and_one_set_right_is_not(route, pages):
    pages.start()
    zero = pages.state.bookings[zero_target("start")].slots["zero"].seq
    pages.add("struck", log="", seq=zero, reason="misheard", by="AB", typed="0.01")
    assert walked(route, pages) == ("arrive", "A")
    pages.add("struck", log="", seq=pages.lines[-1].seq, reason="misheard", by="AB")
    assert walked(route, pages) == ("figure", "zero")


def test_a_closed_survey_has_no_prompt(route, pages):
    pages.add("closed")
    assert walked(route, pages) == ("closed", "")


def test_a_chord_read_from_its_other_end_is_dealt_with(route, pages, first, second):
    pages.start().chord(Target("A", "R-L"))
    assert first not in missing(route, pages.state)
    assert next_step(route, pages.state).target == second
    assert [booking.target.chord for booking in pages.state.readings(("A", "L-R"))] == ["R-L"]


def test_what_was_read_after_the_closing_frame_asks_for_it_once_more(controlled, pages, first, second):
    pages.start(control=True).chord(first)
    pages.add("go", end=True)
    pages.chord(frame_target("end"), "199", "18.40")
    assert walked(controlled, pages) == ("end", "")
    pages.add("go", **second.data())
    pages.chord(second)
    pages.add("go", end=True)
    step = next_step(controlled, pages.state)
    assert (step.kind, step.what, step.target) == ("figure", "hole", frame_target("end", 2))
    pages.chord(frame_target("end", 2), "199", "18.40")
    assert walked(controlled, pages) == ("end", "")


def test_a_chord_begun_and_left_after_the_closing_frame_counts_too(controlled, pages, first, second):
    pages.start(control=True).chord(first)
    pages.add("go", end=True)
    pages.chord(frame_target("end"), "199", "18.40")
    pages.figure(second, "dial_1", "20.00")
    pages.add("go", end=True)
    assert next_step(controlled, pages.state).target == frame_target("end", 2)


def test_a_correction_or_a_chord_not_read_asks_for_no_further_frame(controlled, pages, first, second):
    pages.start(control=True).chord(first)
    pages.add("go", end=True)
    pages.chord(frame_target("end"), "199", "18.40")
    pages.figure(first, "dial_3", "20.10")
    pages.add("accepted", **first.data(), **{"as": "read", "reason": "", "shown": {}})
    pages.add("unread", **second.data(), outcome="blocked", note="")
    pages.add("go", end=True)
    assert walked(controlled, pages) == ("end", "")


def test_a_closing_frame_not_read_is_asked_for_once_a_chord_was_read_after_it(controlled, pages, first, second):
    pages.start(control=True).chord(first)
    pages.add("go", end=True)
    pages.add("unread", **frame_target("end").data(), outcome="blocked", note="")
    assert walked(controlled, pages) == ("end", "")
    pages.chord(second)
    pages.add("go", end=True)
    assert next_step(controlled, pages.state).target == frame_target("end", 2)


def test_a_further_closing_frame_begun_and_left_is_gone_on_with(controlled, pages, first, second):
    pages.start(control=True).chord(first)
    pages.add("go", end=True)
    pages.chord(frame_target("end"), "199", "18.40")
    pages.figure(frame_target("end", 2), "hole", "199")
    assert walked(controlled, pages) == ("end", "")
    pages.chord(second)
    pages.add("go", end=True)
    step = next_step(controlled, pages.state)
    assert (step.what, step.target) == ("dial_1", frame_target("end", 2))


def test_the_order_of_booking_decides_and_no_clock(controlled, pages, first, second):
    pages.start(control=True).chord(first)
    pages.add("go", end=True)
    pages.chord(frame_target("end"), "199", "18.40")
    for slot in ("hole", "dial_1", "dial_2", "dial_3", "temperature"):
        pages.add("figure", **second.data(), slot=slot, typed="20", read_at="2031-05-01T06:00:00Z")
    pages.add("accepted", **second.data(), **{"as": "read", "reason": "", "shown": {}})
    pages.add("go", end=True)
    assert next_step(controlled, pages.state).target == frame_target("end", 2)


def test_a_hole_corrected_in_a_whole_reading_asks_for_the_other_one(route, pages, first):
    pages.start().chord(first)
    pages.figure(first, "hole_again", "319")
    pages.figure(first, "hole", "318")
    assert walked(route, pages) == ("figure", "hole_again")
