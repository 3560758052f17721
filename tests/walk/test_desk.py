"""Mistakes at every prompt: a clear sentence, the figure kept for correction, nothing booked. And what the keys do."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from fieldtui.errors import FieldError
from fieldtui.job import log_code
from fieldtui.log import WriteFailed
from fieldtui.printable import printable
from fieldtui.settings import parse_settings
from fieldtui.survey import Target
from fieldtui.survey.actions import ACTIONS
from fieldtui.tui.deeds import DEEDS
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.draw_form import field_cells
from fieldtui.tui.field import Field
from fieldtui.tui.lines import text_of, width_of
from fieldtui.tui.menu import Item, Menu
from harness.jobs import CONTROL, Ticking, answer_start, begin, book_chord, lay, resume, with_past

NAMES = {"\n": "enter", "*": "asterisk", "/": "slash", "+": "plus", "-": "minus"}


def full(*_: object, **__: object) -> None:
    """What a write does on a disk that has no room."""
    raise WriteFailed("No space left on the disk.")


def press(desk: WalkDesk, keys: str) -> None:
    for key in keys:
        desk.press(NAMES.get(key, key), None if key == "\n" else key)


def page(desk: WalkDesk, width: int = 80, height: int = 24) -> str:
    return text_of(draw_walk(desk, width, height))


@pytest.fixture
def desk(tmp_path: Path) -> WalkDesk:
    return WalkDesk(begin(lay(tmp_path)))


@pytest.fixture
def at_chord(desk: WalkDesk) -> WalkDesk:
    answer_start(desk.walk)
    desk.walk.book("")
    desk.to_step()
    return desk


def booked(desk: WalkDesk) -> int:
    return len(desk.walk.writer.records)


def at_slot(desk: WalkDesk, slot: str) -> None:
    for name, typed in (("hole", "320"), ("dial_1", "12.3"), ("dial_2", "12.3"), ("dial_3", "12.3")):
        if desk.step.what == slot:
            return
        press(desk, typed + "\n")
        assert not desk.refused, name
    if desk.step.what == "hole_again":
        press(desk, "320\n")


WRONG = [
    ("hole", "", "no figure"),
    ("hole", "12a", "not a number"),
    ("hole", "1.2.3", "two decimal points"),
    ("hole", "1,2.3", "two decimal points"),
    ("hole", "320.5", "whole number"),
    ("hole", "601", "holes 1 to 600"),
    ("hole", "0", "holes 1 to 600"),
    ("hole", "-3", "holes 1 to 600"),
    ("hole", "٣٢٠", "not a number"),
    ("hole", "3_20", "not a number"),
    ("hole", "1234567890123", "too many"),
    ("dial_1", "", "no figure"),
    ("dial_1", "fifty", "not a number"),
    ("dial_1", "50.01", "0.0 to 50.0"),
    ("dial_1", "-0.01", "0.0 to 50.0"),
    ("dial_2", "1e1", "not a number"),
    ("dial_3", ".", "not a number"),
    ("temperature", "400", "-40 to 60"),
    ("temperature", "68.5", "not degF"),
    ("temperature", "nan", "not a number"),
    ("temperature", "", "no figure"),
]


@pytest.mark.parametrize(("slot", "typed", "told"), WRONG)
def test_a_figure_that_cannot_be_is_refused_with_words_and_kept(
    at_chord: WalkDesk, slot: str, typed: str, told: str
) -> None:
    at_slot(at_chord, slot)
    before = booked(at_chord)
    for character in typed:
        at_chord.field = at_chord.field.insert(character)
    press(at_chord, "\n")
    assert at_chord.refused
    assert told in at_chord.message
    assert at_chord.bell
    assert at_chord.field.text == typed
    assert booked(at_chord) == before
    assert at_chord.step.what == slot
    assert at_chord.message.split()[0] in page(at_chord)


@pytest.mark.parametrize("typed", ["12.5", "12,5", " 12.5 ", "+12.5", "12.50"])
def test_a_figure_is_booked_as_it_was_typed(at_chord: WalkDesk, typed: str) -> None:
    at_slot(at_chord, "dial_1")
    for character in typed:
        at_chord.field = at_chord.field.insert(character)
    press(at_chord, "\n")
    booking = at_chord.walk.state.bookings[Target("A", "L-R")]
    assert booking.slots["dial_1"].typed == typed.strip()
    assert str(booking.dials[0]) in ("12.5", "12.50")


@pytest.mark.parametrize(("what", "typed"), [("reader", ""), ("tape", "T9"), ("tape", "3"), ("extensometer", "2")])
def test_a_question_refuses_what_is_no_answer(desk: WalkDesk, what: str, typed: str) -> None:
    for answer in ("AB", "", "1"):
        if desk.step.what == what:
            break
        press(desk, answer + "\n")
    before = booked(desk)
    press(desk, typed + "\n")
    assert desk.refused
    assert booked(desk) == before
    assert desk.step.what == what


def test_what_was_half_typed_below_a_list_goes_on_after_a_choice_that_is_refused(at_chord: WalkDesk) -> None:
    def refuse() -> None:
        raise FieldError("Not now.", todo="Go on.")

    press(at_chord, "32")
    at_chord.open(Menu("What now", (Item("what cannot be done", refuse),)))
    press(at_chord, "1\n")
    assert at_chord.refused
    press(at_chord, "0")
    assert at_chord.field.text == "320"


def test_a_figure_that_was_refused_is_typed_anew_or_set_right(at_chord: WalkDesk) -> None:
    press(at_chord, "320\n12.3\n12.31\n12.32\n")
    while at_chord.slot != "temperature":
        press(at_chord, "320\n")
    press(at_chord, "31912\n")
    assert at_chord.refused
    press(at_chord, "")
    assert "[31912" in page(at_chord)
    at_chord.press("backspace", None)
    assert at_chord.field.text == "3191"
    press(at_chord, "\n12\n")
    assert at_chord.step.kind == "result", "by the number pad, which has no key that takes it out"
    assert at_chord.walk.state.bookings[Target("A", "L-R")].slots["temperature"].typed == "12"


def test_letters_are_text_where_a_name_is_asked_for(desk: WalkDesk) -> None:
    press(desk, "junq*/+\n")
    assert desk.walk.state.answer("reader") == "junq*/+"


def test_a_control_character_in_a_name_is_not_booked(desk: WalkDesk) -> None:
    desk.paste("A\x1b[31mB")
    press(desk, "\n")
    assert desk.walk.state.answer("reader") == "A [31mB"


def test_correcting_takes_one_key_and_keeps_the_first_record(at_chord: WalkDesk) -> None:
    press(at_chord, "320\n12.34\n")
    press(at_chord, "*")
    assert at_chord.field.text == "12.34"
    press(at_chord, "12.43\n")
    booking = at_chord.walk.state.bookings[Target("A", "L-R")]
    assert booking.slots["dial_1"].typed == "12.43"
    assert [struck.entry.typed for struck in booking.struck] == ["12.34"]
    assert [r.data["typed"] for r in at_chord.walk.writer.records if r.kind == "figure"][-2:] == ["12.34", "12.43"]
    assert at_chord.step.what == "dial_2"


def test_correcting_again_goes_one_figure_further_back(at_chord: WalkDesk) -> None:
    press(at_chord, "320\n12.34\n**")
    assert at_chord.mode.slot == "hole"
    press(at_chord, "321\n")
    assert at_chord.walk.state.bookings[Target("A", "L-R")].hole == 321


def test_correcting_an_accepted_chord_shows_it_once_more(at_chord: WalkDesk) -> None:
    press(at_chord, "320\n12.3\n12.3\n12.3\n320\n9\n\n")
    assert at_chord.step.target == Target("A", "L-K")
    press(at_chord, "*9.5\n")
    assert at_chord.step.kind == "result"
    assert at_chord.step.target == Target("A", "L-R")
    press(at_chord, "\n")
    assert at_chord.step.target == Target("A", "L-K")


def test_a_correction_is_refused_like_a_first_figure(at_chord: WalkDesk) -> None:
    press(at_chord, "320\n*700\n")
    assert at_chord.refused
    assert at_chord.field.text == "700"
    at_chord.press("escape", None)
    assert at_chord.step.what == "dial_1"
    assert at_chord.walk.state.bookings[Target("A", "L-R")].hole == 320


def test_what_was_being_typed_is_still_there_after_a_look_elsewhere(at_chord: WalkDesk) -> None:
    press(at_chord, "32")
    press(at_chord, "+")
    at_chord.press("escape", None)
    assert at_chord.field.text == "32"


def test_a_figure_where_none_is_asked_for_is_refused_and_not_swallowed(at_chord: WalkDesk) -> None:
    press(at_chord, "320\n12.3\n12.3\n12.3\n320\n9\n")
    before = booked(at_chord)
    press(at_chord, "256\n")
    assert at_chord.refused
    assert "256" in at_chord.message
    assert booked(at_chord) == before
    press(at_chord, "\n")
    assert at_chord.step.target == Target("A", "L-K")


def test_unsafe_is_one_key_and_always_taken(at_chord: WalkDesk) -> None:
    press(at_chord, "u")
    booking = at_chord.walk.state.bookings[Target("A", "L-R")]
    assert booking.outcome == "unsafe"
    assert at_chord.step.target == Target("A", "L-K")
    assert "unsafe" in at_chord.message


def test_a_letter_within_a_figure_does_nothing_by_itself(at_chord: WalkDesk) -> None:
    """A slip of the hand while typing must not book a chord as unsafe."""
    press(at_chord, "32u")
    assert at_chord.field.text == "32u"
    assert Target("A", "L-R") not in at_chord.walk.state.bookings


@pytest.mark.parametrize(("number", "outcome"), [("1", "blocked"), ("2", "lost"), ("3", "buried"), ("4", "unsafe")])
def test_not_read_with_a_reason_by_the_number_pad(at_chord: WalkDesk, number: str, outcome: str) -> None:
    press(at_chord, f"/{number}\n")
    assert at_chord.walk.state.bookings[Target("A", "L-R")].outcome == outcome


def test_another_reason_is_asked_for_in_words(at_chord: WalkDesk) -> None:
    press(at_chord, "/5\n\n")
    assert at_chord.refused
    press(at_chord, "formwork in the way\n")
    booking = at_chord.walk.state.bookings[Target("A", "L-R")]
    assert (booking.outcome, booking.reason) == ("other", "formwork in the way")


def test_a_note_keeps_brackets_and_colours_nothing(at_chord: WalkDesk) -> None:
    press(at_chord, "t")
    at_chord.paste("[red]spall[/red] at R")
    press(at_chord, "\n")
    note = at_chord.walk.state.notes[0]
    assert (note.text, note.station, note.chord) == ("[red]spall[/red] at R", "A", "L-R")


def test_another_chord_is_reached_by_its_number(at_chord: WalkDesk) -> None:
    press(at_chord, "j3\n")
    assert at_chord.step.kind == "arrive"
    assert at_chord.step.what == "B"


def test_an_anchor_out_of_reach_is_told_at_the_station_though_the_route_states_no_pole(tmp_path: Path) -> None:
    path = lay(tmp_path)
    path.write_text(path.read_text().replace("[uncertainty]", "standing_reach = 2.3\n[uncertainty]"), encoding="utf-8")
    desk = WalkDesk(begin(path))
    answer_start(desk.walk)
    desk.to_step()
    assert "▲ platform needed for K" in page(desk)


def test_a_second_reading_stands_beside_the_first(at_chord: WalkDesk) -> None:
    press(at_chord, "320\n12.3\n12.3\n12.3\n320\n9\n")
    press(at_chord, "a")
    press(at_chord, "321\n12.3\n12.3\n12.3\n321\n9\n\n")
    first, second = at_chord.walk.state.readings(("A", "L-R"))
    assert (first.hole, second.hole) == (320, 321)
    assert at_chord.step.target == Target("A", "L-K")


def test_the_end_names_what_is_missing_and_leads_there(at_chord: WalkDesk) -> None:
    press(at_chord, "e1\n")
    assert at_chord.step.kind == "end"
    assert "3 planned chords missing" in page(at_chord)
    press(at_chord, "\n1\n")
    assert at_chord.step.target == Target("A", "L-R")


def close(desk: WalkDesk) -> None:
    """By the number pad: to the end, close, yes."""
    press(desk, "e1\n\n2\n1\n")


def test_a_closed_survey_shows_its_code_and_can_be_copied(at_chord: WalkDesk, tmp_path: Path) -> None:
    close(at_chord)
    assert at_chord.walk.state.closed
    assert log_code(at_chord.walk) in page(at_chord)
    stick = tmp_path / "stick"
    stick.mkdir()
    log = at_chord.walk.writer.path
    press(at_chord, "\n")
    items = at_chord.mode.menu.items if at_chord.mode.menu else ()
    press(at_chord, f"{len(items)}\n\n")
    assert "No folder is named" in at_chord.message
    at_chord.paste(str(stick))
    press(at_chord, "\n")
    assert (stick / log.name).read_bytes() == log.read_bytes()
    assert "the same" in at_chord.message
    press(at_chord, "\n1\n")
    assert at_chord.done


def test_enter_held_down_neither_closes_nor_leaves(at_chord: WalkDesk) -> None:
    press(at_chord, "e1\n" + "\n" * 40)
    assert not at_chord.walk.state.closed
    assert not at_chord.done
    press(at_chord, "\n" if at_chord.mode.name == "step" else "")
    press(at_chord, "2\n" + "\n" * 40)
    assert not at_chord.walk.state.closed


def test_enter_held_down_on_a_closed_survey_keeps_the_code_on_the_screen(at_chord: WalkDesk) -> None:
    close(at_chord)
    press(at_chord, "\n" * 20)
    assert not at_chord.done
    at_chord.press("escape", None)
    assert log_code(at_chord.walk) in page(at_chord)
    press(at_chord, "q")
    assert at_chord.done


@pytest.mark.parametrize("keys", ["/", "+", "j"])
def test_every_list_is_left_by_the_number_pad_with_nothing_done(at_chord: WalkDesk, keys: str) -> None:
    before = booked(at_chord)
    press(at_chord, keys)
    assert "0 back" in page(at_chord)
    press(at_chord, "0\n")
    assert at_chord.mode.name == "step"
    assert booked(at_chord) == before


def test_enter_alone_books_no_reason(at_chord: WalkDesk) -> None:
    press(at_chord, "/\n")
    assert Target("A", "L-R") not in at_chord.walk.state.bookings


def test_unsafe_held_down_books_one_chord(at_chord: WalkDesk) -> None:
    at_chord.ticks = lambda: 100.0
    press(at_chord, "uuuuuuuu")
    assert [booking.outcome for booking in at_chord.walk.state.bookings.values() if booking.target.is_chord] == [
        "unsafe"
    ]
    at_chord.ticks = lambda: 102.0
    press(at_chord, "u")
    assert at_chord.walk.state.bookings[Target("A", "L-K")].outcome == "unsafe"


def test_the_end_counts_what_was_read_and_names_what_was_not(at_chord: WalkDesk) -> None:
    press(at_chord, "u")
    press(at_chord, "e1\n")
    told = page(at_chord, 120, 30)
    assert "0 of 3 chords read, 1 not read" in told
    assert "A L-R: unsafe" in told
    assert "2 planned chords missing" in told


def test_a_further_repeat_that_was_a_slip_can_be_taken_back(at_chord: WalkDesk) -> None:
    press(at_chord, "320\n12.3\n12.3\n")
    at_chord.bell = False
    press(at_chord, "14.3\n")
    assert at_chord.bell, "a repeat more than was planned is asked for with a bell"
    press(at_chord, "9.5\n*")
    assert at_chord.mode.slot == "dial_4"
    at_chord.press("backspace", None)
    for _ in range(6):
        at_chord.press("backspace", None)
    press(at_chord, "\n")
    assert not at_chord.refused
    assert len(at_chord.walk.state.bookings[Target("A", "L-R")].dials) == 3


def test_a_further_repeat_is_taken_back_by_the_number_pad_that_cannot_empty_the_field(at_chord: WalkDesk) -> None:
    press(at_chord, "320\n12.3\n12.3\n14.3\n9.5\n*")
    assert "-: none taken." in page(at_chord)
    press(at_chord, "-\n")
    assert not at_chord.refused
    assert len(at_chord.walk.state.bookings[Target("A", "L-R")].dials) == 3
    press(at_chord, "*")
    assert at_chord.mode.slot == "dial_3"
    assert "none taken" not in page(at_chord)
    press(at_chord, "-\n")
    assert "“-” is not a number" in at_chord.message, "a planned repeat is not taken back"


def test_half_a_number_raises_no_alarm(tmp_path: Path) -> None:
    """On the way to 31.7 stands 3: no level, no response, no disagreement may flicker up."""
    clock = Ticking()
    walk = begin(with_past(lay(tmp_path), before=clock.now), clock)
    answer_start(walk)
    for typed in ("", "320", "12.30"):
        walk.book(typed)
    desk = WalkDesk(walk)
    press(desk, "1")
    told = page(desk)
    assert "since last" in told
    for word in ("level", "Stop", "DO NOT AGREE", "looks like"):
        assert word not in told


def test_what_was_said_of_another_figure_is_taken_back_when_one_is_pasted(at_chord: WalkDesk) -> None:
    press(at_chord, "999\n")
    assert at_chord.refused
    at_chord.paste("320")
    assert (at_chord.field.text, at_chord.message, at_chord.refused) == ("320", "", False)


def test_answers_of_the_start_can_be_put_right(at_chord: WalkDesk) -> None:
    press(at_chord, "+")
    items = at_chord.mode.menu.items if at_chord.mode.menu else ()
    place = next(number for number, item in enumerate(items, 1) if item.text == "change reader")
    press(at_chord, f"{place}\n")
    at_chord.paste("CD")
    press(at_chord, "\n")
    assert at_chord.walk.state.answer("reader") == "CD"


def test_a_notice_is_not_passed_over_with_a_bare_enter(at_chord: WalkDesk) -> None:
    press(at_chord, "320\n12.3\n12.3\n14.3\n")
    at_chord.arrived_at -= 1.0  # the bell was heard
    press(at_chord, "\n320\n9\n")
    assert "DO NOT AGREE" in page(at_chord)
    press(at_chord, "\n\n\n")
    assert not at_chord.walk.state.bookings[Target("A", "L-R")].finished
    press(at_chord, "k" if at_chord.mode.name == "step" else "0\nk")
    press(at_chord, "1\n")
    assert at_chord.walk.state.bookings[Target("A", "L-R")].outcome == "kept"


def test_a_level_is_seen_before_the_chord_is_left(tmp_path: Path) -> None:
    """A slow approach that agrees with what was expected, and comes to a level: a bare Enter does not pass it over."""
    path = lay(tmp_path)
    clock = Ticking()
    for days in range(8, -1, -1):
        walk = begin(path, Ticking(clock.now - timedelta(days=days)))
        answer_start(walk)
        dial = f"{16.3 - (8 - days) * 0.6:.2f}"
        book_chord(walk, "320", dial, dial, dial) if days else None
        if days:
            walk.close()
    for typed in ("", "320", "11.50", "11.51", "11.52", "12"):
        walk.book(typed)
    desk = WalkDesk(walk)
    assert not desk.doubted
    assert "cannot tell" in page(desk) or "above" in page(desk)
    press(desk, "\n\n\n")
    assert not walk.state.bookings[Target("A", "L-R")].finished
    press(desk, "2\n" if desk.mode.name == "menu" else "\n2\n")
    assert walk.state.bookings[Target("A", "L-R")].outcome == "read"


def test_leaving_books_nothing_and_the_survey_waits(at_chord: WalkDesk, tmp_path: Path) -> None:
    press(at_chord, "320\n12")
    step = at_chord.step
    press(at_chord, "")
    at_chord.press("f10", None)
    assert at_chord.done
    assert resume(tmp_path / "heading.toml").step == step


def test_the_dial_that_would_fit_is_never_shown(tmp_path: Path) -> None:
    """Before the repeats are in, the screen must not say what the dial should show."""
    path = lay(tmp_path)
    walk = begin(path)
    answer_start(walk)
    book_chord(walk, "320", "12.34", "12.35", "12.36")
    walk.unread(Target("A", "L-K"), "blocked")
    walk.unread(Target("B", "L-R"), "blocked")
    walk.close()
    desk = WalkDesk(begin(path))
    answer_start(desk.walk)
    desk.walk.book("")
    desk.to_step()
    assert "12.3" not in page(desk)
    press(desk, "320\n")
    assert "12.3" not in page(desk)


def test_an_unsaved_figure_stays_on_the_screen_until_a_new_file_takes_it(
    at_chord: WalkDesk, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    before = booked(at_chord)
    with monkeypatch.context() as broken:
        broken.setattr(at_chord.walk.writer, "append", full)
        press(at_chord, "320\n")
    assert "NOT SAVED" in at_chord.message
    assert "NOT SAVED" in page(at_chord)
    assert booked(at_chord) == before
    at_chord.press("escape", None)
    assert at_chord.mode.name == "unsaved"
    press(at_chord, "\n")
    assert at_chord.walk.state.bookings[Target("A", "L-R")].hole == 320
    assert "Saved in the new file" in at_chord.message
    assert at_chord.step.what == "dial_1"
    at_chord.walk.leave()
    again = resume(tmp_path / "heading.toml")
    assert again.state.bookings[Target("A", "L-R")].hole == 320


def test_two_failed_writes_lose_nothing_and_trap_nobody(
    at_chord: WalkDesk, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def full(*_: object, **__: object) -> None:
        raise WriteFailed("No space left on the disk.", where="x" * 200)

    with monkeypatch.context() as broken:
        broken.setattr(at_chord.walk.writer, "append", full)
        broken.setattr(at_chord.walk.writer, "continue_in", full)
        press(at_chord, "320\n")
        press(at_chord, "\n")
    assert "NOT SAVED: A L-R hole 320" in " ".join(at_chord.message.split())
    assert "F10, or -" in page(at_chord)
    nowhere = tmp_path / "nowhere"
    at_chord.paste(str(nowhere / "at" / "all"))
    press(at_chord, "\n")
    assert at_chord.refused
    assert not nowhere.exists()
    other = tmp_path / "other"
    other.mkdir()
    at_chord.field = Field()
    at_chord.paste(str(other))
    press(at_chord, "\n")
    assert at_chord.walk.state.bookings[Target("A", "L-R")].hole == 320
    assert at_chord.walk.writer.path.parent == other


def test_an_entry_that_is_not_saved_is_left_by_the_number_pad_alone(
    at_chord: WalkDesk, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = booked(at_chord)
    with monkeypatch.context() as broken:
        broken.setattr(at_chord.walk.writer, "append", full)
        broken.setattr(at_chord.walk.writer, "continue_in", full)
        press(at_chord, "320\n\n")
        assert not at_chord.done
        press(at_chord, "-\n")
    assert at_chord.done
    assert booked(at_chord) == before


def test_figures_typed_ahead_over_an_entry_that_was_not_saved_trap_nobody(
    at_chord: WalkDesk, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as broken:
        broken.setattr(at_chord.walk.writer, "append", full)
        press(at_chord, "320\n12.3\n" + "9" * 240 + "\n")
    said = " ".join(page(at_chord).split())
    assert "NOT SAVED: A L-R hole 320. There is no folder" in said
    assert "F10, or - and Enter: leave without it." in said
    press(at_chord, "9.6\n\n")
    assert at_chord.walk.state.bookings[Target("A", "L-R")].hole == 320
    assert at_chord.step.what == "dial_1"


def test_an_action_that_was_not_saved_is_the_one_that_is_repeated(
    at_chord: WalkDesk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Unsafe must not become read because the disk was full for a moment."""

    press(at_chord, "320\n12.3\n12.3\n12.3\n320\n9\n")
    with monkeypatch.context() as broken:
        broken.setattr(at_chord.walk.writer, "append", full)
        press(at_chord, "u")
    assert "unsafe" in at_chord.message
    press(at_chord, "\n")
    assert at_chord.walk.state.bookings[Target("A", "L-R")].outcome == "unsafe"


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (132, 43), (200, 60), (30, 8), (12, 3)])
def test_every_page_fills_its_size_exactly(tmp_path: Path, size: tuple[int, int]) -> None:
    desk = WalkDesk(begin(lay(tmp_path, control=True)))
    keys = [
        "AB\n\n",
        "1\n1\n",
        "\n\n",
        "0,0\n",
        "200\n12.3\n12.4\n12.3\n10\n",
        "\n",
        "\n",
        "320\n12\n13\n14\n",
        "\n",
        "9\n",
    ]
    for part in [*keys, "+", "?"]:
        press(desk, part)
        lines = draw_walk(desk, *size)
        assert [width_of(line) for line in lines] == [size[0]] * size[1]


