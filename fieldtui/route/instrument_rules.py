"""Rules for tapes, extensometers and control frames: what cannot be true of steel, dials and holes."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from fieldtui.route.draft import ExtensometerDraft, RouteDraft, TapeDraft
from fieldtui.route.problem import KeyPath, Mistake
from fieldtui.route.units import SYSTEMS

MOST_EXPANSION = {"degC": Decimal("30e-6"), "degF": Decimal("17e-6")}
"""A degree: above every steel and brass tape (*common practice*; tape steel is 11.6e-6 per degC)."""


def instrument_mistakes(draft: RouteDraft) -> Iterator[Mistake]:
    """Mistakes in tapes, extensometers and control frames."""
    for place, tape in enumerate(draft.tape):
        at: KeyPath = ("tape", place)
        yield from _expansion((*at, "expansion"), tape.expansion, draft.units)
        yield from _expansion((*at, "expansion_uncertainty"), tape.expansion_uncertainty, draft.units)
        yield from _degree((*at, "reference_temperature"), tape.reference_temperature, draft.units)
    for place, frame in enumerate(draft.control):
        yield from _expansion(("control", place, "expansion"), frame.expansion, draft.units)
        yield from _degree(("control", place, "reference_temperature"), frame.reference_temperature, draft.units)
    for place, extensometer in enumerate(draft.extensometer):
        yield from _dial(("extensometer", place), extensometer, draft.tape)


def _expansion(at: KeyPath, value: Decimal | None, units: str | None) -> Iterator[Mistake]:
    if value is None or units is None:
        return
    degree = SYSTEMS[units].degree
    most = MOST_EXPANSION[degree]
    if not 0 <= value <= most:
        what = f"cannot be {_millionths(value)} per {degree}; steel lies between 0 and {_millionths(most)}"
        yield Mistake(at, what, f"look at the power of ten and at the unit, per {degree}")


def _millionths(value: Decimal) -> str:
    return f"{(value * 10**6).normalize():f}e-6" if value else "0"


def _degree(at: KeyPath, value: Decimal | None, units: str | None) -> Iterator[Mistake]:
    if value is None or units is None:
        return
    known = SYSTEMS[units]
    lowest, highest = known.temperature_range
    if not lowest <= value <= highest:
        yield Mistake(at, f"cannot be {value} {known.degree}", f"give it between {lowest} and {highest}")


def _dial(at: KeyPath, extensometer: ExtensometerDraft, tapes: list[TapeDraft]) -> Iterator[Mistake]:
    if extensometer.dial_range is None:
        return
    low, high = extensometer.dial_range
    pitches = [tape.pitch for tape in tapes if tape.pitch is not None]
    if pitches and high - low < max(pitches):
        what = f"is {high - low} long, shorter than the tape's pitch of {max(pitches)}: some lengths cannot be read"
        yield Mistake((*at, "dial_range"), what, "correct the range or the pitch")
    if extensometer.dial_resolution is not None and extensometer.dial_resolution >= high - low:
        what = f"is {extensometer.dial_resolution}, not finer than the whole dial"
        yield Mistake((*at, "dial_resolution"), what, "give the smallest step that the dial shows")
