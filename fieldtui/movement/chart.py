"""A chord's movement drawn against time or against the distance from the face, in text.

     +0 ┤●
        │  ●╎                                            ●  a reading, ○ a doubtful one, their uncertainties as dots
     -5 ┤    ● ●  ●                                         ◇ one of a survey that is still open
        │                                               ╎  a new segment, ┊ an event, named below by its letter
        │╌ notice -10.0 ╌╌╌╌╌╌╌╌╌╌                       ╌  a level
    -10 ┤
        └────┬────────┬────                              ⠒  a law
           05 May   12 May

Movement is drawn as it is shown elsewhere: negative is closing, closing downwards. Levels and doubtful readings far off
are told below the drawing and not drawn. Pure: the same chart and size give the same lines.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from fieldtui.movement.canvas import ACROSS, DOWN, Canvas, Line, Lines
from fieldtui.movement.scale import Span, Tick, span_of, ticks

READING, OPEN, DOUBTFUL, JOIN, EVENT, LEVEL = "●", "◇", "○", "╎", "┊", "╌"
_AXIS = 9
_LEAST = (28, 7)
"""Below so many cells there is no drawing that a person could read."""
_NARROW = 40
"""Below so many cells the names of levels stand below the drawing."""
_NEAR = 0.5
"""A level is drawn where it widens the range of the readings by no more than this share."""
_LETTERS = "abcdefghijklmnopqrstuvwxyz"


class Point(Struct, frozen=True):
    """One reading: place along the axis, movement, expanded uncertainty."""

    x: float
    y: float
    u: float = 0.0
    doubtful: bool = False
    open: bool = False
    """Of a survey that is not closed yet."""

    @property
    def sign(self) -> tuple[str, str]:
        """Its mark, with its role."""
        return (DOUBTFUL, "notice") if self.doubtful else (OPEN, "main") if self.open else (READING, "main")


class Chart(Struct, frozen=True):
    """What is drawn. `y` in `unit`, negative closing; `x_ticks` are worked out by whoever knows what x is."""

    points: Sequence[Point]
    unit: str
    x_name: str
    x_ticks: Sequence[Tick] = ()
    levels: Sequence[tuple[str, float]] = ()
    joins: Sequence[float] = ()
    events: Sequence[tuple[float, str]] = ()
    curve: Sequence[tuple[float, float]] = ()
    curve_name: str = ""
    end: float | None = None
    """How far the axis goes; None: to the last point."""
    least: float = 1.0
    """What the axis spans at least: a chord at rest is not blown up to fill the drawing."""
    floor: float | None = None
    """What no value lies below: bars end there, and the axis too."""


def draw_chart(chart: Chart, width: int, height: int) -> Lines:
    """Exactly `height` lines of `width` cells."""
    if len(chart.points) < 2 or width < _LEAST[0] or height < _LEAST[1]:
        words = "fewer than two readings to draw" if len(chart.points) < 2 else "too small a window to draw in"
        return [[((f" {words}" if row == 0 else "")[:width].ljust(width), "quiet")] for row in range(height)]
    notes = _notes(chart, width)[: height - _LEAST[1] + 2]
    plot = _Plot(chart, width, height - len(notes))
    drawn = plot.lines()
    if plot.unnamed:
        notes = _notes(chart, width, plot.unnamed)[: height - _LEAST[1] + 2]
        drawn = _Plot(chart, width, height - len(notes)).lines()
    return [*drawn, *notes]


class _Plot:
    """The drawing without its notes."""

    def __init__(self, chart: Chart, width: int, height: int) -> None:
        self.chart = chart
        self.canvas = Canvas(width, height)
        self.rows, self.columns = height - 2, width - _AXIS - 1
        self.x_span = x_span(chart)
        self.y_span = y_span(chart)
        self.unnamed: list[tuple[str, float]] = []
        """Levels that are drawn, and that have no room for their names on their own line or the next ones."""
        self._taken = {(self._column(one.x), self._row(one.y)) for one in chart.points}

    def lines(self) -> Lines:
        self._frame()
        for x in self.chart.joins:
            self._upright(x, JOIN)
        for x, _ in self.chart.events:
            self._upright(x, EVENT)
        for name, value in self.chart.levels:
            if self.y_span.low <= value <= self.y_span.high:
                self._level(name, value)
        for letter, (x, _) in zip(_LETTERS, self.chart.events, strict=False):
            self.canvas.sign(self._column(x), self.rows, letter, "key")
        self._curve()
        drawn = [point for point in self.chart.points if self.y_span.low <= point.y <= self.y_span.high]
        for point in drawn:
            self._bar(point)
        for point in sorted(drawn, key=lambda one: not one.doubtful):
            self.canvas.sign(self._column(point.x), self._row(point.y), *point.sign)
        return self.canvas.lines()

    def _frame(self) -> None:
        quiet = "quiet"
        for row in range(self.rows):
            self.canvas.sign(_AXIS, row, "│", quiet)
        self.canvas.text(_AXIS, self.rows, "└" + "─" * self.columns, quiet)
        for value, label in ticks(self.y_span, max(2, self.rows // 3), sign=self.chart.floor is None):
            row = self._row(value)
            self.canvas.text(0, row, label[: _AXIS - 2].rjust(_AXIS - 1), quiet)
            self.canvas.sign(_AXIS, row, "┤", quiet)
        self.canvas.text(0, self.rows + 1, self.chart.unit.rjust(_AXIS - 1), quiet)
        self._x_labels()

    def _x_labels(self) -> None:
        row = self.rows + 1
        name = self.chart.x_name
        self.canvas.text(self.canvas.width - len(name), row, name, "quiet")
        for x, label in self.chart.x_ticks:
            if not self.x_span.low <= x <= self.x_span.high:
                continue
            column = self._column(x)
            self.canvas.sign(column, self.rows, "┬", "quiet")
            start = max(_AXIS, min(column - len(label) // 2, self.canvas.width - len(label)))
            if self.canvas.free(start - 1, row, len(label) + 2):
                self.canvas.text(start, row, label, "quiet")

    def _level(self, name: str, value: float) -> None:
        row = self._row(value)
        self.canvas.text(_AXIS + 1, row, LEVEL * self.columns, "notice")
        if self.canvas.width < _NARROW:
            return
        label = f" {name} {value:+.4g} "
        first, size = _AXIS + 2, len(label)
        for line in (row, row - 1, row + 1):
            for start in range(first, first + self.columns - size):
                cells = {(column, line) for column in range(start, start + size)}
                if 0 <= line < self.rows and self._taken.isdisjoint(cells):
                    self.canvas.text(start, line, label, "notice")
                    self._taken |= cells
                    return
        self.unnamed.append((name, value))

    def _upright(self, x: float, sign: str) -> None:
        if self.x_span.low <= x <= self.x_span.high:
            for row in range(self.rows):
                self.canvas.sign(self._column(x), row, sign, "quiet")

    def _curve(self) -> None:
        for (x0, y0), (x1, y1) in zip(self.chart.curve, self.chart.curve[1:], strict=False):
            self.canvas.line(self._dot(x0, y0), self._dot(x1, y1), "chord")

    def _bar(self, point: Point) -> None:
        if point.u > 0:
            low, high = max(point.y - point.u, self.y_span.low), min(point.y + point.u, self.y_span.high)
            self.canvas.line(self._dot(point.x, low), self._dot(point.x, high), "main")

    def _column(self, x: float) -> int:
        return self._dot(x, 0.0)[0] // ACROSS

    def _row(self, y: float) -> int:
        return self._dot(0.0, y)[1] // DOWN

    def _dot(self, x: float, y: float) -> tuple[int, int]:
        across = (self.columns * ACROSS - 1) * self.x_span.share(x)
        down = (self.rows * DOWN - 1) * (1 - self.y_span.share(y))
        return (_AXIS + 1) * ACROSS + round(across), round(down)


def x_span(chart: Chart) -> Span:
    """From the first point to the last, or to where the axis is to end."""
    low = min(point.x for point in chart.points)
    high = max(chart.end or low, max(point.x for point in chart.points))
    return Span(low, high if high > low else low + 1.0)


def y_span(chart: Chart) -> Span:
    """Room for every reading with its uncertainty, for nil, and for the levels and doubtful readings that are near."""
    counting = [point for point in chart.points if not point.doubtful] or chart.points
    values = [0.0, *(y for point in counting for y in (point.y - point.u, point.y + point.u))]
    size = max(values) - min(values) or 1.0
    low, high = min(values) - _NEAR * size, max(values) + _NEAR * size
    near = [value for _, value in chart.levels if low <= value <= high]
    near += [point.y for point in chart.points if low <= point.y <= high]
    span = x_span(chart)
    reached = [y for x, y in chart.curve if span.low <= x <= span.high]
    every = [*values, *near, *reached]
    if chart.floor is None:
        return span_of(every, chart.least)
    # bars of points far up the axis would press all others to its foot: the points themselves say how far it goes
    tops = sorted(point.y for point in chart.points)
    return Span(chart.floor, max(1.15 * tops[-1], chart.floor + 1e-9))


def _notes(chart: Chart, width: int, unnamed: Sequence[tuple[str, float]] = ()) -> Lines:
    """What the drawing cannot say: events by their letters, signs, levels far off or without room for their names."""
    told = [f"{letter} {name}" for letter, (_, name) in zip(_LETTERS, chart.events, strict=False)]
    if chart.joins:
        told.append(f"{JOIN} new segment")
    span = y_span(chart)
    if any(point.doubtful and span.low <= point.y <= span.high for point in chart.points):
        told.append(f"{DOUBTFUL} doubtful")
    if any(point.open and not point.doubtful for point in chart.points):
        told.append(f"{OPEN} survey still open")
    if chart.curve_name:
        told.append(f"⠒ {chart.curve_name}")
    far = [(f"{DOUBTFUL} doubtful", point.y) for point in chart.points if point.doubtful]
    told += [
        f"{name} {value:+.4g}, {'below' if value < span.low else 'above'} the drawing"
        for name, value in (*chart.levels, *far)
        if not span.low <= value <= span.high
    ]
    near = [level for level in chart.levels if span.low <= level[1] <= span.high] if width < _NARROW else unnamed
    told += [f"{LEVEL} {name} {value:+.4g}" for name, value in near]
    return _packed(told, width)


def _packed(told: Sequence[str], width: int) -> Lines:
    lines: list[str] = []
    for one in told:
        if lines and len(lines[-1]) + len(one) + 3 <= width:
            lines[-1] += f"   {one}"
        else:
            lines.append(f" {one}")
    made: Lines = []
    for line in lines:
        piece: Line = [(line[:width].ljust(width), "quiet")]
        made.append(piece)
    return made
