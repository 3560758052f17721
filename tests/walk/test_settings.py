"""The settings of whoever works at a machine: look and keys, and what is said of a file that is wrong."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from fieldtui.job import load_job, logs_folder
from fieldtui.route import load_route
from fieldtui.settings import parse_settings, read_settings, settings_path
from fieldtui.survey.actions import USUAL
from fieldtui.tui.app import FieldApp
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.lines import text_of
from fieldtui.tui.start import StartDesk
from harness.jobs import answer_start, begin, lay
from harness.terminal import Terminal

OTHERWISE = """
theme = "day"
[keys]
again = ["r", "f7"]
note = ["f11", "v"]
unread = ["*", "n", "F3"]
correct = ["/", "c"]
"""


def desk_at_a_chord(folder: Path, text: str) -> WalkDesk:
    walk = begin(lay(folder))
    answer_start(walk)
    walk.book("")
    desk = WalkDesk(walk)
    desk.take(parse_settings(text, "settings.toml"))
    return desk


def test_look_and_keys_are_taken_from_the_file() -> None:
    settings = parse_settings(OTHERWISE, "settings.toml")
    assert settings.problems == ()
    assert settings.theme == "day"
    assert settings.keyboard.of("note").all_keys == ("v", "f11")
    assert settings.keyboard.of("unread").keys == "* n F3"


def test_a_key_that_was_moved_does_what_it_now_stands_for(tmp_path: Path) -> None:
    desk = desk_at_a_chord(tmp_path, OTHERWISE)
    desk.press("asterisk", "*")
    assert desk.mode.menu is not None
    assert "is not read, because" in desk.mode.menu.title
    desk.press("escape", None)
    desk.press("f11", None)
    assert desk.mode.label == "Note"


def test_a_key_that_was_given_away_does_nothing_any_more(tmp_path: Path) -> None:
    desk = desk_at_a_chord(tmp_path, OTHERWISE)
    desk.press("f6", None)
    desk.press("t", "t")
    assert desk.mode.name == "step"
    assert desk.field.text == "t"


def test_help_key_line_and_list_show_the_keys_as_they_are(tmp_path: Path) -> None:
    desk = desk_at_a_chord(tmp_path, OTHERWISE)
    foot = text_of(draw_walk(desk, 80, 24)).splitlines()[-1]
    assert "/ correct" in foot
    assert "* not read" in foot
    desk.press("plus", "+")
    assert "note  v F11" in text_of(draw_walk(desk, 80, 24))
    desk.press("escape", None)
    desk.act("help")
    assert "v F11       note" in text_of(draw_walk(desk, 80, 80))


@pytest.mark.parametrize(
    ("text", "place", "said"),
    [
        ("theme = 'pink'", "settings.toml: theme", "Write night or day"),
        ("colour = 1", "settings.toml: colour", "There are: theme"),
        ("keys = 1", "settings.toml: keys", "Write [keys]"),
        ("[keys]\nfly = 'y'", "keys.fly", "There is no such action"),
        ("[keys]\nnote = 'n'", "keys.note", "“n” is the key of unread already"),
        ("[keys]\nnote = 'F3'", "keys.note", "“F3” is the key of unread already"),
        ("[keys]\nnote = 'y'\nagain = 'Y'", "keys.", "is the key of"),
        ("[keys]\nnote = '7'", "keys.note", "make figures"),
        ("[keys]\nnote = '-'", "keys.note", "make figures"),
        ("[keys]\nnote = 'ctrl+n'", "keys.note", "cannot stand for an action"),
        ("[keys]\nnote = ['y', 'z']", "keys.note", "are of one sort"),
        ("[keys]\nnote = 5", "keys.note", "This is no key"),
        ("[keys]\nnote = 'f10'", "keys.note", "F10 leaves"),
        ("[keys]\nmore = 'm'", "keys.more", "no key of the number pad"),
        ("[keys", "settings.toml", "This is not TOML"),
    ],
)
def test_what_is_wrong_is_told_with_its_place_and_the_usual_keys_stand(text: str, place: str, said: str) -> None:
    settings = parse_settings(text, "settings.toml")
    (problem,) = settings.problems
    assert place in problem
    assert said in problem
    assert settings.keyboard == USUAL


def test_two_actions_may_change_keys_with_each_other() -> None:
    settings = parse_settings("[keys]\nnote = 'n'\nunread = 't'", "settings.toml")
    assert settings.problems == ()
    assert settings.keyboard.of("note").letter == "n"


def test_leaving_stays_on_f10_whatever_else_leaves() -> None:
    settings = parse_settings("[keys]\nleave = 'y'", "settings.toml")
    assert settings.keyboard.of("leave").all_keys == ("y", "f10")


def test_the_variable_goes_before_the_place_of_the_system(tmp_path: Path) -> None:
    named = tmp_path / "mine.toml"
    assert settings_path({"FIELDTUI_SETTINGS": str(named)}) == named
    usual = settings_path({})
    assert usual.parts[-2:] == ("fieldtui", "settings.toml")


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="the convention of the other systems")
def test_the_system_s_place_follows_its_convention(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    (tmp_path / "fieldtui").mkdir()
    (tmp_path / "fieldtui" / "settings.toml").write_text('theme = "day"')
    assert read_settings({}).theme == "day"
    assert read_settings({"FIELDTUI_THEME": "night"}).theme == "night"


def test_a_file_that_is_named_and_not_there_is_told(tmp_path: Path) -> None:
    (problem,) = read_settings({"FIELDTUI_SETTINGS": str(tmp_path / "none.toml")}).problems
    assert "none.toml" in problem
    assert "FIELDTUI_SETTINGS" in problem


def test_bytes_that_are_no_text_are_told(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_bytes(b"theme = \xff")
    (problem,) = read_settings({"FIELDTUI_SETTINGS": str(path)}).problems
    assert "UTF-8" in problem


async def test_the_keys_reach_the_walk_that_the_start_page_leads_to(tmp_path: Path) -> None:
    route = load_route(lay(tmp_path))
    start = StartDesk(load_job(route, logs_folder(route)))
    app = FieldApp(start, settings=parse_settings(OTHERWISE, "settings.toml"))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("1", "enter")
        await pilot.pause()
        assert app.theme.startswith("day"), "of however many colours this terminal has"
        assert isinstance(app.desk, WalkDesk)
        assert app.desk.keyboard.of("note").letter == "v"


def test_a_wrong_file_is_told_on_the_page_and_after_it_and_the_walk_starts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "settings.toml"
    path.write_text("[keys]\nnote = 'n'\n")
    monkeypatch.setenv("FIELDTUI_SETTINGS", str(path))
    with Terminal("walk", str(lay(tmp_path)), columns=120) as terminal:
        terminal.wait_for("start a new survey")
        assert "settings.toml: keys.note" in terminal.text().replace("\n", "")
        terminal.type("1\n")
        terminal.wait_for("Who reads")
        terminal.type(b"\x03")
        assert terminal.ended() == 0
        assert "“n” is the key of unread already" in terminal.text().replace("\n", "")


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="the convention of the other systems")
@pytest.mark.parametrize("place", ["none", "file"])
def test_no_settings_where_there_is_no_such_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, place: str) -> None:
    """A folder that is a file holds none: nothing is said on the start page."""
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / place))
    assert read_settings({}).problems == ()
