"""What a layout will see, drawn on its section as error ellipses, and told in figures.

    o  an anchor      dotted lines  the chords      an ellipse  where the anchor's displacement will be known to lie

Ellipses are the standard ones times the route's coverage factor, lengthened all alike. Where the chords leave an
anchor free, a line with `↔`, `↕` or the like stands for the movement that shows in none of them. Pure: the same data
and size give the same lines.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from itertools import pairwise
from math import cos, pi, radians, sin

from fieldtui.movement.canvas import ACROSS, DOWN, Lines
from fieldtui.movement.datum import assumption
from fieldtui.movement.displacement import NoDisplacements
from fieldtui.movement.sheet import LONGEST, Sheet, scale_bars
from fieldtui.movement.sight import Alone, Blocked, Ellipse, Sight, in_words
from fieldtui.movement.station import fixed_of
from fieldtui.reduction import show_u
from fieldtui.route import Route

_CORNERS = 96
_WIDE = 72
"""From so many cells on the table says in words which way an ellipse is long; the drawing shows it anyway."""
_FREE = {"across": "↔", "up or down": "↕"}


def draw_ellipses(seen: Sight, route: Route, width: int, height: int, largest: float = 0.0) -> Lines:
    """Exactly `height` lines of `width` cells. `largest` is the standard half axis, small units, that the scale is
    made for, so that two layouts can be compared; 0: this layout's own."""
    names = {end for name in seen.changes for end in name.split("-")}
    places = {one.name: (float(one.across), float(one.up)) for one in seen.station.anchors if one.name in names}
    if width < 16 or height < 6 or len(places) < 2:
        return _filled([[("no room or no chord to draw", "quiet")]], width, height)
    sheet = Sheet(places, width, height - 1)
    for name in seen.changes:
        hook, far = name.split("-")
        sheet.canvas.line(sheet.dot(places[hook]), sheet.dot(places[far]), "other", every=3)
    k = float(route.coverage_factor)
    longest = k * (largest or max((one.long for one in seen.ellipses), default=0.0))
    dots_each = LONGEST / 2 * min(width * ACROSS, (height - 1) * DOWN) / longest if longest else 0.0
    for ellipse in seen.ellipses:
        _ellipse(sheet, places[ellipse.anchor], ellipse, k * dots_each)
    for name, place in places.items():
        sheet.anchor(name, place)
    for one in seen.alone:
        if not one.seen:
            _free(sheet, places[one.anchor], one)
    bars = scale_bars(sheet, dots_each, longest, route.units, width, "ellipses") if dots_each else [(" " * width, "")]
    return [*sheet.canvas.lines(), bars]


def _ellipse(sheet: Sheet, place: tuple[float, float], one: Ellipse, dots_each: float) -> None:
    x, y = sheet.dot(place)
    turn = radians(one.angle)
    corners = []
    for step in range(_CORNERS + 1):
        along = one.long * dots_each * cos(2 * pi * step / _CORNERS)
        beside = one.short * dots_each * sin(2 * pi * step / _CORNERS)
        across, up = along * cos(turn) - beside * sin(turn), along * sin(turn) + beside * cos(turn)
        corners.append((x + across, y - up))
    for start, end in pairwise(corners):
        sheet.canvas.line(start, end, "main")


def _free(sheet: Sheet, place: tuple[float, float], one: Alone) -> None:
    """The sign of an unseen movement beside its anchor."""
    x, y = sheet.dot(place)
    column, row = round(x) // ACROSS, round(y) // DOWN
    sign = _FREE.get(one.way) or ("⤢" if one.way.endswith("right") else "⤡")
    for spot in ((column, row - 1), (column, row + 1), (column + 1, row), (column - 1, row)):
        if sheet.canvas.free(*spot, 1):
            sheet.canvas.sign(*spot, sign, "notice")
            return


