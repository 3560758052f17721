"""A survey's state as text for the index, and back: exactly the same state, its bookings chord by chord.

    state ── told_of ──► all but the bookings
          └─ booking_out ──► one booking; entries as [typed, unit, seq, µs, order, read_order]

Only what this version writes is read; the index is made anew for every other.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, datetime, timedelta
from functools import cache
from typing import Any

from msgspec import Raw, Struct
from msgspec.json import Decoder, decode

from fieldtui.survey import Booking, CallTold, Entry, Note, Place, State, Struck, Target

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_US = timedelta(microseconds=1)
_TOLD = tuple(name for name in CallTold.__struct_fields__ if name != "entry")


def micros(at: datetime) -> int:
    """A time as whole microseconds since 1970, UTC: exact, as `datetime` is."""
    return (at - EPOCH) // _US


def moment(us: int) -> datetime:
    return EPOCH + us * _US


def text(value: Any) -> bytes:
    """One line of JSON."""
    return json.dumps(value, separators=(",", ":")).encode("ascii")


def entry_out(entry: Entry | None, log: str) -> list[Any] | None:
    if entry is None:
        return None
    told = [entry.typed, entry.unit, entry.seq, micros(entry.read_at), entry.order, entry.read_order]
    return told if entry.log == log else [*told, entry.log]


def entry_in(told: list[Any] | None, log: str) -> Entry:
    if told is None:
        raise ValueError("no entry")
    typed, unit, seq, us, order, read_order, *other = told
    return Entry(typed, unit, other[0] if other else log, seq, moment(us), order, read_order)


def _maybe(told: list[Any] | None, log: str) -> Entry | None:
    return None if told is None else entry_in(told, log)


def target_out(target: Target | None) -> list[Any] | None:
    return None if target is None else [target.station, target.chord, target.reading, target.part]


def target_in(told: list[Any]) -> Target:
    return Target(*told)


def _struck_out(one: Struck, log: str) -> list[Any]:
    return [one.slot, entry_out(one.entry, log), entry_out(one.by, log), one.reason, one.who]


def _struck_in(told: list[Any], log: str) -> Struck:
    slot, entry, by, reason, who = told
    return Struck(slot, entry_in(entry, log), _maybe(by, log), reason, who)


def _place_in(told: list[Any] | None) -> Place | None:
    return None if told is None else (told[0], told[1])


def booking_out(number: int, one: Booking, log: str) -> list[Any]:
    """`number` is its place among the survey's bookings."""
    return [
        number,
        target_out(one.target),
        one.tape,
        one.extensometer,
        {slot: entry_out(entry, log) for slot, entry in one.slots.items()},
        [_struck_out(struck, log) for struck in one.struck],
        one.outcome,
        one.reason,
        entry_out(one.ended, log),
        one.tape_said,
        one.extensometer_said,
        one.baseline,
    ]


def booking_in(told: list[Any], log: str) -> Booking:
    _, target, tape, extensometer, slots, struck, outcome, reason, ended, tape_said, extensometer_said, baseline = told
    return Booking(
        target_in(target),
        tape,
        extensometer,
        {slot: entry_in(entry, log) for slot, entry in slots.items()},
        tuple(_struck_in(one, log) for one in struck),
        outcome,
        reason,
        _maybe(ended, log),
        _place_in(tape_said),
        _place_in(extensometer_said),
        baseline,
    )


class Told(Struct):
    """What `told_of` gives, as it is read; `said` only when it is asked for: of a thousand surveys hardly any is."""

    said: Raw
    said_before: dict[str, list[Any]]
    notes: list[Any]
    calls: list[Any]
    struck: list[Any]
    at: str | None
    going: list[Any] | None
    last: list[Any] | None
    ending: bool
    closed: bool
    shift: int
    unknown: int
    entered: int
    strays: int
    started: int | None
    """When the survey began, which is not of its state."""


def told_of(state: State, log: str) -> dict[str, Any]:
    """Everything of a state but its bookings."""
    return {
        "said": {what: entry_out(entry, log) for what, entry in state.said.items()},
        "said_before": {
            what: [entry_out(entry, log) for entry in before] for what, before in state.said_before.items()
        },
        "notes": [[note.text, entry_out(note.entry, log), note.station, note.chord] for note in state.notes],
        "calls": [[[getattr(call, name) for name in _TOLD], entry_out(call.entry, log)] for call in state.calls],
        "struck": [_struck_out(one, log) for one in state.struck],
        "at": state.at,
        "going": target_out(state.going),
        "last": target_out(state.last),
        "ending": state.ending,
        "closed": state.closed,
        "shift": state.shift // _US,
        "unknown": state.unknown,
        "entered": state.entered,
        "strays": state.strays,
    }


def read_told(pieces: Iterable[bytes]) -> list[Told]:
    """What the texts of `told_of` say, in their order."""
    return _decoder().decode(b"[" + b",".join(pieces) + b"]")


@cache
def _decoder() -> Decoder[list[Told]]:
    return Decoder(list[Told])


class _Said(Mapping[str, Entry]):
    """What was answered, read each time that it is asked for."""

    __slots__ = ("_log", "_told")

    def __init__(self, told: Raw, log: str) -> None:
        self._told, self._log = told, log

    def _all(self) -> dict[str, list[Any]]:
        found: dict[str, list[Any]] = decode(self._told)
        return found

    def __getitem__(self, what: str) -> Entry:
        return entry_in(self._all()[what], self._log)

    def __iter__(self) -> Iterator[str]:
        return iter(self._all())

    def __len__(self) -> int:
        return len(self._all())


def state_in(told: Told, bookings: Mapping[Target, Booking], log: str) -> State:
    """The state that `told_of` was given, with these bookings."""
    return State(
        said=_Said(told.said, log),
        said_before={
            what: tuple(entry_in(entry, log) for entry in before) for what, before in told.said_before.items()
        },
        bookings=bookings,
        notes=tuple(Note(note, entry_in(entry, log), *where) for note, entry, *where in told.notes),
        calls=tuple(
            CallTold(**dict(zip(_TOLD, names, strict=True)), entry=entry_in(entry, log)) for names, entry in told.calls
        ),
        struck=tuple(_struck_in(one, log) for one in told.struck),
        at=told.at,
        going=None if told.going is None else target_in(told.going),
        last=None if told.last is None else target_in(told.last),
        ending=told.ending,
        closed=told.closed,
        shift=told.shift * _US,
        unknown=told.unknown,
        entered=told.entered,
        strays=told.strays,
    )