def test_a_chart_without_a_reading_leaves_its_room_to_the_answers_and_large_digits(tmp_path: Path) -> None:
    desk = WalkDesk(begin(lay(tmp_path, control=True)))
    press(desk, "AB\n\n1\n1\n\n\n0,0\n200\n12")
    drawn = text_of(draw_walk(desk, 80, 24))
    assert "no survey has read the frame" in drawn
    assert "cautions: seen" in drawn
    assert "more" not in drawn.split("── control frame")[0]
    assert "██" in drawn
    press(desk, ".3\n12.3\n12.3\n14\n")
    drawn = text_of(draw_walk(desk, 80, 24))
    assert "◆" in drawn
    assert "no survey has read" not in drawn


def test_whole_at_80_by_24_with_the_frame(tmp_path: Path) -> None:
    path = lay(tmp_path)
    path.write_text(path.read_text() + CONTROL)
    desk = WalkDesk(begin(path))
    press(desk, "AB\n\n1\n1\n\n\n0\n")
    assert "control frame at the start" in page(desk)
    press(desk, "200\n12.3\n12.4\n12.3\n10\n")
    assert "first survey that reads the frame" in page(desk)


def test_help_names_every_action_and_its_keys(desk: WalkDesk) -> None:
    desk.press("f1", None)
    told = page(desk, 100, 60)
    for action in ACTIONS:
        assert action.label in told
        assert action.keys in told
    assert "no word about the ground" in told.replace("\n ", " ")


