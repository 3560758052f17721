"""A chord's readings in a table, the newest first. What does not count the same stands apart, with its reason.

of a survey still open      closed surveys      marked      doubtful, not counted      struck out or not read
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from fieldtui.job.booked import STRUCK, UNFINISHED
from fieldtui.job.carried import CARRIED_BY
from fieldtui.job.history import Row
from fieldtui.job.marked import marked
from fieldtui.job.stories import ChordStory
from fieldtui.movement.canvas import cut
from fieldtui.reduction import Quantity, Rate, show_change, show_length, show_u
from fieldtui.route import Route
from fieldtui.survey import words as say
from fieldtui.tui.lines import Lines, wrapped

_HEAD = ("time", "length", "since start", "±", "a day", "±", "level", "seg", "")
_SHORT = tuple({"since start": "start"}.get(name, name) for name in _HEAD)
_LEFT = (0, 6, 8)
_FORM = "%Y-%m-%d %H:%M"


def readings_table(rows: Sequence[Row], open_surveys: Collection[str], route: Route, width: int) -> Lines:
    """All bookings of a chord, as many lines as it takes, none wider than `width`."""
    counting = [row for row in rows if row.length is not None and row.counts]
    closed = [row for row in counting if row.booked.survey not in open_surveys]
    still_open = [row for row in counting if row.booked.survey in open_surveys]
    doubtful = [row for row in rows if row.length is not None and not row.counts]
    unread = [row for row in rows if row.length is None]
    told = f"{route.units.small}; negative is closing; ± with k = {route.coverage_factor}; the newest first"
    lines: Lines = [[(cut(told, width).rstrip(), "quiet")]]
    # where the whole would be cut, the year and a word of the heading give way to level and segment
    short = sum(_widths(counting, route, short=False)) + len(_HEAD) - 1 > width
    head, widths = _SHORT if short else _HEAD, _widths(counting, route, short=short)
    if counting:
        lines.append([(cut(_line(head, widths), width).rstrip(), "quiet")])
    for title, part in (("Of a survey that is still open", still_open), ("Closed surveys", closed)):
        if part:
            lines.append([(title, "label")])
            lines += [line for row in reversed(part) for line in _counting(row, route, widths, width, short=short)]
    told_once = [*marked(counting, lambda at: _time(at, route))]
    if told_once:
        lines.append([(f"Marked, each still counts: {len(told_once)}", "label")])
        lines += [line for one in told_once for line in wrapped(one, width, "notice")]
    for title, part in (("Doubtful, not counted", doubtful), ("Struck out or not read", unread)):
        if part:
            lines.append([(f"{title}: {len(part)}", "label")])
            lines += [line for row in reversed(part) for line in wrapped(_apart(row, route), width, "notice")]
    return lines if rows else [[("Nothing was read.", "")]]


def _widths(rows: Sequence[Row], route: Route, *, short: bool) -> list[int]:
    """How wide each column is."""
    cells = [_SHORT if short else _HEAD, *(_cells(row, route, short=short) for row in rows)]
    return [max(len(row[place]) for row in cells) for place in range(len(_HEAD))]


def _counting(
    row: Row, route: Route, widths: Sequence[int], width: int, *, short: bool
) -> Iterator[list[tuple[str, str]]]:
    above = row.level is not None and row.level.state != "below"
    yield [(cut(_line(_cells(row, route, short=short), widths), width).rstrip(), "notice" if above else "")]


def _cells(row: Row, route: Route, *, short: bool) -> tuple[str, ...]:
    length = show_length(row.length.value, route.units) if row.length is not None else ""
    marks = ["baseline"] if row.baseline and row.since_baseline is not None else []
    if row.confirmed_by:
        marks.append(f"confirmed by {row.confirmed_by}")
    level = "" if row.level is None else f"{row.level.state} {row.level.level or ''}".strip()
    since = ("baseline", "") if row.baseline and row.since_baseline is None else _with_u(row.since_baseline, route)
    figures = (*since, *_with_u(row.rate, route))
    time = row.booked.time.astimezone(ZoneInfo(route.time_zone)).strftime("%d %b %H:%M" if short else _FORM)
    return (time, length, *figures, level, f"{row.segment or ''}", ", ".join(marks))


def _with_u(value: Quantity | Rate | None, route: Route) -> tuple[str, str]:
    if value is None:
        return "", ""
    k = float(route.coverage_factor)
    return show_change(value.value, route.units), show_u(k * value.u, route.units)


def _line(cells: Sequence[str], widths: Sequence[int]) -> str:
    return " ".join(
        cell.ljust(size) if place in _LEFT else cell.rjust(size)
        for place, (cell, size) in enumerate(zip(cells, widths, strict=True))
    ).rstrip()


def segment_lines(story: ChordStory | None, route: Route, width: int) -> Lines:
    """What each later segment was read with, and what was carried into it."""
    lines: Lines = []
    for one in story.segments[1:] if story is not None else ():
        begun = f"Segment {one.number} from {_time(one.readings[0].time, route)}: tape {one.tape}, {one.extensometer}"
        carried = "nothing could be carried into it"
        if one.offset is not None:
            value, u = _with_u(one.offset.value, route)
            carried = f"{value} ± {u} {route.units.small} carried over, by {CARRIED_BY[one.offset.how]}"
        lines += wrapped(f"{begun}; {carried}.", width, "label")
    return lines


def _apart(row: Row, route: Route) -> str:
    """When, in which survey, how long, and why it does not count."""
    booked = row.booked
    struck = [one.reason for one in booked.struck if one.reason]
    length = f" {show_length(row.length.value, route.units)}" if row.length is not None else ""
    outcome = {UNFINISHED: "begun, not finished", STRUCK: "struck out"}.get(booked.outcome) or say.outcome(
        booked.outcome
    )
    why = "; ".join(dict.fromkeys(part for part in (row.doubt, booked.reason, *struck, booked.note) if part))
    what = f"{length} {outcome}" if row.length is None else length
    last = "another reading of its survey counts" if row.length is not None and not row.doubt else ""
    said = "; ".join([why or last or "no reason was given", *row.marks])
    return f"{_time(booked.time, route)} survey {booked.label}{what}: {said}"


def _time(at: datetime, route: Route) -> str:
    return at.astimezone(ZoneInfo(route.time_zone)).strftime(_FORM)
