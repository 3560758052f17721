"""Movement of a chord drawn against time and against the distance from the face. Negative is closing, downwards.

    rows of a chord ── time_plot, face_plot ──► Figure

Filled points count, open ones are doubtful or of a survey still open. Bars are expanded uncertainties, dashed lines
levels, dash-dotted ones new segments, dotted ones events of construction with their letter.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from msgspec import Struct

from fieldtui.counted import counted
from fieldtui.handover.report.svg import ALARM, DOUBT, INK, LEVEL, POINT, QUIET, RULE, Figure, as_svg, drawing
from fieldtui.handover.report.words import Words
from fieldtui.handover.texts import visible
from fieldtui.job.history import Row
from fieldtui.route import Level

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDE, NARROW, HIGH = 5.3, 3.1, 2.15
_LONGEST_NAME = 24
_FAR = 1.0
"""A level farther off than so many spans of the readings is named and not drawn, or the readings would be a line."""


class Point(Struct, frozen=True):
    """One reading. `x` is whatever the plot is against; y and bar in small units."""

    x: float | datetime
    y: float
    bar: float
    counts: bool


class Mark(Struct, frozen=True):
    """A line across the plot: a segment's beginning, or an event with its letter."""

    x: float | datetime
    letter: str = ""


class Story(Struct, frozen=True):
    """What is drawn of one chord."""

    name: str
    """The figure's own name in the page."""
    title: str
    rows: Sequence[Row]
    levels: Sequence[Level]
    joins: Sequence[datetime]
    events: Sequence[tuple[datetime, str]]
    still_open: frozenset[str]


def points(story: Story, words: Words) -> list[tuple[Row, float, float, bool]]:
    """Readings with a movement since the baseline; the baseline itself lies at nil."""
    found = []
    for row in story.rows:
        counts = row.counts and row.booked.survey not in story.still_open
        if row.since_baseline is not None:
            found.append((row, float(row.since_baseline.value), words.k * row.since_baseline.u, counts))
        elif row.baseline and row.counts:
            found.append((row, 0.0, 0.0, counts))
    return found


def time_plot(story: Story, words: Words, *, wide: bool) -> Figure | None:
    """None where there is nothing to draw."""
    own = points(story, words)
    if not own:
        return None
    local = [row.booked.time.astimezone(words.zone).replace(tzinfo=None) for row, *_ in own]
    drawn = [Point(at, y, bar, counts) for at, (_, y, bar, counts) in zip(local, own, strict=True)]
    start, end = min(local), max(local)
    marks = [Mark(_naive(at, words)) for at in story.joins]
    marks += [Mark(_naive(at, words), letter) for at, letter in story.events]
    kept = [mark for mark in marks if isinstance(mark.x, datetime) and start <= mark.x <= end]
    with drawing(WIDE if not wide else WIDE + NARROW, HIGH) as made:
        axes = made.add_subplot()
        said = _draw(axes, drawn, story.levels, kept, words)
        axes.set_title("by date", loc="left", fontsize=8, color=QUIET)
        by_date(axes)
        svg = as_svg(made, f"{story.name}-t")
    return Figure(svg, f"{story.title} by date. {_told(drawn, own, words)}", said)


def face_plot(story: Story, ahead: Sequence[float | None], words: Words) -> Figure | None:
    """`ahead` is the distance of the face at each of the rows of `points`. None where no face was booked."""
    own = points(story, words)
    placed = [
        (Point(x, y, bar, counts), one)
        for x, (_, y, bar, counts), one in zip(ahead, own, own, strict=True)
        if x is not None
    ]
    if not placed:
        return None
    drawn = [point for point, _ in placed]
    with drawing(NARROW, HIGH) as made:
        axes = made.add_subplot()
        said = _draw(axes, drawn, story.levels, (), words)
        axes.set_title(f"by distance from the face, {words.route.units.large}", loc="left", fontsize=8, color=QUIET)
        svg = as_svg(made, f"{story.name}-f")
    told = _told(drawn, [one for _, one in placed], words)
    return Figure(svg, f"{story.title} by distance from the face. {told}", said)