def test_no_two_actions_share_a_key() -> None:
    keys = [key for action in ACTIONS for key in action.all_keys]
    assert len(keys) == len(set(keys))


def test_every_action_of_the_table_can_be_done() -> None:
    assert {action.id for action in ACTIONS} == set(DEEDS)


def with_two_tapes(folder: Path) -> Path:
    """The route of `lay` with a second tape of another pitch of holes."""
    path = lay(folder)
    text = path.read_text()
    tape = text[text.index("[[tape]]") : text.index("[[extensometer]]")]
    path.write_text(
        text.replace(
            tape,
            tape + tape.replace("T1", "T2").replace("reference_temperature = 20.0", "reference_temperature = 10.0"),
        )
    )
    return path


def change_tape(desk: WalkDesk, since: str) -> None:
    press(desk, "+")
    items = desk.mode.menu.items if desk.mode.menu else ()
    place = next(number for number, item in enumerate(items, 1) if item.text == "change tape")
    press(desk, f"{place}\n2\n{since}\n")


@pytest.mark.parametrize(("since", "tapes"), [("1", ("T1", "T2")), ("2", ("T2", "T2"))])
def test_another_tape_counts_from_here_on_and_one_named_wrong_all_along(
    tmp_path: Path, since: str, tapes: tuple[str, str]
) -> None:
    desk = WalkDesk(begin(with_two_tapes(tmp_path)))
    answer_start(desk.walk)
    book_chord(desk.walk, "320", "12.30", "12.32", "12.31")
    desk.to_step()
    change_tape(desk, since)
    assert not desk.refused
    assert "T2" in desk.message
    book_chord(desk.walk, "240", "12.30", "12.32", "12.31")
    bookings = desk.walk.state.bookings
    assert (bookings[Target("A", "L-R")].tape, bookings[Target("A", "L-K")].tape) == tapes


