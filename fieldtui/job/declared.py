"""What journals declare, as frozen facts. Each says when, by whom and in which record it was written.

Amendment      an entry of a survey's log struck out or set right
Epoch          a baseline declared anew, as after bench excavation
AnchorEvent    struck, lost, replaced          ChordEvent   added, retired          Renamed   a station's name
Correction     a figure of the route that was wrong, from when to when (a late certificate is several of them)
NewThing       a tape, extensometer, frame or anchor that is another one from a time on
Happening      a blast, a bench, another event of construction
Care           an instrument looked after
Kept           which of two forked logs counts
"""

from __future__ import annotations

from datetime import datetime
from typing import Any, Literal

from msgspec import Struct

from fieldtui.log import Record
from fieldtui.survey import Place

Thing = tuple[str, str, str]
"""A thing of the route: its table (`tape`, `extensometer`, `control`, `anchor`, `uncertainty`), its name, and for an
anchor, whose name is its station's, the anchor's own."""


class Written(Struct, frozen=True):
    """Where a declaration stands, when it was booked (UTC) and by whom."""

    log: str
    seq: int
    at: datetime
    by: str

    @property
    def place(self) -> Place:
        return (self.log, self.seq)

    @property
    def order(self) -> tuple[datetime, str, int]:
        return (self.at, self.log, self.seq)


class Amendment(Struct, frozen=True):
    """`typed` is what stands instead, None for nothing; `settles` names amendments that it takes the place of."""

    written: Written
    place: Place
    typed: str | None
    reason: str
    settles: frozenset[Place]
    record: Record


class Epoch(Struct, frozen=True):
    """A new baseline from the first readings at or after `since`. No stations named: all of them."""

    written: Written
    name: str
    since: datetime
    restarts: bool
    """Movement is counted from nil again; else it is carried, and the movement since is shown besides."""
    stations: frozenset[str]
    reason: str

    def concerns(self, station: str) -> bool:
        return not self.stations or station in self.stations


class AnchorEvent(Struct, frozen=True):
    written: Written
    station: str
    anchor: str
    event: Literal["struck", "lost", "replaced"]
    at: datetime
    note: str


class ChordEvent(Struct, frozen=True):
    written: Written
    station: str
    chord: str
    event: Literal["added", "retired"]
    at: datetime
    note: str


class Renamed(Struct, frozen=True):
    """Readings before `at` under the old name belong to the new one."""

    written: Written
    old: str
    new: str
    at: datetime


class Correction(Struct, frozen=True):
    """`value` is right for surveys from `since` (None: from the first) to before `until` (None: from there on)."""

    written: Written
    thing: Thing
    key: str
    value: Any
    since: datetime | None
    until: datetime | None
    reason: str
    certificate: str = ""
    """Its reference, where a certificate says so."""

    def covers(self, at: datetime) -> bool:
        return (self.since is None or self.since <= at) and (self.until is None or at < self.until)


class NewThing(Struct, frozen=True):
    written: Written
    thing: Thing
    since: datetime
    note: str


class Happening(Struct, frozen=True):
    written: Written
    event: str
    at: datetime
    station: str
    """Where it counts; empty for the whole route."""
    note: str


class Care(Struct, frozen=True):
    written: Written
    what: str
    at: datetime
    note: str


class Kept(Struct, frozen=True):
    """Of the files that share this log's id and differ, the one with this hash at its end counts."""

    written: Written
    log: str
    h: str
    reason: str
