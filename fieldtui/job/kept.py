"""What the index of a folder keeps of a survey, so that a route with a thousand surveys opens without a thousand logs.

    closed log ── pieces_of ──► "survey": its state but the bookings, when it began
                            ├─► "with": which route, chords, instruments; alike in most surveys
                            └─► one piece for each chord, the frame, the zero: its bookings
    pieces ── Kept ──► the same Survey again; bookings come when a chord is asked for

Of a survey of one closed log alone, in which every booking has its tape and extensometer; one that is spread over
several logs, or open, is folded from its records, and so is every survey of which there are no pieces. Amendments of
journals are applied to what is kept.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from datetime import datetime
from functools import cache, cached_property, lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.json import decode

from fieldtui import __version__
from fieldtui.job import kept_codec as codec
from fieldtui.job.declared import Thing
from fieldtui.job.used import instruments_in, used_by
from fieldtui.log import LogFile
from fieldtui.log.index import Derive, Derived
from fieldtui.route import ChordKey
from fieldtui.survey import Booking, State, Target, fold

SURVEY_PIECE, WITH_PIECE, BOOKED = "survey", "with", "booked "
SCOPES = ("survey", "practice")
ROOMS = ("route", "reduction", "survey", "job")
_AT_HAND = 2
"""So many chords' pieces are held at a time."""


def pieces_of(log: LogFile) -> Mapping[str, bytes] | None:
    """The pieces of a closed log; None where it is not a whole survey by itself."""
    if log.head.get("scope") not in SCOPES or log.continues is not None:
        return None
    if len(log.records) < 2 or log.records[1].kind != "route":
        return None
    state = fold(log.records, log.id)
    if any(state.nameless(what) for what in ("tape", "extensometer")):
        return None
    read = [at for booking in state.bookings.values() if (at := booking.read_at) is not None]
    told = {
        **codec.told_of(state, log.id),
        "started": codec.micros(min(read)) if read else None,
    }
    used_with = [digest(log.records[1].data), sorted(used_by(state.bookings)), instruments_in(state.bookings)]
    of_key: dict[str, list[Any]] = {}
    for number, booking in enumerate(state.bookings.values()):
        of_key.setdefault(_name(booking.target.key), []).append(codec.booking_out(number, booking, log.id))
    pieces = {SURVEY_PIECE: codec.text(told), WITH_PIECE: codec.text(used_with)}
    return {**pieces, **{name: codec.text(several) for name, several in of_key.items()}}


def derive() -> Derive:
    """How the job derives pieces."""
    return Derive(version(), pieces_of)


def version() -> str:
    """This version of the program, as its files are on this machine: what another has worked out is not taken."""
    return f"{__version__} {_stamp()}"


@cache
def _stamp() -> str:
    stamps = []
    for room in ROOMS:  # by `scandir`, which needs half the calls: every start waits for it
        with os.scandir(Path(__file__).parents[1] / room) as files:
            status = [(file.name, file.stat()) for file in files if file.name.endswith(".py")]
        stamps += sorted((name, one.st_size, one.st_mtime_ns) for name, one in status)
    return sha256(repr(stamps).encode()).hexdigest()


def digest(route: Mapping[str, Any]) -> str:
    """What tells one route record from another."""
    return sha256(codec.text(route)).hexdigest()


def _name(key: ChordKey) -> str:
    return BOOKED + codec.text(key).decode("ascii")


class _With(Struct, frozen=True):
    """What surveys have in common."""

    route: str
    used: frozenset[Thing]
    instruments: tuple[tuple[str, str], ...]


class _Told(Struct, frozen=True):
    """What is told of one survey."""

    started: int | None
    having: _With
    state: State


def _with(piece: bytes) -> _With:
    route, used, instruments = decode(piece)
    things = frozenset((table, name, part) for table, name, part in used)
    return _With(route, things, tuple((tape, extensometer) for tape, extensometer in instruments))


