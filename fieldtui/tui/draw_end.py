"""What stands at the left at the end of a survey: what is still missing, station by station, then what was not read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from rich.cells import cell_len

from fieldtui.counted import counted
from fieldtui.survey import State, Target
from fieldtui.survey import words as say
from fieldtui.tui.choose import EVERY_CHORD
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.lines import Line, Lines, wrapped

_INDENT = 3
Told = tuple[Line, int]
"""A line, and how many chords it tells of."""


def draw_end(desk: WalkDesk, width: int, rows: int) -> Lines:
    """As many of the chords as there is room for; the last lines count the others, and say where they are told."""
    told = list(_all(desk, width))
    if len(told) <= rows:
        return [line for line, _ in told]
    where = "the report lists them" if desk.walk.state.closed else f"Enter, then “{EVERY_CHORD}”"
    shown = rows
    while True:  # what is said of the others may take more than one line, and then there are more of them
        left = sum(chords for _, chords in told[shown:])
        more = wrapped(f"▼ {counted(left, 'chord')} more: {where}", width - 2, "notice")
        if shown + len(more) <= rows or shown == 0:
            return [*(line for line, _ in told[:shown]), *([(" ", ""), *line] for line in more)]
        shown -= 1


def _all(desk: WalkDesk, width: int) -> Iterator[Told]:
    """Every line, however many they are."""
    missing, left_out = desk.seen.missing, desk.seen.left_out
    yield [(f" {len(desk.seen.read)} read, {len(left_out)} not read", "main")], 0
    yield [(" " + say.planned(len(missing), "missing"), "main")], 0
    room = width - _INDENT - 1
    for station, here in groupby(missing, lambda target: target.station):
        for text, chords in _folded(station, here, desk.walk.state, room):
            yield from _under(text, room, "notice", chords)
    if left_out:
        yield [(" Not read", "main")], 0
    for target, outcome in left_out:
        yield from _under(f"{say.place(target)}: {outcome}", room, "", 1)


def _under(text: str, room: int, role: str, chords: int) -> Iterator[Told]:
    """A text set in below a heading, in as many lines as it takes; the first of them counts."""
    for number, line in enumerate(wrapped(text, room, role)):
        yield [(" " * _INDENT, ""), *line], chords if number == 0 else 0


def _folded(station: str, missing: Iterable[Target], state: State, room: int) -> list[tuple[str, int]]:
    """The chords of a station behind its name, as many in a line as fit, each with their number."""
    made: list[tuple[str, int]] = []
    for target in missing:
        chord = f"{target.chord}{say.begun(state, target)}"
        text, chords = made[-1] if made else ("", 0)
        if made and cell_len(f"{text}, {chord}") <= room:
            made[-1] = (f"{text}, {chord}", chords + 1)
        else:
            made.append((f"{station} {chord}", 1))
    return made
