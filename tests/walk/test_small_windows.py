"""A small window and the number pad alone: nothing is cut that must be seen, nothing is out of reach."""

from __future__ import annotations

import re
from itertools import count
from pathlib import Path

import pytest

from fieldtui.job import load_job, logs_folder
from fieldtui.route import load_route
from fieldtui.settings import parse_settings
from fieldtui.survey import Target
from fieldtui.survey.actions import ACTIONS
from fieldtui.survey.words import CAUTIONS
from fieldtui.tui import deeds
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.draw_side import draw_menu
from fieldtui.tui.lines import text_of, width_of
from fieldtui.tui.list_desk import ListDesk, draw_list
from fieldtui.tui.menu import BACK, Item, Menu
from fieldtui.tui.seen import Seen
from fieldtui.tui.start import StartDesk
from harness.desks import at_first_chord
from harness.jobs import Ticking, answer_start, begin, lay, with_past

LR = Target("A", "L-R")
MOVED = "319\n28.10\n28.13\n28.11\n12\n"
"""A reading that looks like movement beyond both levels: more to say than a small window holds."""
PAD = set("0123456789.,+-*/\n")


@pytest.fixture
def desk(tmp_path: Path) -> WalkDesk:
    return at_first_chord(tmp_path)


def press(desk: WalkDesk, keys: str, size: tuple[int, int] = (60, 20)) -> str:
    """Keys one after another, the page drawn after each as in the real program; the last page."""
    shown = text_of(draw_walk(desk, *size))
    for key in keys:
        desk.press({"\n": "enter", "*": "asterisk"}.get(key, key), None if key == "\n" else key)
        shown = text_of(draw_walk(desk, *size))
    return shown


@pytest.mark.parametrize("keys", ["a", "k", "+6\n", "+7\n"], ids=["again", "keep", "again, by list", "keep, by list"])
def test_no_key_accepts_what_was_not_on_the_screen(desk: WalkDesk, keys: str) -> None:
    press(desk, MOVED)
    shown = press(desk, keys)
    assert "were not shown yet" in " ".join(shown.split())
    assert desk.walk.state.bookings[LR].outcome == ""
    while desk.turning.left:
        press(desk, "\n")
    press(desk, keys)
    assert not desk.refused


def test_every_line_is_as_wide_as_the_narrowest_window(desk: WalkDesk) -> None:
    for keys in ("", "1234567890", "\n", "*", "99", "\n"):
        press(desk, keys)
        for width in range(1, 40):
            assert {width_of(line) for line in draw_walk(desk, width, 20)} == {width}, (keys, width)


@pytest.mark.parametrize("text", [False, True])
def test_a_sign_of_two_cells_makes_no_line_wider_than_the_window(desk: WalkDesk, text: bool) -> None:
    if text:
        deeds.note(desk)
    desk.paste("隧道")
    for cursor in ("home", "right", "end"):
        desk.press(cursor, None)
        for width in range(1, 40):
            assert {width_of(line) for line in draw_walk(desk, width, 20)} == {width}, (cursor, width)


def test_what_was_turned_over_in_another_width_does_not_count(desk: WalkDesk) -> None:
    press(desk, MOVED + "\n")
    assert desk.turning.turned
    assert "looks like" in press(desk, "", (62, 20))


def test_where_nothing_can_be_shown_nothing_is_accepted(desk: WalkDesk) -> None:
    shown = press(desk, MOVED + "\n", (60, 6))
    assert desk.mode.menu is None
    assert "larger" in " ".join(shown.split())


def test_all_that_is_said_of_a_reading_has_been_on_the_screen(desk: WalkDesk) -> None:
    seen = press(desk, MOVED)
    while desk.turning.left:
        seen += "\n" + press(desk, "\n")
    words = " ".join(seen.split())
    for one in desk.told():
        assert one.label in words
        assert all(word in words for word in one.text.split()), one.text


def test_the_field_being_typed_is_in_sight_however_many_there_are(desk: WalkDesk) -> None:
    press(desk, "320\n12.3\n14.3\n16.3\n")
    assert desk.slot == "dial_4"
    press(desk, "18.3\n")
    assert "dial 5" in press(desk, "7", (60, 20))
    assert "[7" in press(desk, "", (60, 20))
    assert "[7" in press(desk, "", (40, 20))


@pytest.mark.parametrize("width", [60, 44])
def test_a_long_question_is_whole(desk: WalkDesk, width: int) -> None:
    question = "What the tunnel manager of the heading in the north answered (empty: nothing)"
    desk.ask(question, lambda _: None)
    assert question in " ".join(press(desk, "", (width, 20)).split())


