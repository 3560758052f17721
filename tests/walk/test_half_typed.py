"""A figure that is half typed stands there still after whatever else was done at the same prompt."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.lines import text_of
from harness.jobs import answer_start, begin, lay


@pytest.fixture
def desk(tmp_path: Path) -> WalkDesk:
    """At the second dial reading of the control frame, with `25` in the field."""
    walk = begin(lay(tmp_path, control=True))
    answer_start(walk)
    walk.book("199")
    walk.book("18.40")
    desk = WalkDesk(walk)
    press(desk, "25")
    return desk


def press(desk: WalkDesk, keys: str) -> None:
    for key in keys:
        desk.press("enter" if key == "\n" else key, None if key == "\n" else key)


def at_the_same_prompt(desk: WalkDesk) -> bool:
    return desk.mode.name == "step" and desk.step.what == "dial_2" and desk.field.text == "25"


def test_another_chord_was_chosen_and_the_frame_comes_first(desk: WalkDesk) -> None:
    before = desk.walk.state.entered
    desk.act("jump")
    press(desk, "3\n")
    assert desk.walk.state.entered == before + 1
    assert at_the_same_prompt(desk)


def test_another_stage_was_said(desk: WalkDesk) -> None:
    press(desk, "+")
    assert desk.mode.menu is not None
    place = next(i for i, item in enumerate(desk.mode.menu.items, 1) if item.text == "change stage")
    press(desk, f"{place}\nbench\n")
    assert desk.walk.state.answer("stage") == "bench"
    assert at_the_same_prompt(desk)


def test_a_note_was_booked(desk: WalkDesk) -> None:
    desk.act("note")
    press(desk, "dripping\n")
    assert at_the_same_prompt(desk)


def test_what_was_booked_is_not_half_typed(desk: WalkDesk) -> None:
    press(desk, "\n")
    desk.act("jump")
    press(desk, "3\n")
    assert desk.step.what == "dial_3"
    assert desk.field.empty


@pytest.mark.parametrize("width", [71, 80, 132])
def test_a_hole_asked_for_again_has_its_label_over_its_field(tmp_path: Path, width: int) -> None:
    walk = begin(lay(tmp_path))
    answer_start(walk)
    walk.book("")
    for typed in ("320", "12.30", "14.90", "12.31", "12.33", "12.32"):
        walk.book(typed)
    assert walk.step.what == "hole_again"
    page = text_of(draw_walk(WalkDesk(walk), width, 24)).splitlines()
    form = next(place for place, line in enumerate(page) if line.startswith("  hole "))
    assert page[form].index("hole again") == page[form + 1].index("[")
