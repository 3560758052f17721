"""The figure that matters in large digits, where there is room for them and nothing said is in their way."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.large import ROWS, large
from fieldtui.tui.lines import text_of, width_of
from harness.desks import at_first_chord

ONE = """\
  ██
████
  ██
  ██
██████"""


@pytest.fixture
def desk(tmp_path: Path) -> WalkDesk:
    return at_first_chord(tmp_path)


def type_in(desk: WalkDesk, keys: str) -> None:
    for key in keys:
        desk.press("enter" if key == "\n" else key, None if key == "\n" else key)


def page(desk: WalkDesk, width: int, height: int) -> str:
    return text_of(draw_walk(desk, width, height))


def test_a_digit_on_three_by_five_dots() -> None:
    assert text_of(large("1", 20)) == ONE
    assert text_of(large("1", 3)).splitlines()[-1] == "███"
    assert large("1", 2) == []


def test_no_two_signs_look_alike_and_all_are_of_one_height() -> None:
    shapes = [text_of(large(sign, 20)) for sign in "0123456789+-."]
    assert len(set(shapes)) == len(shapes)
    assert {len(large(sign, 20)) for sign in "0123456789+-."} == {ROWS}


@pytest.mark.parametrize("figure", ["", "12a", "none"])
def test_what_is_no_figure_has_no_large_digits(figure: str) -> None:
    assert large(figure, 80) == []


def test_a_comma_is_a_point_here_too() -> None:
    assert large("12,3", 80) == large("12.3", 80)


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (200, 60)])
def test_the_figure_being_typed_stands_large_where_there_is_room(desk: WalkDesk, size: tuple[int, int]) -> None:
    type_in(desk, "320")
    told = page(desk, *size)
    rows = [line.strip() for line in text_of(large("320", 80)).splitlines()]
    assert all(any(row in line for line in told.splitlines()) for row in rows)


def test_in_a_large_window_the_change_since_last_stands_large_at_the_end(desk: WalkDesk) -> None:
    type_in(desk, "320\n12.30\n12.33\n12.31\n12\n")
    change = next(one.text for one in desk.told() if one.label == "since last").split(" ")[0]
    rows = [line.strip() for line in text_of(large(change, 100)).splitlines()]
    told = page(desk, 200, 60).splitlines()
    assert all(any(row in line for line in told) for row in rows)


@pytest.mark.parametrize("height", range(14, 40))
def test_nothing_said_gives_way_to_large_digits(desk: WalkDesk, height: int) -> None:
    """Each height of window: with the large digits no line fewer is said than without them."""
    type_in(desk, "319\n28.10\n28.13\n28.11\n1")
    lines = draw_walk(desk, 80, height)
    assert {width_of(line) for line in lines} == {80}
    words = " ".join(text_of(lines).split())
    if "█" in words:
        assert not desk.turning.left
        assert all(one.label in words for one in desk.told())
