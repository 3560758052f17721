"""Displacements of a station's anchors drawn on its section as arrows, with a scale for the arrows and one for the
section, in text.

    o  an anchor where the route has it      △  one taken as unmoved, in one direction or both
    dotted lines  chords that were read      an arrow  where it has moved to

Looking towards rising chainage. Arrows are lengthened, all alike, so that the longest is a quarter of the drawing; a
displacement within its uncertainty has no head, for there is nothing to point at. Pure: the same data and size give
the same lines.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from math import atan2, hypot, pi, sqrt

from fieldtui.movement.canvas import ACROSS, DOWN, Lines
from fieldtui.movement.displacement import CRITICAL, Displacements, NoDisplacements
from fieldtui.movement.sheet import LONGEST, Place, Sheet, scale_bars
from fieldtui.movement.station import StationMoved
from fieldtui.reduction import show_u
from fieldtui.route import Route, Units
from fieldtui.route.section import draw_section

HELD = "△"
_HEADS = "→↗↑↖←↙↓↘"


def draw_arrows(moved: StationMoved, units: Units, coverage: float, width: int, height: int) -> Lines:
    """Exactly `height` lines of `width` cells: section and arrows, below them the two scales."""
    found = moved.found
    if width < 20 or height < 8:
        return _words("too small a window to draw in", width, height)
    if isinstance(found, NoDisplacements):
        return _unmoved(moved, found.why, width, height)
    places = {
        one.name: (float(one.across), float(one.up)) for one in moved.station.anchors if one.name in found.anchors
    }
    sheet = Sheet(places, width, height - 1)
    for chord in moved.chords:
        hook, far = chord.split("-")
        sheet.canvas.line(sheet.dot(places[hook]), sheet.dot(places[far]), "other", every=3)
    longest = max(hypot(*found.of(name)) for name in found.anchors)
    shown = longest if longest > 0 else 1.0
    dots_each = LONGEST * min(width * ACROSS, (height - 1) * DOWN) / shown
    for name in found.anchors:
        _arrow(sheet, places[name], found.of(name), dots_each, clear=_clear(found, name, coverage))
    for name, place in places.items():
        sheet.anchor(name, place, HELD if any(found.held(name)) else "o")
    return [*sheet.canvas.lines(), scale_bars(sheet, dots_each, shown / 2, units, width, "moved")]


def _arrow(sheet: Sheet, place: Place, moved: Place, dots_each: float, *, clear: bool) -> None:
    x, y = sheet.dot(place)
    tip = x + moved[0] * dots_each, y - moved[1] * dots_each
    sheet.canvas.line((x, y), tip, "main")
    if clear:
        turn = round(atan2(moved[1], moved[0]) / (pi / 4)) % len(_HEADS)
        sheet.canvas.sign(round(tip[0]) // ACROSS, round(tip[1]) // DOWN, _HEADS[turn], "main")


def _clear(found: Displacements, name: str, coverage: float) -> bool:
    """Whether an anchor has moved more than its expanded uncertainty along the way it moved."""
    across, up = found.of(name)
    size = hypot(across, up)
    if size == 0:
        return False
    first = 2 * found.anchors.index(name)
    part = found.covariance[first : first + 2, first : first + 2]
    along = (across / size, up / size)
    variance = float(sum(along[i] * along[j] * part[i, j] for i in (0, 1) for j in (0, 1)))
    return bool(size > coverage * sqrt(max(variance, 0.0)))


def displacement_lines(moved: StationMoved, route: Route, width: int) -> Lines:
    """The figures beside the drawing: each anchor's displacement, the closure, and what is assumed."""
    found, units = moved.found, route.units
    head = f"{moved.station.name}, {moved.earlier} to {moved.later}, {units.small}, ± with k = {route.coverage_factor}"
    if isinstance(found, NoDisplacements):
        return [*_wrapped(head, width, "main"), *_wrapped(found.why, width, "notice")]
    k = float(route.coverage_factor)
    rows = [("anchor", "across", "±", "up", "±")]
    for name in found.anchors:
        cells = [
            ("held", "") if held else (_signed(value, units), show_u(k * u, units))
            for value, u, held in zip(found.of(name), found.u(name), found.held(name), strict=True)
        ]
        rows.append((name, *cells[0], *cells[1]))
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    table = ["  ".join(cell.rjust(size) for cell, size in zip(row, widths, strict=True)) for row in rows]
    lines = [*_wrapped(head, width, "main"), *([(line[:width].ljust(width), "")] for line in table)]
    for text, role in _checks(found, units):
        lines += _wrapped(text, width, role)
    return [*lines, *_wrapped(found.assumption, width, "quiet")]


