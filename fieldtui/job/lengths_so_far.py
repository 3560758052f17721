"""What a walk's bookings come to so far: the frame's shift with each instrument, and the lengths of the chords."""

from __future__ import annotations

from fieldtui.job.proof import Held, Instrument
from fieldtui.job.readings import frame_lengths, reduce_booking, shift
from fieldtui.reduction import FrameShift, Ground, Length
from fieldtui.route import Route
from fieldtui.survey import Booking, State, Target


def held_against(ground: Ground, instrument: Instrument) -> Held:
    """What the frame is held against: the first survey that read it with these two, and the chart of all before."""
    pasts = ground.frames.get(instrument, ())
    reference = tuple(past.length for past in pasts if past.survey == pasts[0].survey)
    return Held(reference, ground.charts.get(instrument))


def shift_so_far(route: Route, state: State, survey: str, ground: Ground, instrument: Instrument) -> FrameShift | None:
    """The frame's shift so far in a survey with one instrument, where the route takes it off; else None."""
    if not route.controls or not route.controls[0].correct:
        return None
    parts = frame_lengths(route, state, survey).get(instrument, {})
    return shift(route, parts, held_against(ground, instrument).reference)


def chord_lengths(route: Route, state: State, survey: str, ground: Ground) -> dict[Target, tuple[Booking, Length]]:
    """The complete bookings of chords, as they stand, and their lengths."""
    found: dict[Target, tuple[Booking, Length]] = {}
    for target, booking in state.bookings.items():
        if target.is_chord and booking.figures_in and (booking.was_read or not booking.outcome):
            frame = shift_so_far(route, state, survey, ground, (booking.tape, booking.extensometer))
            length = reduce_booking(route, booking, survey, frame)
            if length is not None:
                found[target] = (booking, length)
    return found