def test_a_frame_read_at_a_hole_that_the_tape_set_right_does_not_have_ends_nothing(tmp_path: Path) -> None:
    path = with_two_tapes(tmp_path)
    first, second = path.read_text().split('serial = "T2"')
    path.write_text(f'{first}serial = "T2"{second.replace("holes = 600", "holes = 100")}{CONTROL}')
    desk = WalkDesk(begin(path))
    answer_start(desk.walk)
    for typed in ("199", "25.00", "25.00", "25.00", "12.0"):
        desk.walk.book(typed)
    desk.to_step()
    assert "instrument" in page(desk)
    change_tape(desk, "2")
    assert "T2" in desk.message
    assert "frame moved" not in page(desk), "no length, and nothing held against it"
    assert "NONE: tape T2 has no hole 199" in page(desk)


def test_the_tape_that_is_named_already_cannot_be_set_right_to_itself(tmp_path: Path) -> None:
    desk = WalkDesk(begin(with_two_tapes(tmp_path)))
    answer_start(desk.walk)
    desk.walk.say("tape", "T2")
    desk.to_step()
    before = booked(desk)
    change_tape(desk, "2")
    assert desk.refused
    assert booked(desk) == before


def test_a_list_of_tapes_is_left_with_enter_alone(tmp_path: Path) -> None:
    desk = WalkDesk(begin(with_two_tapes(tmp_path)))
    answer_start(desk.walk)
    desk.to_step()
    before = booked(desk)
    change_tape(desk, "")
    assert booked(desk) == before
    assert desk.mode.name == "step"


