"""Where the route of one survey differs from that of the survey before: a new thing, or a mistake?

It is asked and never guessed, of the things that both surveys used: a spare tape may be described anew at will.

    corrected routes in order of time ──► Difference ── declared a new thing in between? ──► answered, or open

A mistake that was declared is corrected in both routes, and is no difference any more. A new thing that was declared
between the two surveys explains every difference of that thing; a correction that counts for one of the two and not for
the other, as a late certificate from its date on, explains that of its figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime
from functools import lru_cache
from typing import Any

from msgspec import Struct

from fieldtui.job.declared import Correction, NewThing, Thing
from fieldtui.job.kept import KeptBookings
from fieldtui.job.names import Names
from fieldtui.job.route_values import READERS
from fieldtui.job.survey import Survey
from fieldtui.job.used import FRAME, used_by
from fieldtui.route import Route

_SETTINGS = frozenset({("control", "limit"), ("tape", "certificate_until"), ("extensometer", "certificate_until")})
"""What may be changed at will: it says nothing of the thing itself."""
LATER = datetime.max.replace(tzinfo=UTC)
"""After all that was read: the core has no clock, and the present route is asked about as it will be."""


class Difference(Struct, frozen=True):
    """One figure of one thing that is not what it was."""

    thing: Thing
    """By its present name."""
    was: Thing
    """As it was called when it had the old figure: the station of an anchor may have been renamed since."""
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
    corrections: Iterable[Correction],
    names: Names,
) -> tuple[Difference, ...]:
    """Open differences along a job's surveys with their corrected routes, in order of time, and to the route of now.

    `new_things` name stations as they are called now.
    """
    told = _Told(tuple(new_things), tuple(corrections))
    found: list[Difference] = []
    last_used: dict[Thing, _Used] = {}
    for used, route, first, newest in _runs(surveys):
        for called in sorted(used):
            thing = _called_now(called, first, names)
            if thing in last_used:
                found += told.open(thing, last_used[thing], _Used(called, route, first), first)
            last_used[thing] = _Used(called, route, newest)
    for thing, last in sorted(last_used.items(), key=lambda one: (one[1].at, one[0])):
        found += told.open(thing, last, _Used(thing, now, LATER), None)
    return tuple(found)


class _Used(Struct, frozen=True):
    """A thing by the name that it had in a route, the route, and when a survey used it."""

    called: Thing
    route: Route
    at: datetime


def _called_now(thing: Thing, at: datetime, names: Names) -> Thing:
    table, name, part = thing
    return (table, names.station(name, at), part) if table == "anchor" else thing


def _runs(surveys: Sequence[tuple[Survey, Route]]) -> Iterator[tuple[frozenset[Thing], Route, datetime, datetime]]:
    """Surveys one after the other with one route and the same things, taken together: when the first and last were."""
    run: tuple[frozenset[Thing], Route, datetime, datetime] | None = None
    for survey, route in surveys:
        used = used_in(survey)
        # a set is gone through to be compared, even with itself
        if run is not None and run[1] is route and (run[0] is used or run[0] == used):
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
    return _with_frame(used, tuple(control.name for control in survey.route.controls[:1]))


@lru_cache(maxsize=64)
def _with_frame(used: frozenset[Thing], frames: tuple[str, ...]) -> frozenset[Thing]:
    # a year of surveys reads the same things with the same frame: one set stands for all of them
    return used - {FRAME} | {("control", name, "") for name in frames} if FRAME in used else used


class _Told(Struct, frozen=True):
    """What journals declare that may answer a difference."""

    new_things: tuple[NewThing, ...]
    corrections: tuple[Correction, ...]

    def open(self, thing: Thing, before: _Used, after: _Used, first: datetime | None) -> Iterator[Difference]:
        """What is not what it was, and not answered."""
        last = before.at
        if before.route is after.route:
            return
        if any(
            one.thing == thing and last < one.since and (first is None or one.since <= first) for one in self.new_things
        ):
            return
        own = [one for one in self.corrections if one.thing in (before.called, after.called)]
        begun_or_ended = {one.key for one in own if one.covers(last) != one.covers(after.at)}
        for key, old, new in _compared(before, after):
            if key not in begun_or_ended:
                yield Difference(thing, before.called, key, old, new, last, first)


def _compared(before: _Used, after: _Used) -> Iterator[tuple[str, Any, Any]]:
    """Every figure of a thing that differs between two routes that have it: key, before, after."""
    old, new = found_in(before.route, before.called), found_in(after.route, after.called)
    if old is None or new is None or old == new:
        return
    for key in READERS[after.called[0]]:
        one, other = getattr(old, key), getattr(new, key)
        if one != other and (after.called[0], key) not in _SETTINGS:
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
