"""What was booked, as it was booked: every booking of a chord, whether or not it gives a length."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

from msgspec import Struct

from fieldtui.job.survey import Survey
from fieldtui.survey import Booking, Place, State, Struck, Target

STRUCK, UNFINISHED = "struck", "unfinished"


class Booked(Struct, frozen=True):
    """One booking of a chord. Figures are texts as typed; `outcome` adds `struck` and `unfinished` to the survey's."""

    survey: str
    """The survey's id."""
    label: str
    """The survey's label, which no other survey of the job bears."""
    time: datetime
    """Of reading, UTC; of booking where nothing was read."""
    target: Target
    """Station and chord as they were booked, and the number of the reading in its survey."""
    tape: str
    extensometer: str
    observer: str
    recorder: str
    figures: Mapping[str, str]
    outcome: str
    reason: str
    note: str
    """Remarks made at this chord in the survey, from first to last."""
    struck: tuple[Struck, ...]
    place: Place
    """Where its first record stands."""


def booked(survey: Survey, labels: Mapping[str, str], bookings: Mapping[Target, Booking]) -> Iterator[Booked]:
    """Those of some bookings of a survey that are of a chord, in order of their targets."""
    for target, booking in sorted(bookings.items()):
        time = _time(booking)
        if not target.is_chord or time is None:
            continue
        yield Booked(
            survey=survey.id,
            label=labels.get(survey.id, survey.label),
            time=time,
            target=target,
            tape=booking.tape,
            extensometer=booking.extensometer,
            observer=answered(survey.state, "reader", time),
            recorder=answered(survey.state, "recorder", time),
            figures={slot: entry.typed for slot, entry in booking.slots.items()},
            outcome=booking.outcome or (STRUCK if any(one.who for one in booking.struck) else UNFINISHED),
            reason=booking.reason,
            note="; ".join(note.text for note in survey.state.notes if note.line == target.line),
            struck=booking.struck,
            place=_place(booking),
        )


def answered(state: State, what: str, at: datetime) -> str:
    """What the answer to a question was at a time; before the first answer, that one."""
    answers = [*state.said_before.get(what, ()), *([state.said[what]] if what in state.said else [])]
    by_then = [entry for entry in answers if entry.read_at <= at]
    return (by_then[-1] if by_then else answers[0]).typed if answers else ""


def _time(booking: Booking) -> datetime | None:
    if booking.read_at is not None:
        return booking.read_at
    ended = [booking.ended.read_at] if booking.ended is not None else []
    times = [*ended, *(one.entry.read_at for one in booking.struck)]
    return times[0] if times else None


def _place(booking: Booking) -> Place:
    entries = [*booking.slots.values(), *(one.entry for one in booking.struck)]
    if booking.ended is not None:
        entries.append(booking.ended)
    return min(entries, key=lambda entry: entry.order).place