def test_at_a_figure_nothing_is_promised_of_enter_that_it_does_not_do(desk: WalkDesk) -> None:
    shown = press(desk, "319\n0\n30\n", (60, 14))
    assert desk.slot == "dial_3"
    assert "more lines: shown when all figures are in" in " ".join(shown.split())
    assert "Enter shows them" not in shown
    press(desk, "30\n30\n", (60, 14))
    desk.arrived_at -= 1.0  # the bell was heard
    assert "Enter shows them" in press(desk, "\n12\n", (60, 14))


def test_what_is_said_of_the_instrument_is_turned_over_before_the_first_answer_is_asked_for(tmp_path: Path) -> None:
    care = "".join(f'[[care]]\nwhat = "care number {one} of the list"\nevery_days = 9\n' for one in range(9))
    path = lay(tmp_path, more=care)
    route = load_route(path)
    desk = WalkDesk(begin(path), load_job(route, logs_folder(route)))
    seen = press(desk, "", (60, 14))
    assert "Enter shows them" in seen
    while desk.turning.left:
        seen += press(desk, "\n", (60, 14))
        assert not desk.refused
    assert all(f"number {one}" in seen for one in range(9))


def test_the_list_of_all_actions_is_named_in_a_narrow_window(desk: WalkDesk) -> None:
    assert "+ more" in press(desk, "", (60, 20)).splitlines()[-1]
    press(desk, MOVED)
    assert "+ more" in press(desk, "", (60, 20)).splitlines()[-1]


def test_where_words_are_asked_for_the_keys_are_those_that_act_now(desk: WalkDesk) -> None:
    assert "+ more" in press(desk, "t").splitlines()[-1]
    typed = press(desk, "wet").splitlines()[-1]
    assert "+ more" not in typed
    assert "F9 more" in typed


def test_not_read_is_offered_where_there_is_something_to_read(desk: WalkDesk) -> None:
    assert "not read" in press(desk, "", (80, 24)).splitlines()[-1]
    desk.walk.go_to_end()
    desk.to_step()
    assert "not read" not in press(desk, "", (80, 24)).splitlines()[-1]


def test_who_has_to_be_told_can_be_booked_as_soon_as_the_reading_is_kept(tmp_path: Path) -> None:
    clock = Ticking()
    path = with_past(lay(tmp_path), before=clock.now)
    route = load_route(path)
    desk = WalkDesk(begin(path, clock), load_job(route, logs_folder(route)))
    desk.ticks = count().__next__
    press(desk, "AB\n\n1\n1\n\n\n0\n\n" + MOVED, (80, 40))
    shown = press(desk, "\n3\n1\n", (80, 40))
    assert "chord L-K" in shown
    assert "1 to be told: w" in shown
    assert "tell shift engineer" in press(desk, "w", (80, 40))


def test_nothing_is_kept_before_its_figures_are_in(desk: WalkDesk) -> None:
    press(desk, "k")
    assert "once all its figures are in" in desk.message
    assert "accepts" not in desk.message


LONG = Menu(
    "The control frame is not what it was when the survey was begun",
    tuple(Item(f"tell the {'very ' * place}senior engineer {place}", lambda: None) for place in range(12)),
    BACK,
)


@pytest.mark.parametrize("rows", [6, 9, 30])
def test_every_entry_of_a_list_can_be_read_whole_by_turning_on(rows: int) -> None:
    menu, seen = LONG, ""
    for _ in range(14):
        shown = text_of(draw_menu(menu, 36, rows))
        assert len(draw_menu(menu, 36, rows)) == rows
        seen += shown + "\n"
        menu = menu.move("down") or menu
    for item in LONG.items:
        assert item.text in " ".join(seen.split())


def test_a_list_is_leafed_through_by_the_number_pad(desk: WalkDesk) -> None:
    press(desk, "+")
    before = desk.mode.menu
    assert before is not None
    press(desk, "+")
    assert desk.mode.menu is not None
    assert desk.mode.menu.selected > before.selected
    press(desk, "-")
    assert desk.mode.menu.selected == before.selected


