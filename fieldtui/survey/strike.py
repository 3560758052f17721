"""Striking out: an entry no longer counts, and stays to be seen with the reason and the name of who struck it.

    find the entry (log, seq) ──► a figure, an outcome, an answer, a note, a telling ──► the state without it

A right figure may be given with the strike; it then stands in the place of the struck one, at its time of reading.
Nothing else is ever undone: what a struck figure led to is looked at once more while the survey is open.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.survey.entered import Entry, Place
from fieldtui.survey.state import Booking, State, Struck
from fieldtui.survey.target import Target


class Strike(Struct, frozen=True):
    """What a `struck` record says. `entry` is the record itself; `typed` is what stands instead, None for nothing."""

    place: Place
    entry: Entry
    reason: str
    who: str
    typed: str | None = None


def struck_out(state: State, strike: Strike) -> State:
    """The state without the entry at the strike's place. One that is not there, or struck already, is a stray."""
    for booking in state.bookings.values():
        for slot, entry in booking.slots.items():
            if entry.place == strike.place:
                return _figure(state, booking, slot, strike)
        if booking.ended is not None and booking.ended.place == strike.place:
            return _outcome(state, booking, booking.ended, strike)
    for what, entry in state.said.items():
        if entry.place == strike.place:
            return _answer(state, what, strike)
    return _remark(state, strike)


def _instead(entry: Entry, strike: Strike) -> Entry | None:
    """What stands in the place of an entry: the strike's figure, read when the struck one was."""
    if strike.typed is None:
        return None
    return replace(strike.entry, typed=strike.typed, unit=entry.unit).setting_right(entry)


def _struck(slot: str, entry: Entry, strike: Strike) -> Struck:
    return Struck(slot, entry, _instead(entry, strike), strike.reason, strike.who)


def _figure(state: State, booking: Booking, slot: str, strike: Strike) -> State:
    struck = _struck(slot, booking.slots[slot], strike)
    # an earlier length and its uncertainty are one record: they go together
    slots = {name: entry for name, entry in booking.slots.items() if entry.place != strike.place}
    if struck.by is not None:
        slots = {**booking.slots, slot: struck.by}
    amended = replace(booking, slots=slots, struck=(*booking.struck, struck))
    if struck.by is None or not (state.closed or booking.target.is_zero):
        # without the figure the reading is not what was accepted; in an open survey it is looked at once more
        amended = replace(amended, outcome="", reason="", ended=None)
    return _with(state, amended, reopened=booking.finished and not amended.finished)


def _outcome(state: State, booking: Booking, ended: Entry, strike: Strike) -> State:
    slot = "accepted" if booking.was_read else "unread"
    struck = replace(_struck(slot, ended, strike), by=None)
    amended = replace(booking, outcome="", reason="", ended=None, struck=(*booking.struck, struck))
    return _with(state, amended, reopened=True)


def _with(state: State, booking: Booking, *, reopened: bool) -> State:
    going = booking.target if reopened and not state.closed and not booking.target.is_zero else state.going
    # what is read again is gone on from: an end turned to before does not hold any more
    ending = state.ending and not (reopened and booking.target.is_chord)
    return replace(state, bookings={**state.bookings, booking.target: booking}, going=going, ending=ending)


def _answer(state: State, what: str, strike: Strike) -> State:
    """An answer struck: the one before it counts again, or none. Bookings begun under it go with it."""
    struck = _struck(what, state.said[what], strike)
    before = state.said_before.get(what, ())
    now = struck.by if struck.by is not None else (before[-1] if before else None)
    said = {name: entry for name, entry in state.said.items() if name != what}
    said_before = dict(state.said_before)
    if now is not None:
        said = {**state.said, what: now}
    if struck.by is None and before:
        said_before[what] = before[:-1]
    told = replace(state, said=said, said_before=said_before, struck=(*state.struck, struck))
    return _following(told, what, strike.place, now)


def _following(state: State, what: str, place: Place, now: Entry | None) -> State:
    """Bookings whose tape or extensometer comes from the answer that was at a place."""
    typed, said = ("", None) if now is None else (now.typed, now.place)
    bookings: dict[Target, Booking] = dict(state.bookings)
    for target, booking in state.bookings.items():
        if what == "tape" and booking.tape_said == place:
            bookings[target] = replace(booking, tape=typed, tape_said=said)
        elif what == "extensometer" and booking.extensometer_said == place:
            bookings[target] = replace(booking, extensometer=typed, extensometer_said=said)
    return replace(state, bookings=bookings)


def _remark(state: State, strike: Strike) -> State:
    """An answer that was changed since, a note, a telling."""
    for what, before in state.said_before.items():
        for index, entry in enumerate(before):
            if entry.place == strike.place:
                struck = _struck(what, entry, strike)
                now = struck.by if struck.by is not None else (before[index - 1] if index else None)
                kept = (*before[:index], *([struck.by] if struck.by is not None else []), *before[index + 1 :])
                changed = replace(state, said_before={**state.said_before, what: kept}, struck=(*state.struck, struck))
                return _following(changed, what, strike.place, now)
    for note in state.notes:
        if note.entry.place == strike.place:
            struck = _struck("note", note.entry, strike)
            kept_notes = tuple(
                replace(one, text=struck.by.typed, entry=struck.by) if one is note and struck.by is not None else one
                for one in state.notes
                if one is not note or struck.by is not None
            )
            return replace(state, notes=kept_notes, struck=(*state.struck, struck))
    for call in state.calls:
        if call.entry.place == strike.place:
            struck = replace(_struck("call", call.entry, strike), by=None)
            calls = tuple(one for one in state.calls if one is not call)
            return replace(state, calls=calls, struck=(*state.struck, struck))
    return replace(state, strays=state.strays + 1)
