"""What can be booked at a prompt, and what is refused with words."""

from __future__ import annotations

import pytest

from fieldtui.survey import EntryRefused, Step, Target, check_answer, check_figure, clean_text, unit_of


@pytest.fixture
def begun(pages):
    return pages.start().state


@pytest.mark.parametrize("hole", ["1", "600"])
def test_the_tape_s_own_holes_are_taken(route, begun, first, hole):
    check_figure(route, begun, first, "hole", hole)


@pytest.mark.parametrize("typed", ["25.00", "25,00", "25."])
def test_a_dial_typed_where_the_hole_is_asked_for_is_refused_also_where_it_is_whole(route, begun, first, typed):
    with pytest.raises(EntryRefused, match=r"looks like a dial reading"):
        check_figure(route, begun, first, "hole", typed)
    check_figure(route, begun, first, "dial_1", typed)


@pytest.mark.parametrize("hole", ["0", "601", "-1", "31.5", ""])
def test_a_hole_that_the_tape_does_not_have_is_refused(route, begun, first, hole):
    with pytest.raises(EntryRefused):
        check_figure(route, begun, first, "hole", hole)


@pytest.mark.parametrize(("dial", "taken"), [("0", True), ("50", True), ("50.01", False), ("-0.01", False)])
def test_the_dial_s_range_is_what_it_can_show(route, begun, first, dial, taken):
    if taken:
        check_figure(route, begun, first, "dial_1", dial)
    else:
        with pytest.raises(EntryRefused, match=r"reads 0\.0 to 50\.0"):
            check_figure(route, begun, first, "dial_1", dial)


def test_a_temperature_of_the_other_unit_is_named(route, begun, first):
    with pytest.raises(EntryRefused, match="not degF"):
        check_figure(route, begun, first, "temperature", "61")
    check_figure(route, begun, first, "temperature", "-40")


def test_nothing_is_taken_with_an_instrument_that_is_not_in_the_route(route, pages, first):
    pages.say("tape", "T9")
    with pytest.raises(EntryRefused, match="not in the route file"):
        check_figure(route, pages.state, first, "hole", "3")


def test_a_choice_is_taken_by_number_or_name_and_a_sole_one_by_enter(route, controlled):
    assert check_answer(route, Step("say", "tape"), "2") == "T2"
    assert check_answer(route, Step("say", "tape"), "T1") == "T1"
    assert check_answer(controlled, Step("say", "tape"), "") == "T1"
    for wrong in ("3", "0", "t1", ""):
        with pytest.raises(EntryRefused):
            check_answer(route, Step("say", "tape"), wrong)


def test_what_may_stay_empty_may_and_nothing_else(route):
    assert check_answer(route, Step("say", "recorder", optional=True), " ") == ""
    with pytest.raises(EntryRefused, match="cannot stay empty"):
        check_answer(route, Step("say", "reader"), " ")


def test_a_text_is_one_line_of_two_hundred_characters():
    assert clean_text(" a\tb\nc\x00 ") == "a b c"
    assert len(clean_text("x" * 200)) == 200
    with pytest.raises(EntryRefused, match="201 characters"):
        clean_text("x" * 201)


def test_a_booking_is_checked_against_the_tape_it_was_begun_with(route, pages, first):
    pages.start()
    pages.figure(first, "hole", "319")
    pages.say("tape", "T9")
    check_figure(route, pages.state, first, "hole", "600")
    with pytest.raises(EntryRefused):
        check_figure(route, pages.state, Target("B", "L-R"), "hole", "600")


def test_a_hole_is_a_number_without_a_unit_the_first_time_and_asked_for_again(route):
    assert [unit_of(route, slot) for slot in ("hole", "hole_again")] == ["", ""]
    assert [unit_of(route, slot) for slot in ("dial_1", "zero", "temperature")] == ["mm", "mm", "degC"]