@pytest.mark.parametrize("action", [one.id for one in ACTIONS if one.id != "more"])
def test_every_action_is_reached_by_the_number_pad_alone(
    desk: WalkDesk, action: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []
    press(desk, "+")
    assert desk.mode.menu is not None
    place = [item.text for item in desk.mode.menu.items].index(desk.keyboard.of(action).label) + 1
    monkeypatch.setattr(deeds, "DEEDS", {action: lambda _: done.append(action)})
    press(desk, f"{place}\n")
    assert done == [action]


@pytest.mark.parametrize("keys", ["+5\n", "/5\n"], ids=["a remark", "another reason"])
def test_a_question_for_words_is_left_by_the_number_pad(desk: WalkDesk, keys: str) -> None:
    assert set(keys) <= PAD
    press(desk, keys)
    assert desk.mode.name == "text"
    before = len(desk.walk.writer.records)
    press(desk, "+0\n")
    assert desk.mode.name == "step"
    assert len(desk.walk.writer.records) == before
    press(desk, "320\n")
    assert desk.step.what == "dial_1"


def test_a_plus_within_words_is_a_plus(desk: WalkDesk) -> None:
    press(desk, "+5\n5+")
    assert desk.field.text == "5+"


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (60, 14)])
def test_every_caution_has_been_on_the_screen_before_it_is_answered(tmp_path: Path, size: tuple[int, int]) -> None:
    desk = WalkDesk(begin(lay(tmp_path)))
    seen = press(desk, "AB\n\n1\n1\n\n", size)
    assert desk.step.what == "cautions"
    while desk.turning.left:
        seen += "\n" + press(desk, "\n", size)
        assert desk.step.what == "cautions"
    words = " ".join(seen.split())
    for caution in CAUTIONS:
        assert all(word in words for word in caution.split()), caution
    press(desk, "\n", size)
    assert desk.step.what != "cautions"


def test_in_a_narrow_window_the_chord_and_its_hook_are_named_whole(desk: WalkDesk) -> None:
    told = press(desk, "", (60, 20)).splitlines()
    assert told[1].strip() == "chord L-R at A, 100.0 m   hook at L, instrument at R"
    assert told[0].endswith("0 of 3 chords read")
    assert press(desk, "", (52, 20)).splitlines()[1].strip() == "chord L-R at A   hook at L, instrument at R"


def test_where_the_hook_goes_is_not_cut_by_what_else_the_head_says(
    desk: WalkDesk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Seen, "looked_at", "earlier surveys: 0 of 24")
    assert "instrument at R   tape T1    earlier surveys: 0 of 24" in press(desk, "", (92, 24)).splitlines()[1]
    assert press(desk, "", (60, 20)).splitlines()[1].split("   ")[1].strip() == "hook at L"
    assert "earlier surveys" in press(desk, "", (60, 20))
    told = press(desk, "", (44, 20)).splitlines()[1]
    assert "hook at L" in told
    assert "earlier" not in told


def test_at_the_end_it_is_said_whole_whether_anything_was_read_at_all(desk: WalkDesk) -> None:
    press(desk, "320\n")
    desk.walk.go_to_end()
    desk.to_step()
    shown = press(desk, "", (60, 20))
    assert "No chord was read in this" in shown
    assert "at a level" not in shown
    assert "A L-R: begun, not accepted" in press(desk, "", (80, 24))
    desk.walk.go(LR)
    desk.to_step()
    press(desk, "12.36\n12.33\n12.37\n12\n\n", (80, 40))
    desk.walk.go_to_end()
    desk.to_step()
    shown = " ".join(line[30:].strip() for line in press(desk, "", (60, 20)).splitlines())
    assert "No chord read in this survey is at a level." in shown


def test_what_is_missing_at_the_end_and_does_not_fit_is_counted(desk: WalkDesk) -> None:
    desk.walk.go_to_end()
    desk.to_step()
    told = press(desk, "", (80, 8))
    assert told.count("L-R") + told.count("L-K") < 3
    assert "▼ 3 chords more: Enter" in told
    assert "chords more" not in press(desk, "", (80, 24))


@pytest.fixture
def long_route(tmp_path: Path) -> WalkDesk:
    """At the end of a survey of 42 chords in 41 stations: one was blocked, the others are missing."""
    text = lay(tmp_path).read_text(encoding="utf-8")
    station = text[text.rindex("[[station]]") :]
    more = "".join(station.replace('"B"', f'"S{place:02}"').replace("120.0", f"{place + 130}.0") for place in range(39))
    (tmp_path / "heading.toml").write_text(text + more, encoding="utf-8")
    desk = WalkDesk(begin(tmp_path / "heading.toml"))
    answer_start(desk.walk)
    desk.walk.unread(Target("A", "L-K"), "blocked")
    desk.walk.go_to_end()
    desk.to_step()
    return desk


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (200, 60)])
def test_of_many_chords_missing_as_many_as_fit_are_named_and_the_others_counted(
    long_route: WalkDesk, size: tuple[int, int]
) -> None:
    page = press(long_route, "", size)
    left = page if size[0] < 140 else "\n".join(line[:80] for line in page.splitlines())
    named = len(re.findall(r"\b(?:A|B|S\d\d) L-[RK]\b", left))
    counted = re.search(r"▼ (\d+) chords more", left)
    assert named > 5
    assert named + (int(counted.group(1)) if counted else 0) == 42, "41 are missing, one was not read"
    assert (counted is None) == (size[1] == 60), "in a large window there is room for every one"