def test_another_tape_than_that_of_the_last_survey_is_said(tmp_path: Path) -> None:
    clock = Ticking()
    desk = WalkDesk(begin(with_past(with_two_tapes(tmp_path), before=clock.now), clock))
    press(desk, "AB\n\n")
    assert desk.step.what == "tape"
    press(desk, "2\n")
    assert "The last survey was read with T1" in page(desk)
    press(desk, "1\n")
    assert "last survey" not in desk.message, "the extensometer is the same"


def test_what_is_said_to_another_tape_names_the_key_as_it_is_here(tmp_path: Path) -> None:
    clock = Ticking()
    desk = WalkDesk(begin(with_past(with_two_tapes(tmp_path), before=clock.now), clock))
    desk.take(parse_settings("[keys]\nmore = '/'\nunread = 'n'", "settings.toml"))
    press(desk, "AB\n\n2\n")
    assert "not in your hand: / , then" in desk.message


def test_a_booked_figure_that_is_longer_than_its_cell_is_shown_as_cut(at_chord: WalkDesk) -> None:
    press(at_chord, "320\n012.34000\n")
    assert at_chord.slot == "dial_2"
    assert "012.340…" in page(at_chord)


def test_a_half_typed_correction_is_not_lost_to_another_press(at_chord: WalkDesk) -> None:
    press(at_chord, "320\n12.3\n*")
    press(at_chord, "13.4*")
    assert at_chord.refused
    assert at_chord.field.text == "13.4"
    assert at_chord.slot == "dial_1"


