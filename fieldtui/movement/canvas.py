"""A drawing of dots and signs in a grid of character cells: two by four braille dots in a cell, signs over them.

    Canvas ── dot, line, sign, text ──► lines of (text, role), each exactly as wide as the canvas

Dots are counted from the upper left; a cell is taken to be twice as high as wide, so dots are square.
"""

from __future__ import annotations

from itertools import groupby
from unicodedata import combining, east_asian_width

Line = list[tuple[str, str]]
Lines = list[Line]
"""Pieces of lines, each with the role that a theme gives a look."""

ACROSS, DOWN = 2, 4
_BLANK = 0x2800
_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))


class Canvas:
    """A grid of cells. What falls outside is left out."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = max(width, 0), max(height, 0)
        self._dots = [[0] * self.width for _ in range(self.height)]
        self._dot_roles = [[""] * self.width for _ in range(self.height)]
        self._signs: dict[tuple[int, int], tuple[str, str]] = {}

    def dot(self, x: int, y: int, role: str = "") -> None:
        """Set one dot."""
        column, row = x // ACROSS, y // DOWN
        if 0 <= column < self.width and 0 <= row < self.height:
            self._dots[row][column] |= _BITS[y % DOWN][x % ACROSS]
            self._dot_roles[row][column] = role

    def line(self, start: tuple[float, float], end: tuple[float, float], role: str = "", every: int = 1) -> None:
        """Dots on a straight line, every so many of them set."""
        steps = max(abs(round(end[0] - start[0])), abs(round(end[1] - start[1])), 1)
        for step in range(0, steps + 1, every):
            share = step / steps
            x, y = start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])
            self.dot(round(x), round(y), role)

    def sign(self, column: int, row: int, sign: str, role: str = "") -> None:
        """A sign in a cell, over its dots and any sign before."""
        if 0 <= column < self.width and 0 <= row < self.height:
            self._signs[(column, row)] = (sign, role)

    def text(self, column: int, row: int, text: str, role: str = "") -> None:
        """Signs beside each other."""
        for place, sign in enumerate(text):
            self.sign(column + place, row, sign, role)

    def free(self, column: int, row: int, width: int) -> bool:
        """Whether so many cells from this one on are in the grid and without signs."""
        cells = range(column, column + width)
        return (
            0 <= row < self.height
            and column >= 0
            and column + width <= self.width
            and all((cell, row) not in self._signs for cell in cells)
        )

    def lines(self) -> Lines:
        return [self._line(row) for row in range(self.height)]

    def _line(self, row: int) -> Line:
        cells = [self._cell(column, row) for column in range(self.width)]
        return [("".join(sign for sign, _ in run), role) for role, run in groupby(cells, key=lambda cell: cell[1])]

    def _cell(self, column: int, row: int) -> tuple[str, str]:
        if (column, row) in self._signs:
            return self._signs[(column, row)]
        dots = self._dots[row][column]
        return (chr(_BLANK + dots), self._dot_roles[row][column]) if dots else (" ", "")


def cell_width(text: str) -> int:
    """How many cells a text takes: two for a wide sign (East Asian), none for one that is set over another."""
    return sum(0 if combining(sign) else 2 if east_asian_width(sign) in "WF" else 1 for sign in text)


def cut(text: str, width: int) -> str:
    """The text in exactly so many cells: cut, and said by an ellipsis, or filled with blanks."""
    if cell_width(text) > width:
        while text and cell_width(text) > max(width - 1, 0):
            text = text[:-1]
        text += "…" if width > 0 else ""
    return text + " " * (width - cell_width(text))


def as_text(lines: Lines) -> str:
    """The bare text, for tests and for a person without colours."""
    return "\n".join("".join(text for text, _ in line).rstrip() for line in lines)
