"""Records into state: the only way a state comes about.

| kind | data | what it does |
|---|---|---|
| `said` | what, typed | answers a question about the whole survey; the last answer counts |
| `arrived` | station | the surveyor stands at a station and has seen its caution |
| `figure` | target, slot, typed, unit, read_at | books one figure; a figure that stood there is struck out and kept |
| `accepted` | target, as, reason, shown | seen what the figures mean, and on (`read`, or `kept` with a reason) |
| `unread` | target, outcome, note | the chord was not read, and why |
| `go` | target, or end | another chord, another reading of one, or the end of the survey |
| `note` | text, station, chord | a remark |
| `clock` | shift_seconds | the laptop's clock was wrong: all times of reading move |
| `closed` | what this survey gives | nothing follows |

`log` and `route` belong to the file, not to the walk, and change nothing here. A kind that is not in the
table is counted in `State.unknown`; such a survey can be read and not written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any, Protocol

from fieldtui.survey.state import Booking, Entry, Note, State, Struck
from fieldtui.survey.target import Target


class Recorded(Protocol):
    """What the fold needs of a log's record."""

    @property
    def seq(self) -> int: ...
    @property
    def at(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def data(self) -> Mapping[str, Any]: ...


def read_time(text: str) -> datetime:
    """A time as records hold it (RFC 3339, UTC) as an aware datetime."""
    return datetime.fromisoformat(text).astimezone(UTC)


def fold(records: Iterable[Recorded], log: str = "", start: State | None = None) -> State:
    """The state after these records of the log with that id, from the beginning or from `start`."""
    state = State() if start is None else start
    for record in records:
        state = apply(state, record, log)
    return state


def apply(state: State, record: Recorded, log: str = "") -> State:
    """The state after one more record."""
    if record.kind in _OF_THE_FILE:
        return state
    step = _KINDS.get(record.kind)
    if step is None:
        return replace(state, unknown=state.unknown + 1)
    return step(state, record, log)


def _entry(state: State, record: Recorded, log: str) -> Entry:
    read_at = read_time(record.data.get("read_at", record.at)) + state.shift
    return Entry(record.data["typed"], record.data.get("unit", ""), log, record.seq, read_at)


def _said(state: State, record: Recorded, log: str) -> State:
    return replace(state, said={**state.said, record.data["what"]: _entry(state, record, log)})


def _arrived(state: State, record: Recorded, log: str) -> State:
    return replace(state, at=record.data["station"])


def _figure(state: State, record: Recorded, log: str) -> State:
    target, slot = Target.of(record.data), record.data["slot"]
    booking = _booking(state, target)
    entry = _entry(state, record, log)
    struck = booking.struck
    if slot in booking.slots:
        struck = (*struck, Struck(slot, booking.slots[slot], entry))
    amended = replace(booking, slots={**booking.slots, slot: entry}, struck=struck)
    if booking.finished:
        # what was accepted is not what stands there now: the surveyor looks at it once more
        amended = replace(amended, outcome="", reason="")
        state = replace(state, going=target)
    if target.is_zero:
        amended = replace(amended, outcome="read")
        state = replace(state, going=None if state.going == target else state.going)
    return replace(state, bookings={**state.bookings, target: amended})


def _booking(state: State, target: Target) -> Booking:
    found = state.bookings.get(target)
    if found is not None:
        return found
    return Booking(target, state.answer("tape") or "", state.answer("extensometer") or "")


def _accepted(state: State, record: Recorded, log: str) -> State:
    return _finish(state, Target.of(record.data), record.data["as"], record.data.get("reason", ""))


def _unread(state: State, record: Recorded, log: str) -> State:
    return _finish(state, Target.of(record.data), record.data["outcome"], record.data.get("note", ""))


def _finish(state: State, target: Target, outcome: str, reason: str) -> State:
    booking = replace(_booking(state, target), outcome=outcome, reason=reason)
    return replace(
        state,
        bookings={**state.bookings, target: booking},
        going=None if state.going == target else state.going,
        last=target if target.is_chord else state.last,
    )


def _go(state: State, record: Recorded, log: str) -> State:
    if record.data.get("end"):
        return replace(state, going=None, ending=True)
    return replace(state, going=Target.of(record.data), ending=False)


def _note(state: State, record: Recorded, log: str) -> State:
    entry = Entry(record.data["text"], "", log, record.seq, read_time(record.at) + state.shift)
    note = Note(record.data["text"], entry, record.data.get("station", ""), record.data.get("chord", ""))
    return replace(state, notes=(*state.notes, note))


def _clock(state: State, record: Recorded, log: str) -> State:
    """Entries booked before and after are shifted alike: the clock was wrong for the whole survey."""
    more = timedelta(seconds=record.data["shift_seconds"])

    def shifted(entry: Entry) -> Entry:
        return replace(entry, read_at=entry.read_at + more)

    bookings = {
        target: replace(
            booking,
            slots={slot: shifted(entry) for slot, entry in booking.slots.items()},
            struck=tuple(
                replace(one, entry=shifted(one.entry), by=None if one.by is None else shifted(one.by))
                for one in booking.struck
            ),
        )
        for target, booking in state.bookings.items()
    }
    return replace(
        state,
        bookings=bookings,
        said={what: shifted(entry) for what, entry in state.said.items()},
        notes=tuple(replace(note, entry=shifted(note.entry)) for note in state.notes),
        shift=state.shift + more,
    )


def _closed(state: State, record: Recorded, log: str) -> State:
    return replace(state, closed=True)


_OF_THE_FILE = frozenset({"log", "route"})
_KINDS: dict[str, Callable[[State, Recorded, str], State]] = {
    "said": _said,
    "arrived": _arrived,
    "figure": _figure,
    "accepted": _accepted,
    "unread": _unread,
    "go": _go,
    "note": _note,
    "clock": _clock,
    "closed": _closed,
}
KINDS = _OF_THE_FILE | frozenset(_KINDS)
"""Every kind that this version knows; a log with another one can be read and not written."""