@pytest.mark.parametrize("cursor", [0, 3, 7])
@pytest.mark.parametrize("text", ["\u58c1\u9762\u304c\u52d5\u304f abc", "1\t2\t3.45", "\x1b[31m12"])
def test_a_field_is_as_wide_as_it_is_whatever_the_letters(text: str, cursor: int) -> None:
    for width in (2, 5, 8, 20):
        drawn = [(printable(part), role) for part, role in field_cells(Field(text, cursor), width)]
        assert width_of(drawn) == width


def test_the_end_is_asked_about_while_chords_are_missing(at_chord: WalkDesk) -> None:
    before = booked(at_chord)
    press(at_chord, "e")
    assert "3 planned chords are not read" in page(at_chord)
    press(at_chord, "\n")
    assert booked(at_chord) == before
    press(at_chord, "e1\n")
    assert at_chord.step.kind == "end"


def test_an_end_turned_to_lapses_when_a_chord_is_read_after_all(at_chord: WalkDesk) -> None:
    press(at_chord, "u")
    at_chord.walk.go_to_end()
    assert at_chord.step.kind == "end"
    outcome = at_chord.walk.state.bookings[Target("A", "L-R")].ended
    assert outcome is not None
    at_chord.walk.strike(outcome.place, "it is safe now", "AB")
    book_chord(at_chord.walk, "320", "12.30", "12.32", "12.31")
    assert at_chord.step.target == Target("A", "L-K")


