"""Lengths taken over from a spreadsheet: a value and its uncertainty, with no figures of an instrument behind them."""

from __future__ import annotations

from collections.abc import Hashable
from decimal import Decimal
from math import hypot, sqrt

from fieldtui.reduction import Figures, Length, Repeats, Source
from fieldtui.route import Route
from fieldtui.survey import Booking, number

EARLIER_LENGTHS = "earlier lengths"
"""What stands for the tape where none is stated; such lengths are a segment of their own."""
_PLANNED = 3


def earlier_length(route: Route, booking: Booking, reading: Hashable) -> Length:
    """The length as it was taken over, small units. Where no uncertainty was stated, an ordinary reading's is taken."""
    value = number(booking.slots["length"].typed)
    stated = booking.slots.get("uncertainty")
    u = float(number(stated.typed)) if stated is not None else _ordinary(route, float(value))
    nothing, at_rest = Decimal(0), route.tapes[0].reference_temperature
    return Length(
        figures=Figures(0, (), at_rest),
        tape=booking.tape or EARLIER_LENGTHS,
        extensometer=booking.extensometer,
        hole_distance=nothing,
        dial=nothing,
        dial_sign=1,
        raw=value,
        temperature_correction=nothing,
        frame_correction=nothing,
        value=value,
        repeats=Repeats(1, nothing, None, None, (), False, nothing, "mean"),
        sources=(Source("earlier length", ("earlier length", reading), u),),
    )


def instrument_words(tape: str, extensometer: str) -> str:
    """With what the readings of a segment were taken; lengths taken over name no extensometer, and mostly no tape."""
    if extensometer:
        return f"tape {tape}, extensometer {extensometer}"
    return "lengths taken over" if tape == EARLIER_LENGTHS else f"lengths taken over of tape {tape}"


def _ordinary(route: Route, length: float) -> float:
    """Standard uncertainty of one reading of three repeats with the route's first tape and extensometer."""
    tape, extensometer, states = route.tapes[0], route.extensometers[0], route.uncertainty
    warmth = float(tape.expansion) * length * float(states.temperature)
    repeats = float(extensometer.repeatability) / sqrt(_PLANNED)
    return hypot(repeats, float(states.reproducibility), float(states.hole), warmth)
