"""The walk against the paper sheet and a spreadsheet for the same ten chords, seven of them read wrong."""

from __future__ import annotations

import pytest

from tests.bench.against_paper.__main__ import all_ways
from tests.bench.against_paper.ground import Way


@pytest.fixture(scope="module")
def ways() -> list[Way]:
    return list(all_ways()[0])


def test_the_walk_names_every_slip_while_the_tape_is_hooked(ways: list[Way]) -> None:
    walk = ways[0]
    assert (walk.caught, walk.named, walk.false) == (7, 7, 0)


def test_the_sheet_names_as_many_only_later(ways: list[Way]) -> None:
    sheet = ways[1]
    assert (sheet.caught, sheet.named, sheet.false) == (7, 7, 0)


def test_a_fixed_tolerance_names_none_and_misses_the_one_repeat(ways: list[Way]) -> None:
    spreadsheet = ways[2]
    assert (spreadsheet.caught, spreadsheet.named) == (6, 0)


def test_the_keyboard_is_touched_less_than_pen_and_keyboard_although_five_chords_are_read_twice(
    ways: list[Way],
) -> None:
    walk, sheet, _ = ways
    assert walk.keys == 470
    assert walk.keys < 0.7 * sheet.keys
    assert walk.entries == 82