def test_a_letter_in_a_list_books_nothing(at_chord: WalkDesk) -> None:
    press(at_chord, "320\n12.3\n12.3\n12.3\n320\n12\n/")
    before = booked(at_chord)
    press(at_chord, "a")
    press(at_chord, "u")
    assert booked(at_chord) == before
    assert at_chord.mode.name == "menu"
    press(at_chord, "\n")
    assert at_chord.refused
    assert booked(at_chord) == before


def test_from_the_end_the_list_of_chords_begins_at_the_first_one_missing(at_chord: WalkDesk) -> None:
    press(at_chord, "u")
    at_chord.walk.go_to_end()
    at_chord.to_step()
    press(at_chord, "j")
    assert at_chord.mode.menu is not None
    assert at_chord.mode.menu.items[at_chord.mode.menu.selected].text.split() == ["A", "L-K"]


def test_a_note_is_said_to_be_booked(at_chord: WalkDesk) -> None:
    press(at_chord, "t")
    at_chord.paste("water at the crown")
    press(at_chord, "\n")
    assert "Booked: the note" in page(at_chord)


def test_a_frame_that_is_far_off_looks_like_something_else_than_a_frame(tmp_path: Path) -> None:
    path = lay(tmp_path, control=True)
    clock = Ticking()

    def frame(hole: str) -> WalkDesk:
        walk = begin(path, clock)
        answer_start(walk)
        for typed in (hole, "10.00", "10.01", "10.02", "12"):
            walk.book(typed)
        return WalkDesk(walk)

    first = frame("199")
    first.walk.accept()
    first.walk.leave()
    assert "not what a frame does" not in page(frame("199"), 120, 40)
    assert "not what a frame does" in page(frame("200"), 120, 40)