def test_every_chord_missing_is_in_the_list_that_the_end_leads_to_by_number(long_route: WalkDesk) -> None:
    assert "list every chord" in press(long_route, "", (80, 24))
    listed = press(long_route, "\n", (80, 24))
    number = next(line[30:].split()[0] for line in listed.splitlines() if "every chord" in line)
    press(long_route, f"{number}\n", (80, 24))
    menu = long_route.mode.menu
    assert menu is not None
    assert [item.remark for item in menu.items].count("missing") == 41
    assert [item.remark for item in menu.items].count("not read: the line is blocked") == 1


def test_a_route_s_name_that_is_too_long_for_the_head_is_seen_to_be_cut(tmp_path: Path) -> None:
    path = lay(tmp_path)
    long = "Drainage adit of the lower bench, northern side"
    path.write_text(path.read_text(encoding="utf-8").replace("Test heading", long), encoding="utf-8")
    desk = WalkDesk(begin(path))
    head = press(desk, "", (60, 20)).splitlines()[0]
    assert head.startswith(" Drainage adit")
    assert re.search(r"\S… +2031-05-04, 0 of 3 read$", head), head
    assert long in press(desk, "", (100, 24)).splitlines()[0]
    route = load_route(path)
    start = draw_list(StartDesk(load_job(route, logs_folder(route))), 40, 20)
    assert text_of(start).splitlines()[0].endswith("…")


def test_what_a_list_is_about_stays_in_sight_below_it(desk: WalkDesk) -> None:
    press(desk, MOVED, (80, 24))
    shown = press(desk, "\n1", (100, 40))
    assert "[1" in shown
    for told in ("read it again", "looks like", "since last", "level", "tell"):
        assert told in shown
    assert "more lines" not in shown
    small = press(desk, "", (80, 24))
    assert "looks like" in small
    assert re.search(r"▼ \d+ more lines: 0 leads back", small)
    assert "since last" not in press(desk, "", (60, 18)), "a line or two would say next to nothing"


def test_a_help_of_one_page_offers_no_next_one(desk: WalkDesk) -> None:
    assert "next page" not in press(desk, "?", (200, 60))
    assert "page 1 of" in press(desk, "", (80, 24))


@pytest.mark.parametrize("way", ["t", "*", "/5\n"], ids=["a note", "a correction", "a reason in words"])
def test_the_way_out_by_the_number_pad_is_told_and_leads_out(desk: WalkDesk, way: str) -> None:
    press(desk, "320\n")
    prompt, last = desk.step, len(desk.walk.writer.records)
    assert "Esc, or + and 0" in " ".join(press(desk, way).split())
    press(desk, "+0\n")
    assert (desk.mode.name, desk.step, len(desk.walk.writer.records)) == ("step", prompt, last)


def test_the_way_out_is_told_by_the_key_that_the_settings_have_for_it(desk: WalkDesk) -> None:
    desk.take(parse_settings("[keys]\nmore = ['/', 'm']\nunread = ['+', 'n']", "settings.toml"))
    press(desk, "320\n")
    shown = " ".join(press(desk, "*").split())
    assert "Esc, or / and 0" in shown
    assert "+ and 0" not in shown
    shown = press(desk, "1*")
    assert "Esc or / and 0 leaves it" in " ".join(shown.split())


def test_a_list_between_surveys_that_is_cut_is_leafed_through_by_the_number_pad() -> None:
    many = ListDesk("job", ["said"], tuple(Item(f"entry {place}", lambda: None) for place in range(1, 41)), "Which")
    page = text_of(draw_list(many, 80, 24))
    assert "more: down or + shows them" in page
    assert "entry 30" not in page
    for _ in range(4):
        many.press("plus", "+")
    assert "entry 30" in text_of(draw_list(many, 80, 24))
    for _ in range(4):
        many.press("minus", "-")
    assert text_of(draw_list(many, 80, 24)) == page


def test_a_list_that_is_whole_keeps_its_mark_at_a_plus() -> None:
    """Enter alone takes what is marked: where nothing is cut, nothing is to be leafed through."""
    few = ListDesk("job", ["said"], tuple(Item(f"entry {place}", lambda: None) for place in range(1, 5)), "Which")
    page = text_of(draw_list(few, 80, 24))
    few.press("plus", "+")
    assert text_of(draw_list(few, 80, 24)) == page
