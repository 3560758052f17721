"""Times moved, where the laptop's clock was wrong: every entry of the survey, struck ones too, and tellings."""

from __future__ import annotations

from datetime import timedelta

from msgspec.structs import replace

from fieldtui.survey.entered import Entry
from fieldtui.survey.state import Booking, State, Struck


def shifted(state: State, more: timedelta) -> State:
    """The state with all times moved by so much; what is booked from now on is moved as well."""

    def moved(entry: Entry) -> Entry:
        return replace(entry, read_at=entry.read_at + more)

    def striking(one: Struck) -> Struck:
        return replace(one, entry=moved(one.entry), by=None if one.by is None else moved(one.by))

    def booked(one: Booking) -> Booking:
        return replace(
            one,
            slots={slot: moved(entry) for slot, entry in one.slots.items()},
            struck=tuple(map(striking, one.struck)),
            ended=None if one.ended is None else moved(one.ended),
        )

    return replace(
        state,
        bookings={target: booked(booking) for target, booking in state.bookings.items()},
        said={what: moved(entry) for what, entry in state.said.items()},
        said_before={what: tuple(map(moved, before)) for what, before in state.said_before.items()},
        notes=tuple(replace(note, entry=moved(note.entry)) for note in state.notes),
        calls=tuple(replace(call.told_later(more), entry=moved(call.entry)) for call in state.calls),
        struck=tuple(map(striking, state.struck)),
        shift=state.shift + more,
    )