def test_a_long_answer_is_shown_whole_beside_the_prompt(desk: WalkDesk) -> None:
    stage = "top heading, bench following at forty metres, invert open"
    for typed in ("AB", "", "1", "1", stage):
        desk.walk.book(typed)
    desk.to_step()
    left = " ".join(line[:30].strip() for line in page(desk).splitlines())
    assert stage in " ".join(left.split())


def test_enter_that_comes_twice_does_not_pass_a_caution_that_nobody_has_read(desk: WalkDesk) -> None:
    now = 0.0
    desk.ticks = lambda: now
    press(desk, "AB\n\n1\n1\n\n\n0\n")
    assert desk.step.kind == "arrive"
    assert "Loose block" in page(desk)
    press(desk, "\n")
    assert (desk.step.kind, desk.refused) == ("arrive", True)
    assert "Loose block" in page(desk)
    now = 0.8
    press(desk, "\n")
    assert desk.step.kind == "figure"


def test_enter_that_comes_twice_does_not_decline_the_repeat_that_is_asked_for(at_chord: WalkDesk) -> None:
    now = 0.0
    at_chord.ticks = lambda: now
    press(at_chord, "320\n12.3\n12.3\n14.3\n\n")
    assert (at_chord.slot, at_chord.refused) == ("dial_4", True)
    assert "Enter came twice." in page(at_chord)
    now = 0.8
    press(at_chord, "\n")
    assert at_chord.slot != "dial_4"
    assert at_chord.walk.state.bookings[Target("A", "L-R")].slots["dial_4"].declined


def test_a_further_repeat_that_is_typed_at_once_is_booked(at_chord: WalkDesk) -> None:
    at_chord.ticks = lambda: 0.0
    press(at_chord, "320\n12.3\n12.3\n14.3\n12.31\n")
    assert at_chord.walk.state.bookings[Target("A", "L-R")].slots["dial_4"].typed == "12.31"
