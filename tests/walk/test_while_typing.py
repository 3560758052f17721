"""What stays as it is while a figure is typed, and what follows as soon as it is booked."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fieldtui.job import LiveCalls, Survey, assess_chord, assess_figures, at_hand, figures_typed, local_time
from fieldtui.settings import parse_settings
from fieldtui.survey import Booking, Target, frame_target, zero_target
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.field import Field
from fieldtui.tui.lines import text_of
from fieldtui.tui.seen import Seen
from harness.desks import at_first_chord
from harness.jobs import Ticking, begin, book_chord, lay, with_past

LR = Target("A", "L-R")


@pytest.fixture
def desk(tmp_path: Path) -> WalkDesk:
    """At the second dial reading of the first chord."""
    desk = at_first_chord(tmp_path)
    press(desk, "320\n12.3\n")
    return desk


def press(desk: WalkDesk, keys: str) -> None:
    for key in keys:
        desk.press("enter" if key == "\n" else key, None if key == "\n" else key)
        draw_walk(desk, 80, 24)


def plot(desk: WalkDesk, width: int = 80) -> list[str]:
    page = text_of(draw_walk(desk, width, 24)).splitlines()
    title = next(place for place, line in enumerate(page) if "movement since the start" in line)
    return page[title : title + 5]


def head(desk: WalkDesk) -> str:
    return text_of(draw_walk(desk, 80, 24)[:2])


def test_the_plot_stands_still_while_a_figure_is_typed_and_follows_what_is_booked(desk: WalkDesk) -> None:
    before = plot(desk)
    press(desk, "2")
    assert plot(desk) == before, "2 mm would be a wall that moved"
    press(desk, "0\n")
    assert "◆" in "".join(plot(desk))
    assert plot(desk) != before


def test_the_plot_is_drawn_anew_for_another_width(desk: WalkDesk) -> None:
    for width in (80, 100, 80):
        assert plot(desk, width) == plot(WalkDesk(desk.walk), width)


def test_the_head_tells_the_chord_at_hand_and_how_far_the_survey_is(desk: WalkDesk) -> None:
    assert "0 of 3 chords read" in head(desk)
    assert "chord L-R" in head(desk)
    press(desk, "12.3\n12.3\n")
    if desk.slot == "hole_again":
        press(desk, "320\n")
    press(desk, "12\n\n")
    assert "1 of 3 chords read" in head(desk)
    assert "chord L-K" in head(desk)
    press(desk, "*")
    assert "chord L-R" in head(desk), "the one that is being corrected"


def test_the_head_names_the_key_for_a_call_while_that_acts(desk: WalkDesk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Seen, "open_calls", (None,))
    desk.seen = Seen(desk.walk)
    assert "1 to be told: w" in head(desk)
    desk.take(parse_settings("[keys]\ncall = 'z'", "settings.toml"))
    assert "1 to be told: z" in head(desk)
    press(desk, "+")
    assert "1 to be told \n" in f"{head(desk)} \n", "in a list a letter does nothing"


def test_half_a_number_has_no_rate_and_no_level(desk: WalkDesk) -> None:
    at, booked = at_hand(desk.walk, LR), assess_chord(desk.walk, LR)
    assert at is not None
    assert booked is not None
    typed = assess_figures(desk.walk, at, figures_typed(desk.walk, at, "dial_2", "12.3"), typing=True)
    assert typed.since_last is not None
    assert (typed.since_baseline, typed.rate, typed.level) == (None, None, None)
    assert None not in (booked.since_baseline, booked.rate, booked.level)


@pytest.fixture
def framed(tmp_path: Path) -> WalkDesk:
    """At the second dial reading of the control frame."""
    folder = tmp_path / "framed"
    folder.mkdir()
    walk = begin(lay(folder, control=True))
    for typed in ("AB", "", "1", "1", "", "1", "0.00", "199", "18.40"):
        walk.book(typed)
    return WalkDesk(walk)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.lists(st.text("0123456789.,-", max_size=7), min_size=2, max_size=6))
@example(["12", "12.", "12.3", "12.30", "12.3", "12.300", "-12.3", "12,3", "", "0"])
def test_what_is_told_of_a_figure_hangs_on_nothing_that_was_typed_before(
    desk: WalkDesk, framed: WalkDesk, typed: list[str]
) -> None:
    asked = [(desk, LR, slot) for slot in ("dial_2", "temperature", "hole")]
    asked += [(framed, frame_target("start"), slot) for slot in ("dial_2", "dial_1")]
    asked += [(framed, zero_target("start"), "zero")]
    kept = {id(one): Seen(one.walk) for one in (desk, framed)}
    by_text = [(*where, text) for text in typed for where in asked]
    by_place = [(*where, text) for where in asked for text in typed]
    for one, target, slot, text in by_text + by_place:
        told = kept[id(one)].told(target, slot, text)
        assert told == Seen(one.walk).told(target, slot, text), (target, slot, text)


def test_with_nothing_typed_the_slot_does_not_matter_and_the_booking_does(desk: WalkDesk) -> None:
    seen = Seen(desk.walk)
    before = seen.told(LR, "dial_2", "")
    assert seen.told(LR, "", " ") is before, "below a list, and back"
    seen.told(LR, "dial_2", "9")
    assert seen.told(LR, "dial_2", "") is before
    press(desk, "9\n")
    assert seen.told(LR, "dial_3", "") != before


def test_a_point_or_a_nought_behind_it_says_nothing_new(desk: WalkDesk) -> None:
    seen = Seen(desk.walk)
    told = seen.told(LR, "dial_2", "12.3")
    assert seen.told(LR, "dial_2", "12,30 ") is told
    assert seen.told(LR, "dial_2", "12.31") != told


def test_a_hole_typed_with_a_point_is_no_hole(desk: WalkDesk) -> None:
    press(desk, "**")
    seen = Seen(desk.walk)
    told = seen.told(LR, "hole", "319")
    assert seen.told(LR, "hole", "319.") != told
    assert seen.told(LR, "hole", "320.") == seen.told(LR, "hole", "320"), "the one that is booked"


KEYS = [*"0123456789.,+-*/?+-*/?n", "enter", "escape", "backspace", "left", "up", "down", "f1", "f10"]


@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(keys=st.lists(st.sampled_from(KEYS), min_size=5, max_size=25))
@example(["1", "2", "+", "escape", "backspace", "backspace", "+", "2", "enter", "*", "9", "escape"])
@example([*"12.3", "enter", *"12.3", "enter", *"14", "enter", "enter", "1", "backspace", "enter"])
@example([*"999", "enter", "f1", "0", "enter", "+", "0", "enter"])
@example(["t", "a", "backspace", "b", "escape"])
def test_what_is_kept_of_a_page_from_key_to_key_is_what_is_drawn_anew(tmp_path: Path, keys: list[str]) -> None:
    with TemporaryDirectory(dir=tmp_path) as folder:
        desk = at_first_chord(Path(folder))
        press(desk, "320\n12.3\n")
        for place, key in enumerate(keys):
            desk.press(key, key if len(key) == 1 else None)
            width = 60 if place % 7 == 6 else 80
            kept, page = desk.seen, draw_walk(desk, width, 24)
            desk.seen = Seen(desk.walk)
            assert page == draw_walk(desk, width, 24), keys[: place + 1]
            desk.seen = kept


def test_what_is_said_is_on_the_page_though_nothing_else_has_changed(desk: WalkDesk) -> None:
    press(desk, "1")
    for said, refused in (("", False), ("one thing", False), ("another", False), ("another", True)):
        desk.message, desk.refused = said, refused
        kept, page = desk.seen, draw_walk(desk, 80, 24)
        desk.seen = Seen(desk.walk)
        assert page == draw_walk(desk, 80, 24)
        desk.seen = kept
    desk.message, desk.field = "", Field()
    assert "nearly full" not in text_of(draw_walk(desk, 80, 24))
    desk.walk.conditions = ("the disk is nearly full",)
    assert "nearly full" in text_of(draw_walk(desk, 80, 24))
    desk.walk.saved_at = datetime(2031, 5, 4, 3, 21, 7, tzinfo=UTC)
    assert "saved 03:21:07" in text_of(draw_walk(desk, 80, 24))
    desk.take(parse_settings("[keys]\nmore = '/'\nunread = 'n'", "settings.toml"))
    assert "/ more" in text_of(draw_walk(desk, 80, 24))
    desk.ask("note", lambda _: None, "a text that was put there")
    assert "Esc, or / and 0: back" in text_of(draw_walk(desk, 80, 24))
    desk.field = replace(desk.field, fresh=False)
    assert "Esc: back" in text_of(draw_walk(desk, 80, 24)), "there / is a sign of the text"


def test_how_far_earlier_surveys_are_looked_at_is_on_the_page_while_nothing_is_booked(
    desk: WalkDesk, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls = desk.seen.calls = LiveCalls(desk.walk.job, desk.walk) if desk.walk.job is not None else None
    assert calls is not None
    calls.behind = True
    monkeypatch.setattr(calls, "open", lambda: (None,) * (3 - len(calls.left)))
    for done, key in enumerate(calls.left):
        assert f"earlier surveys: {done} of 3" in head(desk)
        assert len(desk.seen.open_calls) == done
        calls.look(key, None)
    assert "earlier surveys" not in head(desk)


def test_what_is_told_of_one_chord_is_not_what_was_told_of_another(desk: WalkDesk) -> None:
    desk.walk.figure(LR, "dial_2", "12.3")
    desk.walk.figure(LR, "dial_3", "12.3")
    desk.walk.figure(LR, "temperature", "12.0")
    desk.walk.go(other := Target("A", "L-K"))
    book_chord(desk.walk, "240", "22.30", "22.32", "22.31")
    kept = Seen(desk.walk)
    for slot, typed in (("", ""), ("dial_2", "12.31")):
        told = [kept.told(target, slot, typed) for target in (LR, other)]
        assert told == [Seen(desk.walk).told(target, slot, typed) for target in (LR, other)]
        assert told[0] != told[1]


def test_the_same_figures_of_another_chord_are_another_length(desk: WalkDesk) -> None:
    """Both chords begun and left; the figures of one are corrected, then the same one of the other."""
    desk.walk.go(other := Target("A", "L-K"))
    for typed in ("320", "12.3"):
        desk.walk.book(typed)
    kept = Seen(desk.walk)
    told = [kept.told(target, "dial_2", "12.31") for target in (LR, other)]
    assert told == [Seen(desk.walk).told(target, "dial_2", "12.31") for target in (LR, other)]
    assert told[0] != told[1]


def test_earlier_surveys_are_not_gone_through_with_every_key_at_the_dial_zero(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = with_past(lay(tmp_path), before=Ticking().now)
    walk = begin(path)
    zero, seen, asked = zero_target("start"), Seen(walk), []
    bookings_of = Survey.bookings_of

    def counted(survey: Survey, key: tuple[str, str]) -> Mapping[Target, Booking]:
        asked.append(survey.label)
        return bookings_of(survey, key)

    monkeypatch.setattr(Survey, "bookings_of", counted)
    for extensometer, told in (("X1", "its last dial zero was 0.00"), ("a new one", "")):
        walk.commit("said", {"what": "extensometer", "typed": extensometer})
        asked.clear()
        for typed in ("", "0", "0.1", "0.12"):
            assert "".join(one.text for one in seen.told(zero, "zero", typed)[:1]) == told
        assert len(asked) == len(set(asked)) > 0, "each of them once"


def standing(desk: WalkDesk) -> tuple[object, ...]:
    return (desk.walk.state, desk.mode, desk.field, desk.message, desk.page, desk.done, desk.bell)


@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(keys=st.lists(st.sampled_from(KEYS), max_size=20))
def test_a_key_that_edits_books_nothing_and_one_that_does_not_is_left_alone(tmp_path: Path, keys: list[str]) -> None:
    with TemporaryDirectory(dir=tmp_path) as folder:
        desk = at_first_chord(Path(folder))
        for key in keys:
            character = key if len(key) == 1 else None
            before = standing(desk)
            if desk.edit(key, character):
                assert desk.walk.state is before[0], keys
                assert (desk.done, desk.bell) == before[-2:], keys
            else:
                assert standing(desk) == before, keys
                desk.press(key, character)
            if desk.done:
                break
            desk.bell = False


def test_the_last_reading_was_at_the_time_that_clocks_showed_there(desk: WalkDesk) -> None:
    moment = datetime(2031, 1, 4, 23, 30, tzinfo=UTC)
    route = desk.walk.route
    shown = [local_time(replace(route, time_zone=zone), moment) for zone in ("UTC", "Asia/Tokyo")]
    assert shown == ["04 Jan 23:30", "05 Jan 08:30"]
