"""A route as it should have been: figures that a journal sets right, over the range where they count.

    Route as logged + corrections that cover the survey's time ──► Route to reduce the survey with

The log keeps the route it was booked with for ever; only the reduction uses the corrected one, and both lengths are
kept (`Reading.logged_length`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from msgspec.structs import replace

from fieldtui.job.declared import Correction
from fieldtui.job.route_values import read_value
from fieldtui.route import Anchor, Route, Station


class Corrections:
    """The corrections of a job, in order of booking: where two cover one time, the one booked later counts."""

    def __init__(self, corrections: Iterable[Correction]) -> None:
        self.all = tuple(sorted(corrections, key=lambda one: one.written.order))
        # a year of surveys shares a handful of routes: each is corrected once
        self._made: dict[tuple[object, ...], tuple[Route, Route]] = {}

    def at(self, time: datetime) -> tuple[Correction, ...]:
        """Those that cover a time, in order of booking."""
        return tuple(one for one in self.all if one.covers(time))

    def route(self, route: Route, time: datetime) -> Route:
        """The route for a survey of that time. The very same object where nothing in it changes."""
        counting = self.at(time)
        if not counting:
            return route
        key = (id(route), *((one.written.place, one.key) for one in counting))
        if key not in self._made:
            self._made[key] = (route, _corrected(route, counting))
        return self._made[key][1]


def _corrected(route: Route, corrections: Iterable[Correction]) -> Route:
    made = route
    for one in corrections:
        table, name, part = one.thing
        values = {one.key: read_value(table, one.key, one.value)}
        if table == "tape":
            made = replace(made, tapes=_with(made.tapes, "serial", name, values))
        elif table == "extensometer":
            made = replace(made, extensometers=_with(made.extensometers, "serial", name, values))
        elif table == "control":
            made = replace(made, controls=_with(made.controls, "name", name, values))
        elif table == "uncertainty":
            made = replace(made, uncertainty=replace(made.uncertainty, **values))
        else:
            made = replace(made, stations=tuple(_station(one, name, part, values) for one in made.stations))
    # a correction to what stands there already is none: whoever compares routes by identity sees that
    return route if made == route else made


def _with(things: tuple[Any, ...], called: str, name: str, values: Mapping[str, Any]) -> tuple[Any, ...]:
    return tuple(replace(one, **values) if getattr(one, called) == name else one for one in things)


def _station(station: Station, name: str, part: str, values: Mapping[str, Any]) -> Station:
    if station.name != name:
        return station
    anchors: tuple[Anchor, ...] = _with(station.anchors, "name", part, values)
    return replace(station, anchors=anchors)
