"""Where the anchors' names go in a drawn section: near their own mark, on nothing that matters more.

Every place in a window around the mark is weighed; the lightest wins. A name never covers a mark or another name and
never touches one; it covers a chord only where there is no better place.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

Cell = tuple[int, int]
"""Column and row, from the upper left corner."""

_OVER_HEAVY, _OVER_LIGHT, _INWARDS, _NEARER_ANOTHER, _TOUCHING, _OTHER_ROW = 6.0, 1.5, 2.0, 8.0, 2.0, 0.5
"""What a place costs, in columns of distance from the mark."""


class Label(Struct, frozen=True):
    """A name at its place; `cells` has one entry for each cell it takes."""

    at: Cell
    cells: tuple[str, ...]


def cells_of(text: str) -> tuple[str, ...]:
    """A text by terminal cells: a wide sign takes two (the second entry is empty), a combining one none."""
    cells: list[str] = []
    for sign in text:
        if unicodedata.combining(sign) or unicodedata.category(sign) in ("Cf", "Me", "Mn"):
            if cells:
                cells[-1] += sign
        else:
            cells.append(sign)
            if unicodedata.east_asian_width(sign) in "WF":
                cells.append("")
    return tuple(cells)


def name_places(
    marks: Mapping[str, Cell], hook: str | None, drawn: Mapping[Cell, str], width: int, height: int
) -> dict[str, Label]:
    """A label for every anchor that finds room; the hook's end says so in words where that finds room too.

    `drawn` tells what stands in a cell: "chord", "other", or a mark. Longer names choose first.
    """
    middle = (
        sum(column for column, _ in marks.values()) / max(len(marks), 1),
        sum(row for _, row in marks.values()) / max(len(marks), 1),
    )
    sheet = _Names(marks, drawn, middle, width, height)
    placed: dict[str, Label] = {}
    for name in sorted(marks, key=lambda name: (name != hook, -len(cells_of(name)))):
        wordings = (f"{name} hook", name) if name == hook else (name,)
        label = next((found for words in wordings if (found := sheet.place(name, cells_of(words)))), None)
        if label is not None:
            placed[name] = label
    return placed


class _Names:
    """The names placed so far, and the weighing of places for the next."""

    def __init__(
        self, marks: Mapping[str, Cell], drawn: Mapping[Cell, str], middle: tuple[float, float], width: int, height: int
    ) -> None:
        self._marks = marks
        self._drawn = drawn
        self._middle = middle
        self._width = width
        self._height = height
        self._taken: set[Cell] = set(marks.values())

    def place(self, name: str, cells: tuple[str, ...]) -> Label | None:
        """The lightest free place for a name, first near its mark, then anywhere; None where there is none."""
        length = len(cells)
        if not 0 < length <= self._width:
            return None
        column, row = self._marks[name]
        near = [(x, y) for y in range(row - 2, row + 3) for x in range(column - length - 2, column + 4)]
        everywhere = ((x, y) for y in range(self._height) for x in range(self._width - length + 1))
        at = self._lightest(name, near, length) or self._lightest(name, everywhere, length)
        if at is None:
            return None
        self._taken.update(_run(at, length))
        return Label(at, cells)

    def _lightest(self, name: str, places: Iterable[Cell], length: int) -> Cell | None:
        weighed = [(self._weight(name, at, length), at) for at in places if self._free(name, at, length)]
        return min(weighed)[1] if weighed else None

    def _free(self, name: str, at: Cell, length: int) -> bool:
        if at[0] < 0 or at[1] < 0 or at[0] + length > self._width or at[1] >= self._height:
            return False
        own = self._marks[name]
        beside = ((at[0] - 1, at[1]), (at[0] + length, at[1]))
        return not any(cell in self._taken for cell in _run(at, length)) and not any(
            cell in self._taken and cell != own for cell in beside
        )

    def _weight(self, name: str, at: Cell, length: int) -> float:
        own = self._marks[name]
        away = _distance(own, at, length)
        weight = away + (_OTHER_ROW if at[1] != own[1] else 0.0)
        for cell in _run(at, length):
            weight += {"chord": _OVER_HEAVY, "other": _OVER_LIGHT}.get(self._drawn.get(cell, ""), 0.0)
        for cell in ((at[0] - 1, at[1]), (at[0] + length, at[1])):
            weight += _TOUCHING if cell in self._drawn else 0.0
        outwards = (own[0] - self._middle[0], 2 * (own[1] - self._middle[1]))
        towards = (at[0] + (length - 1) / 2 - own[0], 2 * (at[1] - own[1]))
        if outwards[0] * towards[0] + outwards[1] * towards[1] < 0:
            weight += _INWARDS
        if any(_distance(mark, at, length) <= away for other, mark in self._marks.items() if other != name):
            weight += _NEARER_ANOTHER
        return weight


def _run(at: Cell, length: int) -> Iterator[Cell]:
    return ((at[0] + step, at[1]) for step in range(length))


def _distance(mark: Cell, at: Cell, length: int) -> float:
    """From a mark to the nearest cell of a name; a row counts as two columns."""
    aside = max(at[0] - mark[0], mark[0] - (at[0] + length - 1), 0)
    return float(aside + 2 * abs(at[1] - mark[1]))
