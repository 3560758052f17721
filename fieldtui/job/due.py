"""What must be read today, by the route's frequency table, in walking order, and how long that will take.

    Job, now ── due_of ──► route, readings, faces ── due ──► DueList: one Due for each chord of the walk

The shortest interval that applies counts: a line of the table applies where the face is within so many excavated
widths, or where the chord was moving that fast, whichever way, when it was read last. Where the face's chainage was
never booked, every line of distance applies: not knowing is no reason to read seldom. A reading that is doubtful does
not count as read.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Literal
from zoneinfo import ZoneInfo

from fieldtui.job.faces import Faces, faces_of
from fieldtui.job.job import Job
from fieldtui.job.pace import pace
from fieldtui.job.readings import Reading
from fieldtui.job.walking_time import seconds_a_chord
from fieldtui.route import Chord, ChordKey, Frequency, Route, Station

When = Literal["overdue", "today", "later", "no interval"]


@dataclass(frozen=True, slots=True)
class Due:
    """One chord of the walk. Times in UTC; the rate in small units a day, whichever way."""

    station: str
    chord: str
    when: When
    at: datetime | None
    """When its interval is over; None for a chord never read, which is due at once, and without an interval."""
    last: datetime | None
    every_hours: Decimal | None
    because: str
    """The line of the table that gave the interval, in words."""
    rate: float | None = None
    distance: float | None = None
    """From the station to the face, large units."""

    @property
    def to_read(self) -> bool:
        return self.when in ("overdue", "today")


@dataclass(frozen=True, slots=True)
class DueList:
    """Every chord of the walk, in its order."""

    chords: tuple[Due, ...]
    seconds_a_chord: float | None
    """From past surveys, the way between stations counted in; None where there are none to go by."""
    retired: tuple[ChordKey, ...] = ()
    """Chords of the route that were declared retired: not read any more, and said so."""

    @property
    def to_read(self) -> tuple[Due, ...]:
        return tuple(one for one in self.chords if one.to_read)

    @property
    def overdue(self) -> tuple[Due, ...]:
        return tuple(one for one in self.chords if one.when == "overdue")

    @property
    def seconds(self) -> float | None:
        """How long it takes to read what is to be read."""
        return None if self.seconds_a_chord is None else self.seconds_a_chord * len(self.to_read)


def due_of(job: Job, now: datetime) -> DueList:
    """What must be read of a job. Chords that were retired by declaration stand apart; a lost anchor is said."""
    events = sorted((one for one in job.journals.chords if one.at <= now), key=lambda one: one.at)
    newest = {(one.station, frozenset(one.chord.split("-"))): one.event for one in events}
    anchors = sorted((one for one in job.journals.anchors if one.at <= now), key=lambda one: one.at)
    standing = {(one.station, one.anchor): one.event for one in anchors if one.event != "struck"}
    return due(
        job.route,
        job.readings(),
        faces_of(job.route, job.counting),
        now,
        retired={key for key, event in newest.items() if event == "retired"},
        lost={key for key, event in standing.items() if event == "lost"},
    )


def due(
    route: Route,
    readings: Iterable[Reading],
    faces: Faces,
    now: datetime,
    *,
    retired: Collection[tuple[str, frozenset[str]]] = (),
    lost: Collection[tuple[str, str]] = (),
) -> DueList:
    """`readings` in order of time, of every survey that counts. `now` in UTC.

    `retired` are chords, (station, ends), that are not read any more; `lost` anchors, (station, anchor): their
    chords have no interval.
    """
    known = [one for one in readings if one.time <= now]
    of_chord: dict[ChordKey, list[Reading]] = {}
    for reading in known:
        if not reading.doubtful:
            of_chord.setdefault(reading.key, []).append(reading)
    told: list[Due] = []
    left: list[ChordKey] = []
    for station, chord in route.walk():
        ends = (chord.hook, chord.far)
        if (station.name, frozenset(ends)) in retired:
            left.append((station.name, chord.name))
        else:
            gone = [name for name in ends if (station.name, name) in lost]
            own = of_chord.get((station.name, chord.name), [])
            told.append(_due(route, station, chord, own, faces, now, gone))
    return DueList(tuple(told), seconds_a_chord(known), tuple(left))


def _due(
    route: Route,
    station: Station,
    chord: Chord,
    readings: Sequence[Reading],
    faces: Faces,
    now: datetime,
    lost: Sequence[str],
) -> Due:
    moving = _pace(route, readings)
    distance = faces.distance(station, now)
    last = readings[-1].time if readings else None
    if lost:
        because = f"anchor {' and '.join(lost)} lost"
        return Due(station.name, chord.name, "no interval", None, last, None, because, moving, distance)
    line = _shortest(route, station, moving, distance)
    every = line.every_hours if line is not None else None
    at = last + timedelta(seconds=float(every * 3600)) if last is not None and every is not None else None
    because = _because(route, station, line, distance) if last is not None else "never read"
    when = _when(route, last, at, now)
    return Due(station.name, chord.name, when, at, last, every, because, moving, distance)


def _when(route: Route, last: datetime | None, at: datetime | None, now: datetime) -> When:
    if last is None:
        return "today"
    if at is None:
        return "no interval"
    if at < now:
        return "overdue"
    return "today" if at < shift_end(route, now) else "later"


def _pace(route: Route, readings: Sequence[Reading]) -> float | None:
    if not readings:
        return None
    own = [(one.time, one.length) for one in readings if one.thing == readings[-1].thing]
    return pace(own, route.rate_over_hours)


def _shortest(route: Route, station: Station, moving: float | None, distance: float | None) -> Frequency | None:
    lines = [line for line in route.frequencies if _applies(route, station, line, moving, distance)]
    return min(lines, key=lambda line: line.every_hours, default=None)


def _applies(route: Route, station: Station, line: Frequency, moving: float | None, distance: float | None) -> bool:
    if line.within is not None:
        if station.face is None:
            return False
        if distance is None or route.excavated_width is None:
            return True
        return abs(distance) <= float(line.within * route.excavated_width)
    return moving is not None and line.rate_above is not None and moving >= float(line.rate_above)


def _because(route: Route, station: Station, line: Frequency | None, distance: float | None) -> str:
    units = route.units
    if line is None:
        return "no line of the frequency table applies"
    if line.within is None:
        return f"moving {line.rate_above} {units.small}/day or more"
    if distance is None:
        return f"where face {station.face} is was never booked"
    return f"face within {line.within} widths"


def shift_end(route: Route, now: datetime) -> datetime:
    """When the shift date of a moment is over: the next start of a shift day, in the route's zone."""
    local = now.astimezone(ZoneInfo(route.time_zone))
    start = route.shift_start
    begun = local.replace(hour=start.hour if start else 0, minute=start.minute if start else 0, second=0, microsecond=0)
    return begun if begun > local else begun + timedelta(days=1)
