"""Where the route of one survey differs from that of the survey before: a new thing, or a mistake?

It is asked and never guessed, of the things that both surveys used: a spare tape may be described anew at will.

    corrected routes in order of time ──► Difference ── declared a new thing in between? ──► answered, or open

A mistake that was declared is corrected in both routes, and is no difference any more. A new thing that was declared
between the two surveys explains every difference of that thing; a correction that counts for one of the two and not for
the other, as a late certificate from its date on, explains that of its figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from fieldtui.job.declared import Correction, NewThing, Thing
from fieldtui.job.kept import KeptBookings
from fieldtui.job.route_values import READERS
from fieldtui.job.survey import Survey
from fieldtui.job.used import FRAME, used_by
from fieldtui.route import Route

_SETTINGS = frozenset({("control", "limit"), ("tape", "certificate_until"), ("extensometer", "certificate_until")})
"""What may be changed at will: it says nothing of the thing itself."""
LATER = datetime.max.replace(tzinfo=UTC)
"""After all that was read: the core has no clock, and the present route is asked about as it will be."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One figure of one thing that is not what it was."""

    thing: Thing
    key: str
    old: Any
    new: Any
    last_old: datetime
    """When the survey was read that had the old figure last."""
    first_new: datetime | None
    """When the survey was read that had the new one first; None where no survey has been yet."""

    @property
    def name(self) -> str:
        table, name, part = self.thing
        return f"{table} {name} {part}".rstrip()

    def __str__(self) -> str:
        return f"{self.name}: {self.key} was {shown(self.old)} and is {shown(self.new)}"


def differences(
    surveys: Sequence[tuple[Survey, Route]],
    now: Route,
    new_things: Iterable[NewThing],
    corrections: Iterable[Correction] = (),
) -> tuple[Difference, ...]:
    """Open differences along a job's surveys with their corrected routes, in order of time, and to the route of now."""
    declared, corrected = tuple(new_things), tuple(corrections)
    found: list[Difference] = []
    last_used: dict[Thing, tuple[datetime, Route]] = {}
    for used, route, first, newest in _runs(surveys):
        for thing in sorted(used):
            if thing in last_used:
                last, before = last_used[thing]
                found += _open(thing, before, route, last, first, declared, corrected)
            last_used[thing] = (newest, route)
    for thing, (last, before) in sorted(last_used.items(), key=lambda one: (one[1][0], one[0])):
        found += _open(thing, before, now, last, None, declared, corrected)
    return tuple(found)


def _runs(surveys: Sequence[tuple[Survey, Route]]) -> Iterator[tuple[frozenset[Thing], Route, datetime, datetime]]:
    """Surveys one after the other with one route and the same things, taken together: when the first and last were."""
    run: tuple[frozenset[Thing], Route, datetime, datetime] | None = None
    for survey, route in surveys:
        used = used_in(survey)
        if run is not None and run[1] is route and run[0] == used:
            run = (*run[:3], survey.started)
            continue
        if run is not None:
            yield run
        run = (used, route, survey.started, survey.started)
    if run is not None:
        yield run


def used_in(survey: Survey) -> frozenset[Thing]:
    """The tapes, extensometers, control frame and anchors that a survey read anything with."""
    bookings = survey.state.bookings
    used = bookings.used if isinstance(bookings, KeptBookings) else used_by(bookings)
    if FRAME not in used:
        return used
    return used - {FRAME} | {("control", control.name, "") for control in survey.route.controls[:1]}


def _open(
    thing: Thing,
    before: Route,
    after: Route,
    last: datetime,
    first: datetime | None,
    declared: Sequence[NewThing],
    corrected: Sequence[Correction],
) -> Iterator[Difference]:
    if before is after:
        return
    if any(one.thing == thing and last < one.since and (first is None or one.since <= first) for one in declared):
        return
    begun_or_ended = {
        one.key for one in corrected if one.thing == thing and one.covers(last) != one.covers(first or LATER)
    }
    for key, old, new in compared(thing, before, after):
        if key in begun_or_ended:
            continue
        yield Difference(thing, key, old, new, last, first)


def compared(thing: Thing, before: Route, after: Route) -> Iterator[tuple[str, Any, Any]]:
    """Every figure of a thing that differs between two routes that have it: key, before, after."""
    old, new = found_in(before, thing), found_in(after, thing)
    if old is None or new is None or old == new:
        return
    for key in READERS[thing[0]]:
        one, other = getattr(old, key), getattr(new, key)
        if one != other and (thing[0], key) not in _SETTINGS:
            yield key, one, other


def found_in(route: Route, thing: Thing) -> Any:
    """The tape, extensometer, control frame or anchor of that name, or None."""
    table, name, part = thing
    if table == "tape":
        return route.tape(name)
    if table == "extensometer":
        return route.extensometer(name)
    if table == "control":
        return next((one for one in route.controls if one.name == name), None)
    station = route.station(name)
    return next((one for one in station.anchors if one.name == part), None) if station is not None else None


def shown(value: Any) -> str:
    """A figure of the route in a sentence."""
    if value is None:
        return "not stated"
    if isinstance(value, tuple):
        return " to ".join(str(one) for one in value)
    return f"a table of {len(value)} holes" if hasattr(value, "keys") else str(value)