def sight_lines(seen: Sight, route: Route, width: int) -> Lines:
    """The figures: each chord's change, each anchor's displacement, what stays unseen, what a blocked chord costs."""
    k = route.coverage_factor
    lines = _wrapped(f"{seen.planned.tape} with {seen.planned.extensometer}, k = {k}", width, "main")
    lines += _table(_chords(seen, route), width)
    if seen.ellipses:
        lines += _table(_anchors(seen, route, wide=width >= _WIDE), width)
        lines += _wrapped("alone from: so far moves this anchor alone before a chord shows it for sure", width, "quiet")
    elif isinstance(seen.found, NoDisplacements):
        lines += _wrapped(seen.found.why, width, "notice")
    for text in unseen_sentences(seen):
        lines += _wrapped(f"▲ {text}", width, "notice")
    for text in blocked_sentences(seen, route):
        lines += _wrapped(text, width, "")
    if seen.ellipses:
        lines += _wrapped(assumption(fixed_of(seen.station)), width, "quiet")
    return [*lines, *_wrapped(f"Expected of two surveys: {seen.conditions.told(route)}.", width, "quiet")]


def unseen_sentences(seen: Sight) -> Iterator[str]:
    """Movements that show in no chord."""
    yield "The station shifting or turning as a whole shows in no chord."
    for one in seen.alone:
        if not one.seen:
            yield f"{one.anchor} moving {one.way} shows in no chord."
    if seen.together:
        ways = "one more way" if seen.together == 1 else f"{seen.together} more ways"
        yield f"Anchors can move together in {ways} without any chord showing it."
    for one_chord in seen.planned.chords:
        if one_chord.change is None:
            yield f"{one_chord.chord.name} is beyond what this tape and extensometer read."


def blocked_sentences(seen: Sight, route: Route) -> Iterator[str]:
    """What is lost with each chord; chords that cost the same, in the same words, are told together."""
    told: dict[str, list[str]] = {}
    for one in seen.blocked:
        told.setdefault(_cost(one, seen, route), []).append(one.chord)
    for cost, chords in told.items():
        yield f"Without {' or '.join(chords)}: {cost}"


def _cost(one: Blocked, seen: Sight, route: Route) -> str:
    if one.long is not None:
        expanded = show_u(float(route.coverage_factor) * one.long, route.units)
        return f"{one.anchor} is known to {expanded} {route.units.small}, {one.times:.1f} times as much."
    lost = "no displacements. " if seen.ellipses else ""
    if one.unread:
        return f"{lost}{' and '.join(one.unread)} {'is' if len(one.unread) == 1 else 'are'} not read at all."
    known = {free.anchor for free in seen.alone if not free.seen}
    new = [f"{free.anchor} {free.way}" for free in one.unseen if free.anchor not in known]
    if new:
        return f"{lost}Nothing shows {' or '.join(new)}."
    return f"{lost}Fewer chords than it takes." if lost else "one movement less is seen."


def _chords(seen: Sight, route: Route) -> list[tuple[str, ...]]:
    units = route.units
    rows: list[tuple[str, ...]] = [("chord", f"length {units.large}", f"change ± {units.small}")]
    for one in seen.planned.chords:
        u = "-" if one.change is None else show_u(float(route.coverage_factor) * one.change.u, units)
        rows.append((one.chord.name, f"{one.length / units.small_per_large:.2f}", u))
    return rows


def _anchors(seen: Sight, route: Route, *, wide: bool) -> list[tuple[str, ...]]:
    units, k = route.units, float(route.coverage_factor)
    alone = {one.anchor: one for one in seen.alone}
    rows: list[tuple[str, ...]] = [
        ("anchor", f"half axes {units.small}", *(("the longer",) if wide else ()), "alone from")
    ]
    for one in seen.ellipses:
        free = alone[one.anchor]
        axes = f"{show_u(k * one.long, units)} {show_u(k * one.short, units)}"
        shows = show_u(free.size, units) if free.seen else "never"
        rows.append((one.anchor, axes, *((in_words(one.angle),) if wide else ()), shows))
    return rows


def _table(rows: list[tuple[str, ...]], width: int) -> Lines:
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    lines: Lines = []
    for place, row in enumerate(rows):
        text = "  ".join(cell.ljust(size) for cell, size in zip(row, widths, strict=True))
        lines.append([(text[:width].ljust(width), "quiet" if place == 0 else "")])
    return lines


def _wrapped(text: str, width: int, role: str) -> Lines:
    return [[(line.ljust(width), role)] for line in textwrap.wrap(text, max(width, 8))]


def _filled(lines: Lines, width: int, height: int) -> Lines:
    return [*lines, *([(" " * width, "")] for _ in range(height))][:height]