class Kept(Struct, frozen=True, dict=True):
    """The surveys of a folder as the index keeps them."""

    derived: Derived

    @cached_property
    def _told(self) -> dict[str, _Told]:
        # a year of surveys says the same of routes and instruments a thousand times: each is read and held once
        once = cache(_with)
        having = self.derived.pieces(WITH_PIECE)
        found = {}
        pieces = self.derived.pieces(SURVEY_PIECE)
        for log, told in zip(pieces, codec.read_told(pieces.values()), strict=True):
            state = codec.state_in(told, KeptBookings(self, log), log)
            found[log] = _Told(told.started, once(having[log]), state)
        return found

    def __contains__(self, log: str) -> bool:
        return log in self._told

    def state(self, log: str) -> State:
        """The survey's state, without amendments."""
        return self._told[log].state

    def started(self, log: str) -> datetime | None:
        """The first time of reading."""
        us = self._told[log].started
        return None if us is None else codec.moment(us)

    def route(self, log: str) -> str:
        """The digest of the route in it."""
        return self._told[log].having.route

    @cached_property
    def keys(self) -> tuple[ChordKey, ...]:
        """Station and chord of everything that was booked in any of these surveys, as it was booked."""
        names = (name.removeprefix(BOOKED) for name in self.derived.names() if name.startswith(BOOKED))
        return tuple((station, chord) for station, chord in map(decode, names))

    @cached_property
    def _pieces(self) -> Callable[[ChordKey], Mapping[str, bytes]]:
        # chords are gone through one by one, each in all surveys: those of a station are at hand, not all of a year
        return lru_cache(maxsize=_AT_HAND)(lambda key: self.derived.pieces(_name(key)))

    def used(self, log: str) -> frozenset[Thing]:
        """What `used_by` says of the survey's bookings."""
        return self._told[log].having.used

    def instruments(self, log: str) -> tuple[tuple[str, str], ...]:
        """What `instruments_in` says of the survey's bookings."""
        return self._told[log].having.instruments

    def bookings(self, log: str, keys: Iterable[ChordKey]) -> Iterator[tuple[int, Booking]]:
        """Those of some chords in one survey, each with its place among all."""
        for key in keys:
            yield from _booked(self._pieces(key).get(log), log)

    def all_bookings(self, log: str) -> Iterator[tuple[int, Booking]]:
        """All of one survey. Whoever goes through one whole goes through many: the index is read once for them."""
        for pieces in self._every:
            yield from _booked(pieces.get(log), log)

    @cached_property
    def _every(self) -> tuple[Mapping[str, bytes], ...]:
        return tuple(self.derived.pieces(_name(key)) for key in self.keys)


def _booked(piece: bytes | None, log: str) -> Iterator[tuple[int, Booking]]:
    for told in decode(piece) if piece is not None else ():
        yield told[0], codec.booking_in(told, log)


class KeptBookings(Mapping[Target, Booking]):
    """The bookings of one kept survey: those of a chord when they are asked for, all when they are gone through."""

    def __init__(self, kept: Kept, log: str) -> None:
        self._kept, self._log = kept, log
        self._all: dict[Target, Booking] | None = None

    def of(self, key: ChordKey) -> Mapping[Target, Booking]:
        """The bookings of what was booked under this station and chord, made anew each time."""
        return {booking.target: booking for _, booking in self._kept.bookings(self._log, [key])}

    @property
    def booked_under(self) -> Collection[ChordKey]:
        """Every station and chord that anything is booked under, in this survey or in any that is kept with it."""
        return self._kept.keys

    @property
    def used(self) -> frozenset[Thing]:
        """What `used_by` says of them, without going through them."""
        return self._kept.used(self._log)

    @property
    def instruments(self) -> tuple[tuple[str, str], ...]:
        """What `instruments_in` says of them, without going through them."""
        return self._kept.instruments(self._log)

    def _whole(self) -> dict[Target, Booking]:
        if self._all is None:
            found = sorted(self._kept.all_bookings(self._log), key=lambda one: one[0])
            self._all = {booking.target: booking for _, booking in found}
        return self._all

    def __getitem__(self, target: Target) -> Booking:
        return self._all[target] if self._all is not None else self.of(target.key)[target]

    def __iter__(self) -> Iterator[Target]:
        return iter(self._whole())

    def __len__(self) -> int:
        return len(self._whole())