def _naive(at: datetime, words: Words) -> datetime:
    return at.astimezone(words.zone).replace(tzinfo=None)


def by_date(axes: Axes) -> None:
    """Dates along the bottom, as few as can be read."""
    from matplotlib.dates import AutoDateLocator, ConciseDateFormatter

    locator = AutoDateLocator(minticks=3, maxticks=8)  # type: ignore[no-untyped-call]
    axes.xaxis.set_major_locator(locator)
    axes.xaxis.set_major_formatter(ConciseDateFormatter(locator))  # type: ignore[no-untyped-call]


def _draw(axes: Axes, drawn: Sequence[Point], levels: Sequence[Level], marks: Sequence[Mark], words: Words) -> str:
    """Draw, and say which levels lie outside the plot."""
    axes.axhline(0.0, color=RULE, linewidth=0.6)
    for counts, colour, fill in ((True, POINT, POINT), (False, DOUBT, "none")):
        some = [point for point in drawn if point.counts is counts]
        if some:
            axes.errorbar(
                [point.x for point in some],  # type: ignore[arg-type]
                [point.y for point in some],
                yerr=[point.bar for point in some],
                fmt="o",
                markersize=3.2,
                markerfacecolor=fill,
                markeredgewidth=0.9,
                color=colour,
                ecolor=colour,
                elinewidth=0.7,
                capsize=1.5,
                capthick=0.6,
            )
    outside = _levels(axes, drawn, levels, words)
    for mark in marks:
        style = ":" if mark.letter else "-."
        axes.axvline(mark.x, color=QUIET, linewidth=0.9, linestyle=style)  # type: ignore[arg-type]
        if mark.letter:
            place = axes.get_xaxis_transform()
            axes.text(mark.x, 1.0, mark.letter, transform=place, fontsize=7.5, ha="center", va="bottom", color=INK)  # type: ignore[arg-type]
    axes.set_ylabel(words.small)
    axes.margins(x=0.03, y=0.08)
    return f"Levels too far off to be drawn: {', '.join(outside)}." if outside else ""


def _levels(axes: Axes, drawn: Sequence[Point], levels: Sequence[Level], words: Words) -> list[str]:
    low = min([0.0, *(point.y - point.bar for point in drawn)])
    high = max([0.0, *(point.y + point.bar for point in drawn)])
    span = max(high - low, 0.5 * words.route.units.millimetre)
    outside = []
    for place, level in enumerate(levels, 1):
        for limit, sign in ((level.closing, -1), (level.opening, 1)):
            if limit is None:
                continue
            y = sign * float(limit)
            if not low - _FAR * span <= y <= high + _FAR * span:
                outside.append(f"{visible(level.name)} at {y:+g} {words.small}")
                continue
            colour = ALARM if place == len(levels) else LEVEL
            axes.axhline(y, color=colour, linewidth=1.0, linestyle=(0, (5, 2)))
            # at the left, where the movement begins at nil and leaves room
            edge, name = axes.get_yaxis_transform(), visible(level.name)[:_LONGEST_NAME]
            axes.text(0.01, y, name, transform=edge, fontsize=7, ha="left", va="bottom", color=colour)
    return outside


def _told(drawn: Sequence[Point], own: Sequence[tuple[Row, float, float, bool]], words: Words) -> str:
    """The plot in words: how many readings, from when to when, from what to what."""
    first, last = own[0][0].booked.time, own[-1][0].booked.time
    ys = [point.y for point in drawn]
    digits = words.route.units.decimals
    return (
        f"{counted(len(drawn), 'reading')} from {words.day(first)} to {words.day(last)}; movement since the baseline "
        f"between {min(ys):+.{digits}f} and {max(ys):+.{digits}f} {words.small}, the newest {ys[-1]:+.{digits}f}, "
        "negative is closing."
    )
