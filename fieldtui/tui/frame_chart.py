"""The control frame's chart as lines: one column a survey, the newest at the right. Pure.

   +0.14 ┤╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌
         │ ●  ● ╎ ●  ~ ●             ●  a survey, ○ one outside, ◆ the reading at hand, ~ the weighted mean,
   +0.00 ┤─●──●─╎~─●─~──◆─           ≈ where it drifts, ╌  limits, ─ the mean of the set, ╎ where the limits were frozen
         │      ╎
   -0.14 ┤╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌
      mm  10 Jun      24 Nov

Drawn about the mean of the set that the limits are frozen from; before that, about the first reading, with the route's
limit. What lies farther out than the plot stands at its edge as ▲ or ▼.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from fieldtui.reduction.chart import Chart, Point
from fieldtui.tui.lines import Line, Lines, fit

_AXIS = 10
_WIDEST = 1.5
"""The plot reaches so many times the limits at most."""
LEGEND = "● survey  ○ outside  ~ mean  ≈ drifts  ╌ limits"


class _Scale(Struct, frozen=True):
    centre: float
    half: float
    rows: int

    def row(self, value: float) -> int:
        """0 at the top; what is farther out lands on the edge."""
        share = (self.centre + self.half - value) / (2 * self.half)
        return min(self.rows - 1, max(0, round(share * (self.rows - 1))))

    def beyond(self, value: float) -> bool:
        return abs(value - self.centre) > self.half * (1 + 1e-9)


def draw_frame_chart(
    chart: Chart, now: float | None, width: int, height: int, *, limit: float, unit: str, decimals: int
) -> Lines:
    """Exactly `height` lines of `width` cells. `now` is the reading at hand, `limit` the route's, all in `unit`."""
    if (not chart.points and now is None) or height < 4 or width < _AXIS + 12:
        words = "no survey has read the frame with this instrument yet" if not chart.points else ""
        return [fit([(f" {words}" if row == 0 else "", "quiet")], width) for row in range(height)]
    columns = width - _AXIS - 1
    room = columns - (1 if now is not None else 0)
    shown = chart.points[-room:]
    step = max(1, min(3, room // (len(shown) + 1)))
    shown = shown[-(room // step) :]
    # an odd number of rows has one for the middle
    scale = _scale(chart, shown, now, limit, height - 1 - (height % 2))
    cells = _lined(chart, scale, limit, columns)
    _mark(cells, shown, now, scale, step)
    return [
        *_axis(cells, chart, scale, limit, width, decimals),
        *_foot(shown, columns, width, unit, height, scale.rows),
    ]


def _scale(chart: Chart, shown: Sequence[Point], now: float | None, limit: float, rows: int) -> _Scale:
    centre, half = _lines_of(chart, now, limit)
    values = [*(point.value for point in shown), *([now] if now is not None else [])]
    farthest = max(abs(value - centre) for value in values)
    return _Scale(centre, min(max(farthest, half), _WIDEST * half), rows)


def _lines_of(chart: Chart, now: float | None, limit: float) -> tuple[float, float]:
    """Middle and half width of the limits that count now."""
    if chart.limits is not None:
        return chart.limits.centre, chart.limits.half_width
    first = chart.first_set or chart.points
    return (first[0].value if first else now or 0.0), limit


def _lined(chart: Chart, scale: _Scale, limit: float, columns: int) -> list[Line]:
    """The empty plot with its lines."""
    _, half = _lines_of(chart, scale.centre, limit)
    cells: list[Line] = [[(" ", "")] * columns for _ in range(scale.rows)]
    cells[scale.row(scale.centre)] = [("─", "quiet")] * columns
    for value in (scale.centre + half, scale.centre - half):
        cells[scale.row(value)] = [("╌", "notice")] * columns
    return cells


def _mark(cells: list[Line], shown: Sequence[Point], now: float | None, scale: _Scale, step: int) -> None:
    for place, point in enumerate(shown):
        column = place * step
        if not point.in_set and place and shown[place - 1].in_set:
            for row in cells:
                row[column - 1 if step > 1 else column] = ("╎", "quiet")
        if point.ewma is not None:
            cells[scale.row(point.ewma)][column] = ("≈", "alarm") if point.drifted else ("~", "label")
        cells[scale.row(point.value)][column] = _sign(point, scale)
    if now is not None:
        cells[scale.row(now)][len(shown) * step] = ("◆", "hook")


def _sign(point: Point, scale: _Scale) -> tuple[str, str]:
    if scale.beyond(point.value):
        return ("▲" if point.value > scale.centre else "▼", "alarm")
    return ("○", "alarm") if point.outside else ("●", "quiet" if point.in_set else "main")


def _axis(cells: list[Line], chart: Chart, scale: _Scale, limit: float, width: int, decimals: int) -> Lines:
    _, half = _lines_of(chart, scale.centre, limit)
    labels = {scale.row(scale.centre): 0.0, scale.row(scale.centre + half): half, scale.row(scale.centre - half): -half}
    drawn: Lines = []
    for place, line in enumerate(cells):
        label = f"{round(labels[place], decimals) + 0.0:+.{decimals}f}" if place in labels else ""
        drawn.append(fit([(label.rjust(_AXIS - 2) + (" ┤" if label else " │"), "quiet"), *line], width))
    return drawn


def _foot(shown: Sequence[Point], columns: int, width: int, unit: str, height: int, rows: int) -> Lines:
    """First and last date, the legend between them where there is room."""
    first, last = (shown[0].at, shown[-1].at) if shown else (None, None)
    form = "%d %b %Y" if first and last and (last - first).days > 300 else "%d %b"
    # one survey is one date
    ends = (first.strftime(form), last.strftime(form) if last != first else "") if first and last else ("", "")
    left = columns - len(ends[0]) - len(ends[1]) - 4
    middle = LEGEND if left >= len(LEGEND) else ""
    text = f"{ends[0]}  {middle.center(left) if left > 0 else ''}  {ends[1]}" if left > 0 else ends[0]
    dates = fit([(unit.rjust(_AXIS - 2) + "  ", "quiet"), (text, "quiet")], width)
    return [dates, *(fit([], width) for _ in range(height - rows - 1))]
