"""A small plot of one chord's last readings: movement since the start of the readings against time. Pure.

         +0.0 ┤●
              │   ●
         -2.1 ┤      ●  ●  ◆
               12 Mar      03 Jun

One mark a reading, at its place in time; `◆` is the reading at hand. Where the marks of two readings fall on one
cell the later one shows.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from fieldtui.tui.lines import Line, Lines, fit

Point = tuple[datetime, float]
_AXIS = 10
_LEAST = 10


def draw_trend(points: Sequence[Point], now: Point | None, width: int, height: int, unit: str, decimals: int) -> Lines:
    """Exactly `height` lines of `width` cells. Values are movements in `unit`, negative closing, closing downwards."""
    every = [*points, now] if now is not None else list(points)
    if len(every) < 2 or height < 3 or width < _AXIS + 12:
        words = "fewer than two readings to draw" if len(every) < 2 else ""
        return [fit([(f" {words}" if row == 0 else "", "quiet")], width) for row in range(height)]
    rows, columns = height - 1, width - _AXIS - 1
    low, high = _range([value for _, value in every], decimals)
    # where the laptop's clock was set back, the reading at hand is the earliest
    start, end = min(time for time, _ in every), max(time for time, _ in every)
    span = (end - start).total_seconds() or 1.0

    def column(time: datetime) -> int:
        return round((time - start).total_seconds() / span * (columns - 1))

    def row(value: float) -> int:
        return 0 if high == low else round((high - value) / (high - low) * (rows - 1))

    cells = [[(" ", "")] * columns for _ in range(rows)]
    for time, value in points:
        cells[row(value)][column(time)] = ("●", "main")
    if now is not None:
        cells[row(now[1])][column(now[0])] = ("◆", "hook")
    labels = {0: f"{high:+.{decimals}f}", rows - 1: f"{low:+.{decimals}f}"}
    drawn: Lines = []
    for place, line in enumerate(cells):
        tick = "┤" if place in labels else "│"
        drawn.append(fit([(labels.get(place, "").rjust(_AXIS - 2) + " " + tick, "quiet"), *line], width))
    drawn.append(_dates(start, end, columns, width, unit))
    return drawn


def _range(values: Sequence[float], decimals: int) -> tuple[float, float]:
    """The ends of the axis, some last figures of their labels apart at least: noise must not look like movement."""
    low, high = min(values), max(values)
    return min(low, high - _LEAST * 10.0**-decimals), high


def _dates(start: datetime, end: datetime, columns: int, width: int, unit: str) -> Line:
    form = "%d %b %Y" if (end - start).days > 300 else "%d %b %H:%M" if (end - start).days < 4 else "%d %b"
    first, last = start.strftime(form), end.strftime(form)
    gap = max(1, columns - len(first) - len(last))
    return fit([(unit.rjust(_AXIS - 2) + "  ", "quiet"), (first + " " * gap + last, "quiet")], width)
