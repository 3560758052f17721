"""What must be read today, by the route's frequency table, in walking order, and how long that will take.

    Job, now ── due_of ──► chord by chord: DueSoFar ──► DueList: one Due for each chord of the walk
    route, readings, faces, now ── due ──► the same

The shortest interval that applies counts: a line of the table applies where the face is within so many excavated
widths, or where the chord was moving that fast, whichever way, when it was read last. Where the face's chainage was
never booked, every line of distance applies: not knowing is no reason to read seldom. A reading that is doubtful does
not count as read.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Literal
from zoneinfo import ZoneInfo

from msgspec import Struct

from fieldtui.job.faces import Faces, faces_of
from fieldtui.job.job import Job
from fieldtui.job.pace import pace
from fieldtui.job.readings import Reading
from fieldtui.job.stories import ChordStory
from fieldtui.job.walking_time import add_times, seconds_a_chord, typical_seconds
from fieldtui.route import Chord, ChordKey, Frequency, Route, Station

When = Literal["overdue", "today", "later", "no interval"]


class Due(Struct, frozen=True):
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


class DueList(Struct, frozen=True):
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


class Lately(Struct, frozen=True):
    """When a chord was read last, and how fast it was moving then, small units a day, whichever way."""

    last: datetime | None = None
    rate: float | None = None


class DueSoFar:
    """What must be read of a job, as its chords' stories are added, in any order."""

    def __init__(self, job: Job, now: datetime) -> None:
        self._job, self._now = job, now
        self._lately: dict[ChordKey, Lately] = {}
        self._times: dict[str, list[datetime]] = {}

    def add(self, story: ChordStory) -> None:
        """Take note of one chord."""
        known = [one for one in story.readings if one.time <= self._now and (one.counts or one.doubtful)]
        self._lately[story.key] = lately(self._job.route, [one for one in known if not one.doubtful])
        add_times(self._times, known)

    def listed(self) -> DueList:
        """Every chord of the walk. Chords that were retired by declaration stand apart; a lost anchor is said."""
        job, now = self._job, self._now
        events = sorted((one for one in job.declared.chords if one.at <= now), key=lambda one: one.at)
        newest = {(one.station, frozenset(one.chord.split("-"))): one.event for one in events}
        anchors = sorted((one for one in job.declared.anchors if one.at <= now), key=lambda one: one.at)
        standing = {(one.station, one.anchor): one.event for one in anchors if one.event != "struck"}
        return _listed(
            job.route,
            self._lately,
            faces_of(job.route, job.counting),
            now,
            typical_seconds(self._times),
            retired={key for key, event in newest.items() if event == "retired"},
            lost={key for key, event in standing.items() if event == "lost"},
        )


def due_of(job: Job, now: datetime) -> DueList:
    """What must be read of a job. `now` in UTC."""
    so_far = DueSoFar(job, now)
    for story in job.account.stories.values():
        so_far.add(story)
    return so_far.listed()


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
    told = {key: lately(route, several) for key, several in of_chord.items()}
    return _listed(route, told, faces, now, seconds_a_chord(known), retired=retired, lost=lost)


def lately(route: Route, readings: Sequence[Reading]) -> Lately:
    """How one chord stands, by its readings that are not doubtful, in order of time."""
    if not readings:
        return Lately()
    own = [(one.time, one.length) for one in readings if one.thing == readings[-1].thing]
    return Lately(readings[-1].time, pace(own, route.rate_over_hours))


def _listed(
    route: Route,
    known: Mapping[ChordKey, Lately],
    faces: Faces,
    now: datetime,
    seconds: float | None,
    *,
    retired: Collection[tuple[str, frozenset[str]]],
    lost: Collection[tuple[str, str]],
) -> DueList:
    told: list[Due] = []
    left: list[ChordKey] = []
    for station, chord in route.walk():
        ends = (chord.hook, chord.far)
        if (station.name, frozenset(ends)) in retired:
            left.append((station.name, chord.name))
        else:
            gone = [name for name in ends if (station.name, name) in lost]
            own = known.get((station.name, chord.name), Lately())
            told.append(_due(route, station, chord, own, faces, now, gone))
    return DueList(tuple(told), seconds, tuple(left))


def _due(
    route: Route,
    station: Station,
    chord: Chord,
    known: Lately,
    faces: Faces,
    now: datetime,
    lost: Sequence[str],
) -> Due:
    moving, last = known.rate, known.last
    distance = faces.distance(station, now)
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
    return f"face within {line.within.normalize():f} {'width' if line.within == 1 else 'widths'}"


def shift_end(route: Route, now: datetime) -> datetime:
    """When the shift date of a moment is over: the next start of a shift day, in the route's zone."""
    local = now.astimezone(ZoneInfo(route.time_zone))
    start = route.shift_start
    begun = local.replace(hour=start.hour if start else 0, minute=start.minute if start else 0, second=0, microsecond=0)
    return begun if begun > local else begun + timedelta(days=1)
