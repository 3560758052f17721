"""A tape's calibration table: a CSV file with the columns `hole,distance`.

Comma with decimal point, or semicolon with decimal comma. Distances are from the hook's bearing point, in the
route's small units. Holes and distances rise from line to line. A distance that strays from the tape's nominal
spacing by more than half a pitch is a slip in the table (*common practice*: no punched tape is that far out).
"""

from __future__ import annotations

import re
from decimal import Decimal

from msgspec import Struct

from fieldtui.route.problem import Problem
from fieldtui.route.textfile import BOM

HEADER = ("hole", "distance")
MOST_TOLD = 5
"""One slip can put a whole column out: so many problems of one table are told, the others are counted."""

_WHOLE = re.compile(r"[0-9]{1,6}")
_FIGURE = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?")

Row = tuple[int, int, Decimal]
"""Line, hole, distance."""


class Table(Struct, frozen=True):
    """What a calibration file says: the lines that can be read, and what is wrong with the others."""

    rows: tuple[Row, ...]
    problems: tuple[Problem, ...]

    @property
    def distances(self) -> dict[int, Decimal]:
        """Distance from the hook's bearing point by hole."""
        return {hole: distance for _, hole, distance in self.rows}


def read_table(text: str, file: str) -> Table:
    """The table that a text holds; `file` names it in the problems."""
    lines = text.removeprefix(BOM).split("\n")
    first = next((number for number, line in enumerate(lines, 1) if line.strip()), None)
    if first is None:
        return Table((), (Problem(file, 1, "", "is empty", "write hole,distance and one line for each hole below"),))
    separator = ";" if ";" in lines[first - 1] else ","
    if tuple(_cells(lines[first - 1], separator)) != HEADER:
        what = "does not begin with the line hole,distance"
        return Table((), (Problem(file, first, "", what, "write that line above the holes"),))
    rows: list[Row] = []
    problems: list[Problem] = []
    for number, line in enumerate(lines[first:], first + 1):
        if line.strip():
            read = _row(line, separator, number, rows[-1] if rows else None)
            if isinstance(read, str):
                problems.append(Problem(file, number, "", read, "correct this line"))
            else:
                rows.append(read)
    if not rows and not problems:
        problems = [Problem(file, first, "", "has no hole in it", "write one line for each hole")]
    return Table(tuple(rows), _shortened(problems))


def strays(
    table: Table, file: str, *, first_hole: int, holes: int, first_hole_distance: Decimal, pitch: Decimal
) -> tuple[Problem, ...]:
    """Lines that disagree with the tape they are for: no such hole, or more than half a pitch out.

    A line is compared with the last good one, so that one slip is one problem and a slow drift is none.
    """
    last = first_hole + holes - 1
    problems = []
    out = Decimal(0)
    for line, hole, distance in table.rows:
        nominal = first_hole_distance + (hole - first_hole) * pitch
        if not first_hole <= hole <= last:
            what = f"names hole {hole}, but the tape has holes {first_hole} to {last}"
            problems.append(Problem(file, line, "", what, "correct the hole, or the tape's first_hole and holes"))
        elif abs(distance - nominal - out) > pitch / 2:
            what = f"puts hole {hole} at {distance}, more than half a pitch from where the spacing puts it ({nominal})"
            problems.append(Problem(file, line, "", what, "look at the hole, the distance and first_hole_distance"))
        else:
            out = distance - nominal
    return _shortened(problems)


def _cells(line: str, separator: str) -> list[str]:
    return [cell.strip().strip('"').strip().lower() for cell in line.split(separator)]


def _row(line: str, separator: str, number: int, before: Row | None) -> Row | str:
    """One line read, or the words for what is wrong with it."""
    cells = _cells(line, separator)
    if len(cells) != len(HEADER):
        return f"has {len(cells)} columns instead of hole and distance"
    hole_text, distance_text = cells
    if separator == ";":
        distance_text = distance_text.replace(",", ".")
    if not _WHOLE.fullmatch(hole_text):
        return f'has "{hole_text[:20]}" where the number of a hole belongs'
    if not _FIGURE.fullmatch(distance_text):
        return f'has "{distance_text[:20]}" where a distance belongs'
    hole, distance = int(hole_text), Decimal(distance_text)
    if before is not None and hole <= before[1]:
        return f"names hole {hole} after hole {before[1]}; holes must rise from line to line"
    if before is not None and distance <= before[2]:
        return f"puts hole {hole} at {distance}, not beyond the {before[2]} of hole {before[1]}"
    return number, hole, distance


def _shortened(problems: list[Problem]) -> tuple[Problem, ...]:
    if len(problems) <= MOST_TOLD:
        return tuple(problems)
    last = problems[MOST_TOLD - 1]
    more = f"{last.what} (and {len(problems) - MOST_TOLD} more lines like it)"
    return (*problems[: MOST_TOLD - 1], Problem(last.file, last.line, last.key, more, last.todo))
