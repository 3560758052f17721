"""A station's section drawn in text: anchors at their places, the chord to be read heavy, the others light.

             K             o   an anchor, its name beside it
        ....o....          @   the anchor that the hook goes to
    ....         ....      #   the chord to be read
   @#################o R   .   the other chords
    L hook

Plain ASCII, since block and line signs fail on some consoles. A cell is taken to be twice as high as wide. Where the
names go is decided in `naming.py`.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from fieldtui.route.model import Anchor, Chord, Station
from fieldtui.route.naming import Cell, cells_of, name_places

Role = Literal["", "anchor", "chord", "other", "hook"]
Line = list[tuple[str, Role]]
"""Pieces of one line, each with what it shows; together exactly as many cells as the drawing is wide."""

ANCHOR, HOOK, HEAVY, LIGHT = "o", "@", "#", "."
CELL_HEIGHT = 2
"""How many times as high as wide a character cell is."""
_ONE_ROW = 0.5
"""Of a row's height: anchors that differ by less are drawn at one height."""


def draw_section(station: Station, chord: Chord | None, width: int, height: int) -> list[Line]:
    """The section in `height` lines of `width` cells, looking towards rising chainage.

    `chord` is the one to be read, its `hook` the end where the hook goes; None draws all chords light. A name is left
    out only where the drawing has no room for it at all.
    """
    sheet = _Sheet(width, height)
    if width < 1 or height < 1:
        return sheet.lines()
    marks = _beside_chords(station, _marks(station.anchors, width, height), height)
    for other in station.chords:
        if other.hook in marks and other.far in marks:
            sheet.line(marks[other.hook], marks[other.far], LIGHT, "other")
    if chord is not None and chord.hook in marks and chord.far in marks:
        sheet.line(marks[chord.hook], marks[chord.far], HEAVY, "chord")
    hook = chord.hook if chord is not None else None
    for name, mark in sorted(marks.items(), key=lambda one: one[0] == hook):  # the hook's mark last, over any other
        sheet.put(mark, [HOOK if name == hook else ANCHOR], "hook" if name == hook else "anchor")
    for name, label in name_places(marks, hook, sheet.drawn(), width, height).items():
        sheet.put(label.at, label.cells, "hook" if name == hook else "anchor")
    return sheet.lines()


class _Sheet:
    """A grid of cells, each with its sign and its role."""

    def __init__(self, width: int, height: int) -> None:
        self._signs = [[" "] * max(width, 0) for _ in range(height)]
        self._roles: list[list[Role]] = [[""] * max(width, 0) for _ in range(height)]

    def put(self, at: Cell, signs: Iterable[str], role: Role) -> None:
        for column, sign in enumerate(signs, at[0]):
            self._signs[at[1]][column] = sign
            self._roles[at[1]][column] = role

    def line(self, start: Cell, end: Cell, sign: str, role: Role) -> None:
        """A straight line of one sign."""
        for cell in _between(start, end):
            self.put(cell, [sign], role)

    def drawn(self) -> dict[Cell, Role]:
        """The cells that are not empty."""
        return {
            (column, row): role for row, roles in enumerate(self._roles) for column, role in enumerate(roles) if role
        }

    def lines(self) -> list[Line]:
        """The lines in pieces of one role each."""
        return [_pieces(signs, roles) for signs, roles in zip(self._signs, self._roles, strict=True)]


def _between(start: Cell, end: Cell) -> list[Cell]:
    """The cells of a straight line, one in each column or each row, whichever are more."""
    steps = max(abs(end[0] - start[0]), abs(end[1] - start[1]), 1)
    return [
        (start[0] + round((end[0] - start[0]) * step / steps), start[1] + round((end[1] - start[1]) * step / steps))
        for step in range(steps + 1)
    ]


def _pieces(signs: list[str], roles: list[Role]) -> Line:
    pieces: Line = []
    for sign, role in zip(signs, roles, strict=True):
        if pieces and pieces[-1][1] == role:
            pieces[-1] = (pieces[-1][0] + sign, role)
        else:
            pieces.append((sign, role))
    return pieces


def _marks(anchors: Iterable[Anchor], width: int, height: int) -> dict[str, Cell]:
    """The cell of each anchor: true to scale, in the middle of the sheet, no two in one cell while there is room."""
    spots = {anchor.name: (float(anchor.across), float(anchor.up)) for anchor in anchors}
    if not spots:
        return {}
    longest = max(len(cells_of(name)) for name in spots)
    side = min(longest + 2, (width - 1) // 3)
    above = 1 if height >= 5 else 0
    columns, rows = width - 2 * side, height - 2 * above
    left, right = min(x for x, _ in spots.values()), max(x for x, _ in spots.values())
    floor, roof = min(y for _, y in spots.values()), max(y for _, y in spots.values())
    scale = min(
        (columns - 1) / (right - left) if right > left else float("inf"),
        (rows - 1) * CELL_HEIGHT / (roof - floor) if roof > floor else float("inf"),
    )
    if scale == float("inf"):
        scale = 0.0
    # of all but one height they stand in one row: the middle may lie between two, and would tear them apart
    level = 0 if (roof - floor) * scale / CELL_HEIGHT < _ONE_ROW else 1
    marks: dict[str, Cell] = {}
    for name, (x, y) in spots.items():
        column = (width - 1) / 2 + (x - (left + right) / 2) * scale
        row = (height - 1) / 2 - level * (y - (floor + roof) / 2) * scale / CELL_HEIGHT
        marks[name] = _free_cell(column, row, set(marks.values()), width, height)
    return marks


def _beside_chords(station: Station, marks: dict[str, Cell], height: int) -> dict[str, Cell]:
    """The marks, each moved by a row where it lay on the line of a chord that passes the anchor above or below.

    In a flat section, true to scale, a crown anchor comes down to the row of the walls, and the chord between them
    would seem to end at it.
    """
    spots = {anchor.name: (float(anchor.across), float(anchor.up)) for anchor in station.anchors}
    moved = dict(marks)
    for chord in station.chords:
        if chord.hook not in marks or chord.far not in marks:
            continue
        (x0, y0), (x1, y1) = sorted((spots[chord.hook], spots[chord.far]))
        for name, (x, y) in spots.items():
            passed = name not in (chord.hook, chord.far) and x0 < x < x1
            if not passed or moved[name] not in _between(moved[chord.hook], moved[chord.far]):
                continue
            above = y - (y0 + (y1 - y0) * (x - x0) / (x1 - x0))
            row = moved[name][1] - (1 if above > 0 else -1)
            cell = (moved[name][0], row)
            if above and 0 <= row < height and cell not in moved.values():
                moved[name] = cell
    return moved


def _free_cell(column: float, row: float, taken: set[Cell], width: int, height: int) -> Cell:
    """The cell nearest to a spot that no other anchor has; the spot's own cell when all are taken."""
    own = (min(max(round(column), 0), width - 1), min(max(round(row), 0), height - 1))
    if own not in taken or len(taken) >= width * height:
        return own
    free = ((x, y) for x in range(width) for y in range(height) if (x, y) not in taken)
    return min(free, key=lambda cell: (cell[0] - column) ** 2 + (CELL_HEIGHT * (cell[1] - row)) ** 2)
