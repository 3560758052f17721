"""Charts of a job's chords: rows of its history to points, against time and against the distance from the face."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo

import numpy as np

from fieldtui.job import Job
from fieldtui.job.faces import Faces
from fieldtui.job.history import Row
from fieldtui.movement.answer import Answer
from fieldtui.movement.chart import Chart, Point
from fieldtui.movement.chord import ChordCourse
from fieldtui.movement.inverse_velocity import InversePoint
from fieldtui.movement.scale import Span, ticks, time_ticks
from fieldtui.route import ChordKey, Level, Route, Units

_TICK = 12
"""Cells that a tick and its label take."""


def time_chart(
    job: Job, key: ChordKey, width: int, course: ChordCourse | None = None, answer: Answer | None = None
) -> Chart:
    """Movement since the baseline against time; with the course and an answer of it, the law through it."""
    rows = _rows(job, key)
    zone = ZoneInfo(job.route.time_zone)
    if not rows:
        return Chart((), job.route.units.small, "")
    start, end = rows[0].booked.time, rows[-1].booked.time

    def seconds(at: datetime) -> float:
        return (at - start).total_seconds()

    still_open = _open(job)
    points = [point for row in rows for point in _point(row, job.route, seconds(row.booked.time), still_open)]
    happened = [one for one in job.account.ground.events if one.station in (None, key[0])]
    return Chart(
        points,
        unit=job.route.units.small,
        x_name="",
        x_ticks=time_ticks(start, end, max(2, width // _TICK), zone),
        levels=_levels(job.route, key),
        least=least_span(job.route.units),
        joins=[seconds(at) for at in _joins(job, key) if at >= start],
        events=[
            (seconds(one.time), f"{one.time.astimezone(zone):%d %b} {one.kind}")
            for one in happened
            if start <= one.time <= end
        ],
        curve=_time_curve(course, answer, start) if course is not None and answer is not None else (),
        curve_name=answer.law.name if answer is not None and answer.fit is not None else "",
    )


def face_chart(
    job: Job, key: ChordKey, faces: Faces, width: int, course: ChordCourse | None = None, answer: Answer | None = None
) -> Chart:
    """Movement since the baseline against the distance from the face; readings without one are left out."""
    station = job.route.station(key[0])
    rows = _rows(job, key)
    placed = [
        (row, faces.distance(station, row.booked.time, row.booked.survey) if station is not None else None)
        for row in rows
    ]
    still_open = _open(job)
    zone = ZoneInfo(job.route.time_zone)
    read = [row.booked.time for row, ahead in placed if ahead is not None]
    begun, ended = (read[0], read[-1]) if read else (datetime.max.replace(tzinfo=UTC), datetime.min.replace(tzinfo=UTC))
    joins = [faces.distance(station, at) for at in _joins(job, key)] if station is not None else []
    happened = [
        (faces.distance(station, one.time), f"{one.time.astimezone(zone):%d %b} {one.kind}")
        for one in job.account.ground.events
        if station is not None and one.station in (None, key[0]) and begun <= one.time <= ended
    ]
    points = [
        point for row, ahead in placed if ahead is not None for point in _point(row, job.route, ahead, still_open)
    ]
    span = Span(min((one.x for one in points), default=0.0), max((one.x for one in points), default=1.0))
    return Chart(
        points,
        unit=job.route.units.small,
        x_name=f" {job.route.units.large} from the face",
        x_ticks=ticks(span, max(2, (width - 18) // _TICK)) if span.size > 0 else (),
        levels=_levels(job.route, key),
        least=least_span(job.route.units),
        joins=[ahead for ahead in joins if ahead is not None],
        events=[(ahead, name) for ahead, name in happened if ahead is not None and span.low <= ahead <= span.high],
        curve=_face_curve(course, answer) if course is not None and answer is not None else (),
        curve_name=answer.law.name if answer is not None and answer.fit is not None else "",
    )


def least_span(units: Units) -> float:
    """A millimetre, in the route's small unit and a round figure."""
    return float(f"{units.millimetre:.1g}")


def inverse_chart(points: Sequence[InversePoint], coverage: float, unit: str, width: int, zone: tzinfo) -> Chart:
    """Days a small unit against time, with expanded uncertainties. Points alone: nothing is drawn through them."""
    if not points:
        return Chart((), unit, "")
    start, end = points[0].time, points[-1].time
    return Chart(
        [Point((one.time - start).total_seconds(), one.value, coverage * one.u) for one in points],
        unit=unit,
        x_name="",
        x_ticks=time_ticks(start, end, max(2, width // _TICK), zone) if end > start else (),
        floor=0.0,
    )


def _rows(job: Job, key: ChordKey) -> list[Row]:
    return [row for row in job.history() if row.key == key and row.length is not None]


def _open(job: Job) -> frozenset[str]:
    return frozenset(survey.id for survey in job.counting if survey.open)


def _point(row: Row, route: Route, x: float, still_open: frozenset[str]) -> Iterator[Point]:
    since, apart = row.since_baseline, row.booked.survey in still_open
    if since is None and row.baseline and row.counts:
        yield Point(x, 0.0, open=apart)
    elif since is not None:
        yield Point(x, float(since.value), float(route.coverage_factor) * since.u, row.doubtful, apart)


def _levels(route: Route, key: ChordKey) -> list[tuple[str, float]]:
    station = route.station(key[0])
    chord = station.chord(key[1]) if station is not None else None
    return list(_lines(chord.levels if chord is not None else ()))


def _lines(levels: Iterable[Level]) -> Iterator[tuple[str, float]]:
    for level in levels:
        if level.closing is not None:
            yield level.name, -float(level.closing)
        if level.opening is not None:
            yield level.name, float(level.opening)


def _joins(job: Job, key: ChordKey) -> list[datetime]:
    story = job.account.stories.get(key)
    return [one.readings[0].time for one in story.segments[1:]] if story is not None else []


def _time_curve(course: ChordCourse, answer: Answer, start: datetime) -> Sequence[tuple[float, float]]:
    """The law through the times of the readings it was fitted to, closing downwards."""
    if answer.fit is None:
        return ()
    used = answer.fit.course
    t = np.linspace(used.t[0], used.t[-1], 160)
    x = np.interp(t, used.t, used.x) if answer.law.uses_face else np.full_like(t, np.nan)
    zero = course.times[0] - timedelta(days=float(course.course.t[0]))
    first = (zero - start).total_seconds()
    return [(first + 86_400 * day, -float(y)) for day, y in zip(t, answer.fit.at(t, x), strict=True)]


def _face_curve(course: ChordCourse, answer: Answer) -> Sequence[tuple[float, float]]:
    if answer.fit is None or not np.isfinite(answer.fit.course.x).any():
        return ()
    used = answer.fit.course
    kept = np.isfinite(used.x)
    t = np.linspace(used.t[kept][0], used.t[-1], 160)
    x = np.interp(t, used.t[kept], used.x[kept])
    return [(float(ahead), -float(y)) for ahead, y in zip(x, answer.fit.at(t, x), strict=True)]
