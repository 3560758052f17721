"""Records into state: the only way a state comes about.

| kind | data | what it does |
|---|---|---|
| `said` | what, typed, also_before | answers a question about the survey; the last answer counts (`_named`, `tended`) |
| `arrived` | station | the surveyor stands at a station and has seen its caution |
| `figure` | target, slot, typed, unit, read_at | books one figure; one that stood there is struck out and kept |
| `accepted` | target, as, reason, shown | seen what the figures mean, and on (`read`, or `kept` with a reason) |
| `unread` | target, outcome, note | the chord was not read, and why |
| `go` | target, or end | another chord, another reading of one, or the end of the survey |
| `note` | text, station, chord | a remark |
| `clock` | shift_seconds | the laptop's clock was wrong: all times of reading move |
| `struck` | log, seq, reason, by, typed | an entry no longer counts; both stay. `typed`, if there, stands instead |
| `call` | see `call.CallTold` | somebody was told of a level, and answered |
| `earlier` | station, chord, read_at, length, unit, uncertainty, baseline, tape, extensometer | a length taken over |
| `closed` | what this survey gives | nothing follows |

`log` and `route` belong to the file, not to the walk, and change nothing here. A kind that is not in the
table is counted in `State.unknown`; such a survey can be read and not written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any, Protocol

from msgspec.structs import replace

from fieldtui.survey.call import CallTold
from fieldtui.survey.clock import shifted
from fieldtui.survey.entered import Entry, Place
from fieldtui.survey.state import EARLIER, Booking, Note, State, Struck
from fieldtui.survey.strike import Strike, struck_out
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
    return step(replace(state, entered=state.entered + 1), record, log)


def _entry(state: State, record: Recorded, log: str) -> Entry:
    return _entered(state, record, log, record.data["typed"])


def _entered(state: State, record: Recorded, log: str, typed: str) -> Entry:
    read_at = read_time(record.data.get("read_at", record.at)) + state.shift
    return Entry(typed, record.data.get("unit", ""), log, record.seq, read_at, state.entered, state.entered)


def _said(state: State, record: Recorded, log: str) -> State:
    what = record.data["what"]
    before = state.said_before
    if what in state.said:
        before = {**before, what: (*before.get(what, ()), state.said[what])}
    state = replace(state, said={**state.said, what: _entry(state, record, log)}, said_before=before)
    return _named(state, what) if record.data.get("also_before") else state


def _named(state: State, what: str) -> State:
    """The answer was lost and asked for again, and is that of the bookings made before as well."""
    said = state.said[what]
    own = {what: said.typed, f"{what}_said": said.place}
    bookings = {target: replace(state.bookings[target], **own) for target in state.nameless(what)}
    return replace(state, bookings={**state.bookings, **bookings})


def _arrived(state: State, record: Recorded, log: str) -> State:
    return replace(state, at=record.data["station"])


def _figure(state: State, record: Recorded, log: str) -> State:
    target, slot = Target.of(record.data), record.data["slot"]
    booking = _booking(state, target)
    entry, before = _entry(state, record, log), booking.slots.get(slot)
    struck = booking.struck
    if before is not None:
        # of a reading that is whole it is a correction; while figures are still to come it may have been read once more
        entry = entry.setting_right(before) if booking.figures_in and not before.declined else entry
        struck = (*struck, Struck(slot, before, entry))
    amended = replace(booking, slots={**booking.slots, slot: entry}, struck=struck)
    if booking.finished and (before is None or before.typed != entry.typed):
        # what was accepted is not what stands there now: the surveyor looks at it once more
        amended = replace(amended, outcome="", reason="", ended=None)
        state = replace(state, going=target)
    if target.is_zero:
        amended = replace(amended, outcome="read", ended=entry)
        state = replace(state, going=None if state.going == target else state.going)
    return replace(state, bookings={**state.bookings, target: amended})


def _booking(state: State, target: Target) -> Booking:
    found = state.bookings.get(target)
    if found is not None:
        return found
    return Booking(
        target,
        state.answer("tape") or "",
        state.answer("extensometer") or "",
        tape_said=_place(state, "tape"),
        extensometer_said=_place(state, "extensometer"),
    )


def _place(state: State, what: str) -> Place | None:
    return state.said[what].place if what in state.said else None


def _accepted(state: State, record: Recorded, log: str) -> State:
    return _finish(state, record, log, record.data["as"], record.data.get("reason", ""))


def _unread(state: State, record: Recorded, log: str) -> State:
    return _finish(state, record, log, record.data["outcome"], record.data.get("note", ""))


def _finish(state: State, record: Recorded, log: str, outcome: str, reason: str) -> State:
    target = Target.of(record.data)
    ended = _entered(state, record, log, outcome)
    booking = replace(_booking(state, target), outcome=outcome, reason=reason, ended=ended)
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
    entry = _entered(state, record, log, record.data["text"])
    note = Note(record.data["text"], entry, record.data.get("station", ""), record.data.get("chord", ""))
    return replace(state, notes=(*state.notes, note))


def _clock(state: State, record: Recorded, log: str) -> State:
    """Entries booked before and after are shifted alike: the clock was wrong for the whole survey."""
    return shifted(state, timedelta(seconds=record.data["shift_seconds"]))


def _struck(state: State, record: Recorded, log: str) -> State:
    data = record.data
    place = (data.get("log") or log, data["seq"])
    entry = _entered(state, record, log, data.get("typed", ""))
    strike = Strike(place, entry, data.get("reason", ""), data.get("by", ""), data.get("typed"))
    return struck_out(state, strike)


def _call(state: State, record: Recorded, log: str) -> State:
    told = CallTold.of(record.data, _entered(state, record, log, record.data.get("answer", "")))
    return replace(state, calls=(*state.calls, told.told_later(state.shift)))


def _earlier(state: State, record: Recorded, log: str) -> State:
    data = record.data
    key = (data["station"], data["chord"])
    target = Target(*key, 1 + max((one.target.reading for one in state.readings(key)), default=0))
    length = _entered(state, record, log, data["length"])
    slots = {"length": length}
    if data.get("uncertainty"):
        slots["uncertainty"] = replace(length, typed=data["uncertainty"])
    booking = Booking(
        target,
        data.get("tape", ""),
        data.get("extensometer", ""),
        slots,
        outcome=EARLIER,
        ended=length,
        baseline=bool(data.get("baseline", False)),
    )
    return replace(state, bookings={**state.bookings, target: booking})


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
    "struck": _struck,
    "call": _call,
    "earlier": _earlier,
    "closed": _closed,
}
KINDS = _OF_THE_FILE | frozenset(_KINDS)
"""Every kind that this version knows; a log with another one can be read and not written."""
