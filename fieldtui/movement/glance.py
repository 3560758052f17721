"""A route at a glance: which chords are at a level, speed up, move, are overdue; what matters most first.

    Job, now ── glance ──► Glance, Glance … in the order: at a level (severe first), speeding up, a level that cannot
    be told, clearly moving (fast first), overdue, the rest in walking order

What is judged are the route's own figures. Last means last: a chord at the end of the list is not a chord that is safe.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.job import Job
from fieldtui.job.due import Due, DueList, due_of
from fieldtui.job.faces import faces_of
from fieldtui.job.history import Row
from fieldtui.movement.acceleration import WINDOWS, speeding_up
from fieldtui.movement.canvas import Line, Lines, cell_width, cut
from fieldtui.movement.chord import course_of
from fieldtui.reduction import Overall, Quantity, Rate, show_change, show_u
from fieldtui.route import ChordKey, Route

_HEAD = ("", "station", "chord", "since start", "±", "a day", "±", "what there is to say")

_SHORT = tuple({"since start": "start"}.get(name, name) for name in _HEAD)
"""Where what there is to say would be cut."""
_RIGHT = (0, 3, 4, 5, 6)


class Glance(Struct, frozen=True):
    """One chord of the walk. `last` is None where it was never read."""

    key: ChordKey
    last: datetime | None
    since_baseline: Quantity | None
    rate: Rate | None
    level: Overall | None
    severity: int
    """Place of the level among the chord's own, mild to severe, from 1; 0 for below or none."""
    speeding_up: bool
    moving: bool
    """Its rate is more than its expanded uncertainty."""
    due: Due
    survey: str = ""
    """Label of the survey that read it last."""
    open: bool = False
    """That survey is not closed yet."""
    gone: str = ""
    """Why it is not read any more, in words; empty for a chord of the walk."""


def glance(job: Job, now: datetime, due: DueList | None = None) -> tuple[Glance, ...]:
    """Every chord of the walk, what matters most first; last those that were read once and are not read any more.

    `due` spares computing again what is due.
    """
    rows: dict[ChordKey, Row] = {row.key: row for row in job.history() if row.counts and row.booked.time <= now}
    still_open = {survey.id for survey in job.counting if survey.open}
    told = due or due_of(job, now)
    found = [_one(job, one, rows.get((one.station, one.chord)), now, still_open) for one in told.chords]
    walked = {(one.station, one.chord) for one in told.chords}
    for key, row in rows.items():
        if key not in walked:
            due_no_more = Due(*key, "no interval", None, row.booked.time, None, why := _gone(job, key, told))
            found.append(replace(_one(job, due_no_more, row, now, still_open), gone=why))
    # sorted is stable: what is alike stays in walking order
    return tuple(sorted(found, key=weight))


def _gone(job: Job, key: ChordKey, told: DueList) -> str:
    """Why a chord with readings is not in the walk."""
    station = job.route.station(key[0])
    if key in told.retired:
        return "retired"
    return "station closed" if station is not None and station.chord(key[1]) is not None else "not on the route"


def _one(job: Job, due: Due, row: Row | None, now: datetime, still_open: Collection[str]) -> Glance:
    key = (due.station, due.chord)
    if row is None:
        return Glance(key, None, None, None, None, 0, False, False, due)
    names = [level.name for level in row.asked]
    level = row.level
    severity = names.index(level.level) + 1 if level is not None and level.level in names else 0
    moving = row.rate is not None and abs(float(row.rate.value)) > float(job.route.coverage_factor) * row.rate.u
    return Glance(
        key,
        row.booked.time,
        row.since_baseline,
        row.rate,
        level,
        severity,
        _bends(job, key, now),
        moving,
        due,
        row.booked.label,
        row.booked.survey in still_open,
    )


def _bends(job: Job, key: ChordKey, now: datetime) -> bool:
    story = job.account.stories.get(key)
    # a year of readings a chord, and only the newest have a say in this
    last = max(WINDOWS)
    made = course_of(story, faces_of(job.route, ()), {}, until=now, last=last) if story is not None else None
    bend = speeding_up(made.course) if made is not None else None
    return bend is not None and bend.noticed


def weight(one: Glance) -> tuple[float, ...]:
    """What the list is sorted by: small comes first."""
    above = one.severity if one.level is not None and one.level.state == "above" else 0
    fast = abs(float(one.rate.value)) if one.moving and one.rate is not None else 0.0
    return (
        bool(one.gone),
        -above,
        -one.speeding_up,
        -one.severity,
        -fast,
        -(one.due.when == "overdue"),
        -one.due.to_read,
    )


def glance_lines(found: Sequence[Glance], route: Route, width: int) -> Lines:
    """A heading and one line a chord with its number, each exactly `width` cells; uncertainties expanded."""
    told = [(f"{place}", *_cells(one, route)) for place, one in enumerate(found, 1)]
    rows, widths = _columns(_HEAD, told)
    if sum(widths) + len(widths) - 1 > width:
        rows, widths = _columns(_SHORT, told)
    lines: Lines = []
    for place, row in enumerate(rows):
        text = " ".join(
            _filled(cell, size, right=column in _RIGHT)
            for column, (cell, size) in enumerate(zip(row, widths, strict=True))
        )
        line: Line = [(cut(text.rstrip(), width), "quiet" if place == 0 else _role(found[place - 1]))]
        lines.append(line)
    return lines


def _columns(head: tuple[str, ...], told: Sequence[tuple[str, ...]]) -> tuple[list[tuple[str, ...]], list[int]]:
    """The rows under a heading, and how wide each column is."""
    rows = [head, *told]
    return rows, [max(cell_width(row[place]) for row in rows) for place in range(len(head))]


def _filled(cell: str, size: int, *, right: bool) -> str:
    blank = " " * (size - cell_width(cell))
    return blank + cell if right else cell + blank


def _role(one: Glance) -> str:
    if one.gone:
        return "quiet"
    if one.level is not None and one.level.state == "above":
        return "alarm"
    return "notice" if one.speeding_up or one.severity or one.due.when == "overdue" else ""


def _cells(one: Glance, route: Route) -> tuple[str, ...]:
    k, units = float(route.coverage_factor), route.units
    figures: list[str] = []
    for value in (one.since_baseline, one.rate):
        figures += ["", ""] if value is None else [show_change(value.value, units), show_u(k * value.u, units)]
    return (*one.key, *figures, ", ".join(said(one)))


def said(one: Glance) -> tuple[str, ...]:
    """What there is to say of a chord, what matters most first: state by shape besides the words."""
    told: list[str] = [one.gone] if one.gone else []
    if one.level is not None and one.severity:
        told.append(f"{'■' if one.level.state == 'above' else '▲'} {one.level.state} {one.level.level}")
    if one.speeding_up:
        told.append("▲ speeding up")
    if one.moving and one.rate is not None:
        told.append("closing" if one.rate.value < 0 else "opening")
    if one.last is None:
        told.append("never read")
    elif not one.gone and one.due.when in ("overdue", "today"):
        told.append("overdue" if one.due.when == "overdue" else "due today")
    if one.open:
        told.append("◇ survey open")
    if one.level is not None and not one.severity:
        told.append("below")
    return tuple(told)
