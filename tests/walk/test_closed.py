"""After the last entry: the survey is closed, and its log may be copied."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldtui.job import log_code
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.lines import text_of
from harness.jobs import begin, book_calm, lay


@pytest.fixture
def closed(tmp_path: Path) -> WalkDesk:
    walk = begin(lay(tmp_path))
    book_calm(walk)
    return WalkDesk(walk)


def press(desk: WalkDesk, keys: str) -> None:
    for key in keys:
        desk.press("enter" if key == "\n" else key, None if key == "\n" else key)


def to_folder(desk: WalkDesk, folder: Path) -> None:
    press(desk, "\n")
    assert desk.mode.menu is not None
    press(desk, f"{len(desk.mode.menu.items)}\n{folder}\n")


def test_the_code_stays_in_sight_while_a_list_is_open(closed: WalkDesk) -> None:
    assert log_code(closed.walk) in text_of(draw_walk(closed, 80, 24))
    press(closed, "\n")
    page = text_of(draw_walk(closed, 80, 24))
    assert "copy the log" in page
    assert log_code(closed.walk) in page


def test_a_copy_to_a_folder(closed: WalkDesk, tmp_path: Path) -> None:
    (tmp_path / "stick").mkdir()
    to_folder(closed, tmp_path / "stick")
    assert "Copied, read back and the same" in closed.message
    log = closed.walk.writer.path
    assert (tmp_path / "stick" / log.name).read_bytes() == log.read_bytes()


def test_a_copy_that_cannot_be_made_is_no_entry_that_was_not_saved(closed: WalkDesk, tmp_path: Path) -> None:
    """The log is whole: nothing is to be saved in a new file, and the folder can be typed anew."""
    before = closed.walk.writer.path.read_bytes()
    to_folder(closed, tmp_path / "no such stick")
    page = text_of(draw_walk(closed, 80, 24))
    assert "The copy was not made" in page
    assert "NOT SAVED" not in page
    assert closed.field.text == str(tmp_path / "no such stick")
    press(closed, "\n")
    assert closed.walk.writer.path.read_bytes() == before
    assert list(closed.walk.writer.path.parent.glob("*.jsonl")) == [closed.walk.writer.path]


def test_help_is_there_after_the_end_too(closed: WalkDesk) -> None:
    closed.press("f1", None)
    assert "Write the code into the field book" in " ".join(text_of(draw_walk(closed, 80, 24)).split())
    closed.press("escape", None)
    assert closed.mode.name == "step"


def test_the_keys_of_a_closed_survey_are_named(closed: WalkDesk) -> None:
    foot = text_of(draw_walk(closed, 80, 24)).splitlines()[-1]
    assert "F10 leave  F1 help" in foot
    closed.press("f1", None)
    assert closed.mode.name == "help"
