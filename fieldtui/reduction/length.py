"""One reading to a length: hole distance + dial + temperature correction + frame correction, with its budget.

    Figures ── reduce(tape, extensometer, uncertainties, frame shift) ──► Length: value and sources

All lengths in the route's small unit, temperatures in its degree. Values are `Decimal`; uncertainties are `float`,
standard (k = 1).
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from decimal import Decimal, localcontext
from typing import TYPE_CHECKING

from msgspec import Struct

from fieldtui.reduction import sources as names
from fieldtui.reduction.exact import EXACT
from fieldtui.reduction.repeats import Repeats, judge_repeats, repeatability_of_value
from fieldtui.reduction.sources import Source, merged, standard_uncertainty, terms
from fieldtui.route.model import Extensometer, Tape, Uncertainty

if TYPE_CHECKING:
    from fieldtui.reduction.frame import FrameShift


class Figures(Struct, frozen=True):
    """What was booked at one chord, parsed: hole number, dial figures (small units), tape temperature (degree)."""

    hole: int
    dials: tuple[Decimal, ...]
    temperature: Decimal


class Length(Struct, frozen=True):
    """One corrected length with every step that led to it and every source of its error. Small units."""

    figures: Figures
    tape: str
    extensometer: str
    hole_distance: Decimal
    dial: Decimal
    """Mean or median of the dial figures, as `repeats` says."""
    dial_sign: int
    """+1 where the dial adds, -1 where it subtracts."""
    raw: Decimal
    temperature_correction: Decimal
    frame_correction: Decimal
    """Of a chord: minus the shift of the control frame, where the route asks for it. Of a control frame: minus the
    frame's own expansion."""
    value: Decimal
    repeats: Repeats
    sources: tuple[Source, ...]

    @property
    def u(self) -> float:
        """Combined standard uncertainty, small units."""
        return standard_uncertainty(self.sources)

    @property
    def terms(self) -> Mapping[str, float]:
        """The budget by name: standard uncertainties, small units."""
        return terms(self.sources)


def reduce(
    figures: Figures,
    tape: Tape,
    extensometer: Extensometer,
    uncertainty: Uncertainty,
    *,
    reading: Hashable,
    frame: FrameShift | None = None,
) -> Length:
    """The corrected length of one reading.

    `reading` is the identity of this reading: two calls with the same one share its errors. `frame` is given only
    where the route has the control frame's change taken off (`correct = true`).
    `KeyError` if the tape has no such hole, `ValueError` for no dial figures or more than five.

    temperature correction = expansion x raw x (T - Tref), added, since a warm tape is long and reads short (surveying
    texts; check values in tests/published). The frame's shift is an additive correction: right for an error of zero
    or hook. A stretched tape would need a factor, which is not made.
    """
    repeats = judge_repeats(figures.dials, extensometer.repeatability)
    sign = 1 if extensometer.dial == "adds" else -1
    with localcontext(EXACT):
        distance = tape.hole_distance(figures.hole)
        raw = distance + sign * repeats.value
        off_reference = figures.temperature - tape.reference_temperature
        temperature_correction = tape.expansion * raw * off_reference
        frame_correction = -frame.value if frame else Decimal(0)
        value = raw + temperature_correction + frame_correction
    scatter = repeatability_of_value(repeats, extensometer.repeatability, extensometer.dial_resolution)
    own = _budget(figures.hole, raw, off_reference, scatter, tape, uncertainty, reading)
    return Length(
        figures=figures,
        tape=tape.serial,
        extensometer=extensometer.serial,
        hole_distance=distance,
        dial=repeats.value,
        dial_sign=sign,
        raw=raw,
        temperature_correction=temperature_correction,
        frame_correction=frame_correction,
        value=value,
        repeats=repeats,
        sources=merged([(1, own), (-1, frame.sources)]) if frame else own,
    )


def _budget(
    hole: int,
    raw: Decimal,
    off_reference: Decimal,
    scatter: float,
    tape: Tape,
    uncertainty: Uncertainty,
    reading: Hashable,
) -> tuple[Source, ...]:
    """The sources of error of one reading; JCGM 100 5.1.2.

    The hole belongs to the tape and the expansion to the tape's steel: the same in every reading that uses them. The
    rest is this reading's own. The second order term (JCGM 100 5.1.2, note) is the product of this reading's error of
    temperature with the steel's: products with different temperatures are uncorrelated, so it too is its own.
    The sensitivity to hole and dial is 1 + expansion x (T - Tref), less than 0.001 from 1, and taken as 1.
    """
    length = float(raw)
    alpha, u_alpha = float(tape.expansion), float(tape.expansion_uncertainty)
    u_temperature = float(uncertainty.temperature)
    return (
        Source(names.REPEATABILITY, (names.REPEATABILITY, reading), scatter),
        Source(names.REPRODUCIBILITY, (names.REPRODUCIBILITY, reading), float(uncertainty.reproducibility)),
        Source(names.HOLE, (names.HOLE, tape.serial, hole), float(uncertainty.hole)),
        Source(names.TEMPERATURE, (names.TEMPERATURE, reading), alpha * length * u_temperature),
        Source(names.EXPANSION, (names.EXPANSION, tape.serial), length * float(off_reference) * u_alpha),
        Source(names.SECOND_ORDER, (names.SECOND_ORDER, reading), length * u_temperature * u_alpha),
    )
