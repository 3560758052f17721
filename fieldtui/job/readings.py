"""Bookings to lengths: one survey reduced with its own route, its frame taken off where the route asks for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from fieldtui.job.survey import Survey
from fieldtui.reduction import (
    FrameShift,
    Length,
    frame_shift,
    frame_verdict,
    reduce,
    reduce_frame,
)
from fieldtui.route import Route
from fieldtui.survey import Booking, State, instruments

Instrument = tuple[str, str]
"""(tape serial, extensometer serial)."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One accepted booking of a chord, reduced."""

    booking: Booking
    length: Length
    time: datetime
    survey: str
    label: str
    doubtful: bool
    note: str = ""


def frame_lengths(route: Route, state: State, survey: str) -> dict[Instrument, dict[str, Length]]:
    """The control frame's lengths of one survey: instrument -> part ("start", "end") -> the last accepted reading."""
    found: dict[Instrument, dict[str, Length]] = {}
    for target, booking in sorted(state.bookings.items()):
        if target.is_frame and booking.was_read:
            length = reduce_booking(route, state, booking, survey)
            if length is not None:
                found.setdefault((booking.tape, booking.extensometer), {})[target.part] = length
    return found


def reduce_booking(
    route: Route, state: State, booking: Booking, survey: str, frame: FrameShift | None = None
) -> Length | None:
    """The corrected length of a booking, of a chord or of the frame; None while figures are missing."""
    figures = booking.figures()
    tape, extensometer = instruments(route, state, booking.target)
    if figures is None or tape is None or extensometer is None:
        return None
    reading = (survey, booking.target)
    if booking.target.is_frame:
        return reduce_frame(figures, tape, extensometer, route.controls[0], route.uncertainty, reading=reading)
    return reduce(figures, tape, extensometer, route.uncertainty, reading=reading, frame=frame)


def survey_readings(survey: Survey, references: dict[Instrument, Sequence[Length]]) -> Iterator[Reading]:
    """The readings of a survey that count, each chord's last one, against the frame's reference lengths."""
    route, state = survey.route, survey.state
    frames = frame_lengths(route, state, survey.id)
    last: dict[tuple[str, str], Booking] = {}
    for target, booking in sorted(state.bookings.items()):
        if target.is_chord and booking.was_read and booking.figures_in:
            last[target.key] = booking
    for booking in last.values():
        instrument = (booking.tape, booking.extensometer)
        parts = frames.get(instrument, {})
        reference = references.get(instrument, ())
        length = reduce_booking(route, state, booking, survey.id, shift(route, parts, reference))
        time = booking.read_at
        if length is not None and time is not None:
            doubt = doubt_of_frame(route, parts, reference)
            yield Reading(booking, length, time, survey.id, survey.label, doubt != "", doubt)


def shift(route: Route, parts: dict[str, Length], reference: Sequence[Length]) -> FrameShift | None:
    """What the frame says the instrument has shifted by, where the route takes it off and it can be told."""
    if not route.controls or not route.controls[0].correct or not parts or not reference:
        return None
    return frame_shift(parts.get("start"), parts.get("end"), reference)


def doubt_of_frame(route: Route, parts: dict[str, Length], reference: Sequence[Length]) -> str:
    """Why the control frame puts a survey in doubt, or an empty string."""
    if not route.controls or not reference:
        return ""
    for part, length in parts.items():
        verdict = frame_verdict(length, reference, route.controls[0].limit, route.coverage_factor)
        if verdict.over_limit:
            return f"control frame beyond its limit at the {part}"
    return ""