def _checks(found: Displacements, units: Units) -> Sequence[tuple[str, str]]:
    told: list[tuple[str, str]] = []
    left_over = (
        f"{len(found.residuals) - found.rank} left over" if len(found.residuals) > found.rank else "none left over"
    )
    told.append(
        (
            f"{len(found.residuals)} chords between {len(found.anchors)} anchors: rank {found.rank} of the "
            f"{found.needed} that it takes, {left_over}.",
            "",
        )
    )
    if found.closure is not None:
        closure = found.closure
        word = "closes" if closure.passed else "does not close"
        told.append(
            (
                f"The station {word}: {closure.squares:.1f} over {closure.redundancy} "
                f"{'chord' if closure.redundancy == 1 else 'chords'} left over (chance {closure.chance:.2g}).",
                "" if closure.passed else "alarm",
            )
        )
    if found.closure is None or found.closure.redundancy > 1:
        told += [
            (
                f"{one.chord} stands out: {one.value:+.{units.decimals}f} {units.small}, "
                f"{abs(one.standardised or 0.0):.1f} of its standard deviations.",
                "notice",
            )
            for one in found.residuals
            if one.stands_out
        ]
    if found.unchecked:
        told.append((found.unchecked, "quiet"))
    return told


def _signed(value: float, units: Units) -> str:
    return f"{round(value, units.decimals) + 0:+.{units.decimals}f}"


def residual_lines(moved: StationMoved, route: Route, width: int) -> Lines:
    """Each chord's change, what the anchors leave of it, and that over its standard deviation."""
    found, units = moved.found, route.units
    if isinstance(found, NoDisplacements):
        return []
    rows = [("chord", "change", "residual", "over its sd")]
    for one, residual in zip(moved.changes, found.residuals, strict=True):
        size = "not checked" if residual.standardised is None else f"{residual.standardised:+.1f}"
        mark = " ▲" if residual.stands_out else ""
        change, rest = (
            f"{round(value, units.decimals) + 0:+.{units.decimals}f}" for value in (one.change, residual.value)
        )
        rows.append((residual.chord, change, rest, size + mark))
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    lines: Lines = []
    for place, row in enumerate(rows):
        text = "  ".join(
            cell.ljust(size) if column in (0, 3) else cell.rjust(size)
            for column, (cell, size) in enumerate(zip(row, widths, strict=True))
        )
        role = "quiet" if place == 0 else "notice" if "▲" in text else ""
        lines.append([(text[:width].ljust(width), role)])
    checked = any(one.standardised is not None for one in found.residuals)
    return [*lines, *(_wrapped(f"▲ beyond {CRITICAL} (Baarda, alpha 0.001)", width, "quiet") if checked else [])]


def _wrapped(text: str, width: int, role: str) -> Lines:
    return [[(line.ljust(width), role)] for line in textwrap.wrap(text, max(width, 8))]


def _unmoved(moved: StationMoved, why: str, width: int, height: int) -> Lines:
    """Why no displacements can be told, above the section as it is laid."""
    words = _wrapped(why, width, "quiet")[:height]
    drawn = draw_section(moved.station, None, width, height - len(words)) if height > len(words) else []
    return [*words, *([(text, str(role)) for text, role in line] for line in drawn)]


def _words(text: str, width: int, height: int) -> Lines:
    lines = _wrapped(text, width, "quiet")[:height]
    return [*lines, *([(" " * width, "quiet")] for _ in range(height - len(lines)))]
