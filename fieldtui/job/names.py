"""Which chord a booking is of, whatever its station and its ends were called when it was booked.

A chord is the line between two anchors: `L-R` of one route and `R-L` of the next are one chord. A station that was
renamed by declaration takes its earlier readings with it; two stations that stood in one route before stay two. The
name that counts is that of the route of now, or for a
chord that is no longer in it, the name it had last.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from fieldtui.job.declared import Renamed
from fieldtui.route import ChordKey, Route


class Names:
    """Names for a job: the route of now, earlier routes with their times, newest first, and stations renamed."""

    def __init__(self, now: Route, earlier: Sequence[tuple[datetime, Route]], renamed: Iterable[Renamed]) -> None:
        declared = sorted(renamed, key=lambda one: (one.at, one.written.order))
        self.mixing = tuple(one for one in declared if any(_two(one, *of_then) for of_then in earlier))
        """Declarations that would make one of two stations: they change nothing."""
        self._renamed = [one for one in declared if one not in self.mixing]
        self._lines: dict[tuple[str, frozenset[str]], str] = {}
        # a year of surveys shares a handful of routes
        for route in {id(one): one for one in (now, *(route for _, route in earlier))}.values():
            for station in route.stations:
                for chord in station.chords:
                    self._lines.setdefault((station.name, frozenset((chord.hook, chord.far))), chord.name)

    @property
    def changes(self) -> tuple[datetime, ...]:
        """The times at which a station got another name: between two of them every name stays what it is."""
        return tuple(one.at for one in self._renamed)

    def station(self, name: str, at: datetime) -> str:
        """The present name of what was called so at a time."""
        for one in self._renamed:
            if one.old == name and at < one.at:
                name = one.new
        return name

    def chord(self, key: ChordKey, at: datetime) -> ChordKey:
        """The present (station, chord) of a booking read at a time."""
        station = self.station(key[0], at)
        return station, self._lines.get((station, frozenset(key[1].split("-"))), key[1])


def _two(one: Renamed, at: datetime, route: Route) -> bool:
    """Whether a route that was walked before the renaming has both."""
    return at < one.at and route.station(one.old) is not None and route.station(one.new) is not None
