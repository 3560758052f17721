"""The tapes, extensometers, control frame and anchors that bookings were read with."""

from __future__ import annotations

from collections.abc import Mapping

from fieldtui.job.declared import Thing
from fieldtui.survey import Booking, Target

FRAME: Thing = ("control", "", "")
"""The control frame, whichever the survey's route names."""


def instruments_in(bookings: Mapping[Target, Booking]) -> tuple[tuple[str, str], ...]:
    """Every tape with extensometer that a chord or the frame was read with, in order of first use."""
    read = (one for target, one in bookings.items() if not target.is_zero and one.was_read and one.slots)
    return tuple(dict.fromkeys((one.tape, one.extensometer) for one in read))


def used_by(bookings: Mapping[Target, Booking]) -> frozenset[Thing]:
    """Everything that any of these bookings was read with."""
    found: set[Thing] = set()
    for target, booking in bookings.items():
        if target.is_zero or not booking.slots:
            continue
        found |= {("tape", booking.tape, ""), ("extensometer", booking.extensometer, "")}
        found |= {FRAME} if target.is_frame else {("anchor", target.station, end) for end in target.chord.split("-")}
    return frozenset(found)
