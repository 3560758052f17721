"""The walk's screen as it is read by eye: from its text alone, whoever drew it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len

_HEAD = re.compile(
    r"(survey |  |PRACTICE, )(?P<label>[^ ,]+( \(\d+\))?), (?P<read>\d+) of (?P<planned>\d+) (chords )?read"
    r"(, (?P<left>\d+) not read)?(?= |$)"
)
_SAVED = re.compile(r"(saved \d\d:\d\d:\d\d|nothing booked yet|all entries saved|NOT SAVED)$")
_CELL = 10
LABELS = {
    "hole": "hole(?! again)", "dial_1": "dial 1", "dial_2": "dial 2", "dial_3": "dial 3", "dial_4": "dial 4",
    "dial_5": "dial 5", "hole_again": "hole again", "temperature": "temp deg[CF]", "zero": "dial zero",
}  # fmt: skip
"""As they stand above the fields."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What stands on the screen; None for what it has no room for."""

    label: str | None
    counts: tuple[int, int, int] | None
    """Planned chords read, not read, and all of them."""
    saved: str | None


def read_screen(lines: Sequence[str]) -> Shown:
    """Head and last line of a page of the walk."""
    head = _HEAD.search(lines[0])
    last = _SAVED.search(lines[-1].rstrip())
    # in a narrow window the line is cut, and with it what was not read
    if head is None or (head["left"] is None and len(lines[0].rstrip()) > head.end()):
        return Shown(None, None, last and last[1])
    counts = (int(head["read"]), int(head["left"] or 0), int(head["planned"]))
    return Shown(head["label"], counts, last and last[1])


def fields_shown(labels: str, figures: str) -> dict[str, str]:
    """The text in each field of a booking that is in sight, by its slot; the one being typed keeps its bracket."""
    found = {}
    cells = _cells(figures)
    for slot, label in LABELS.items():
        for name in re.finditer(rf"(?<= ){label}(?= |$)", labels.rstrip()):
            place = round((name.start() - 2) / _CELL)
            found[slot] = "".join(cells[1 + _CELL * place : 1 + _CELL * (place + 1)]).strip()
    return found


def _cells(text: str) -> list[str]:
    """A line cell by cell; behind a wide sign stands an empty one, an accent stands with its letter."""
    cells: list[str] = []
    for sign in text:
        width = cell_len(sign)
        if width:
            cells += [sign, *[""] * (width - 1)]
        elif cells:
            cells[-1] += sign
    return cells
