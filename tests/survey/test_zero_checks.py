"""When the dial zero is read again: at the route's spacing, at the end, and after anything that may have lost it."""

from __future__ import annotations

import pytest

from fieldtui.route import Route, parse_route
from fieldtui.survey import Target, frame_target, next_step, zero_target
from fieldtui.survey.tended import DIAL, care_given
from harness.jobs import CONTROL, TWO_CHORDS


@pytest.fixture(scope="module")
def checked() -> Route:
    """The dial zero is to be read at every station."""
    return parse_route(TWO_CHORDS.replace("{more}", "zero_check_every = 1") + CONTROL, {}, name="r.toml")


def asked(route, pages):
    step = next_step(route, pages.state)
    return step.kind, step.target


BETWEEN = zero_target("between")


def test_after_as_many_stations_as_the_route_says_and_before_the_next_one(checked, pages, first, second):
    pages.start(control=True).chord(first)
    assert asked(checked, pages) == ("figure", second), "never in the middle of a station"
    pages.chord(second)
    assert asked(checked, pages) == ("figure", BETWEEN)
    pages.figure(BETWEEN, "zero", "0.01")
    assert asked(checked, pages) == ("arrive", Target("B", "L-R"))


def test_a_station_where_nothing_could_be_read_does_not_count(checked, pages, first, second):
    pages.start(control=True)
    pages.add("arrived", station="A")
    for target in (first, second):
        pages.add("unread", **target.data(), outcome="blocked", note="")
    assert asked(checked, pages) == ("arrive", Target("B", "L-R"))


def test_a_check_of_the_surveyor_s_own_counts(checked, pages, first, second):
    pages.start(control=True).chord(first)
    pages.chord(second)
    pages.add("go", **BETWEEN.data())
    pages.figure(BETWEEN, "zero", "0.00")
    assert asked(checked, pages) == ("arrive", Target("B", "L-R"))


def test_a_check_that_could_not_be_made_is_dealt_with(checked, pages, first, second):
    pages.start(control=True)
    pages.chord(first)
    pages.chord(second)
    pages.add("unread", **BETWEEN.data(), outcome="other", note="dial stuck")
    assert asked(checked, pages) == ("arrive", Target("B", "L-R"))


def test_at_the_end_the_zero_comes_before_the_frame_and_again_after_a_further_chord(checked, pages, first):
    pages.start(control=True)
    pages.add("go", end=True)
    assert asked(checked, pages) == ("figure", zero_target("end"))
    pages.figure(zero_target("end"), "zero", "0.00")
    assert asked(checked, pages) == ("figure", frame_target("end"))
    pages.chord(first)
    pages.add("go", end=True)
    assert asked(checked, pages) == ("figure", zero_target("end").again())


def test_a_route_that_asks_for_no_checks_gets_none(controlled, pages, first, second):
    pages.start(control=True)
    for target in (first, second, Target("B", "L-R")):
        pages.chord(target)
    assert asked(controlled, pages) == ("figure", frame_target("end"))


@pytest.mark.parametrize("event", ["it was off", "it has a new battery"])
def test_after_the_dial_was_off_its_zero_is_read_at_once(controlled, pages, first, event):
    pages.start(control=True)
    pages.add("arrived", station="A")
    pages.figure(first, "hole", "319")
    pages.say(DIAL, event)
    assert asked(controlled, pages) == ("figure", BETWEEN)
    pages.figure(BETWEEN, "zero", "0.02")
    assert asked(controlled, pages) == ("figure", first), "back to the chord that was begun"
    assert next_step(controlled, pages.state).what == "dial_1"


def test_an_earlier_zero_that_is_corrected_does_not_stand_for_the_one_that_is_due(checked, pages, first, second):
    pages.start(control=True)
    pages.say(DIAL, "it was off")
    pages.figure(zero_target("start"), "zero", "0.01")
    assert asked(checked, pages) == ("figure", BETWEEN), "it was read before the dial was off"
    pages.figure(BETWEEN, "zero", "0.00")
    pages.chord(first)
    pages.chord(second)
    pages.figure(BETWEEN, "zero", "0.01")
    assert asked(checked, pages) == ("figure", BETWEEN.again()), "it was read before the station"


def test_a_closing_zero_that_is_corrected_after_a_further_chord_is_read_again_all_the_same(checked, pages, first):
    pages.start(control=True)
    pages.add("go", end=True)
    pages.figure(zero_target("end"), "zero", "0.00")
    pages.chord(first)
    pages.figure(zero_target("end"), "zero", "0.01")
    pages.add("go", end=True)
    assert asked(checked, pages) == ("figure", zero_target("end").again())


def test_what_happened_to_the_dial_set_right_in_words_asks_for_no_further_zero(controlled, pages, first):
    pages.start(control=True)
    place = pages.say(DIAL, "it was off")
    pages.figure(BETWEEN, "zero", "0.00")
    pages.add("struck", log="one", seq=place, reason="misheard", by="AB", typed="it has a new battery")
    assert asked(controlled, pages) == ("arrive", first)


def test_struck_out_it_asks_for_nothing(controlled, pages, first):
    pages.start(control=True)
    place = pages.say(DIAL, "it was off")
    pages.add("struck", log="one", seq=place, reason="another dial", by="AB")
    assert asked(controlled, pages) == ("arrive", first)


def test_care_booked_in_a_walk_is_found_each_time(pages):
    pages.say("care dial battery", "done")
    pages.say("care dial battery", "done")
    assert [what for what, _ in care_given(pages.state)] == ["dial battery", "dial battery"]
