"""The control frame: proof of the instrument, and where the route asks for it, a correction.

    reduce_frame   one reading of the frame to a length at the frame's reference temperature
    frame_shift    the survey's frame (mean of start and end) minus the reference set: taken off every length
    frame_verdict  has the frame's length changed by more than its limit

A shift carries the keys of the frame's own readings. All chords of a survey that are corrected by it share those
errors, and the reference set's cancel in a change.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from decimal import Decimal, localcontext
from fractions import Fraction
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.reduction import sources as names
from fieldtui.reduction.combine import Quantity, combine, since_baseline
from fieldtui.reduction.exact import EXACT
from fieldtui.reduction.length import Figures, Length, reduce
from fieldtui.reduction.sources import Source, merged, standard_uncertainty
from fieldtui.route.model import Control, Extensometer, Tape, Uncertainty

_OF_THE_TAPE = (names.HOLE, names.EXPANSION)


class FrameShift(Struct, frozen=True):
    """F_survey - F_ref, small units, with its sources of error."""

    value: Decimal
    sources: tuple[Source, ...]

    @property
    def u(self) -> float:
        """Combined standard uncertainty, small units."""
        return standard_uncertainty(self.sources)


class FrameVerdict(Struct, frozen=True):
    """The frame now against its reference; small units."""

    difference: Quantity
    limit: Decimal
    expanded: float
    state: Literal["within", "cannot tell", "beyond"]
    over_limit: bool
    """The difference itself, its uncertainty left aside, is larger than the limit."""


def reduce_frame(
    figures: Figures,
    tape: Tape,
    extensometer: Extensometer,
    control: Control,
    uncertainty: Uncertainty,
    *,
    reading: Hashable,
) -> Length:
    """The frame's length at its own reference temperature. Errors as for `reduce`.

    The tape is corrected first, then the frame's own expansion, expansion x F x (T - Tref), is taken off, T being the
    tape's temperature. Both hang on one thermometer: with tape and frame of one steel its error cancels. The frame's
    expansion is taken as known.
    """
    taped = reduce(figures, tape, extensometer, uncertainty, reading=reading)
    with localcontext(EXACT):
        own = control.expansion * taped.value * (figures.temperature - control.reference_temperature)
        value = taped.value - own
    effect = -float(control.expansion) * float(taped.value) * float(uncertainty.temperature)
    thermometer = Source(names.TEMPERATURE, (names.TEMPERATURE, reading), effect)
    sources = merged([(1, taped.sources), (1, (thermometer,))])
    return replace(taped, frame_correction=own.copy_negate(), value=value, sources=sources)


def frame_shift(start: Length | None, end: Length | None, reference: Sequence[Length]) -> FrameShift | None:
    """The survey's frame, the mean of those of start and end that were read, minus the mean of the reference set.

    None where the survey has no frame or there is no reference to hold it against. In the survey that gives the
    reference, the shift is what is left of its own readings, nil for a single one.
    """
    read = [length for length in (start, end) if length is not None]
    if not read or not reference:
        return None
    shift = combine(
        [(Fraction(1, len(read)), length) for length in read]
        + [(Fraction(-1, len(reference)), length) for length in reference]
    )
    return FrameShift(shift.value, tuple(_of_the_frame(source) for source in shift.sources))


def _of_the_frame(source: Source) -> Source:
    """Errors of the frame's readings go by the frame's name; holes and steel keep theirs, the chords share them."""
    return source if source.name in _OF_THE_TAPE else replace(source, name=names.FRAME)


def frame_verdict(now: Length, reference: Sequence[Length], limit: Decimal, coverage: Decimal) -> FrameVerdict:
    """Whether the frame has changed by more than its limit, small units. `ValueError` without a reference.

    Within and beyond are said only where the expanded uncertainty leaves no doubt. A difference of just the limit is
    not beyond it. `over_limit` is the plain comparison.
    """
    difference = since_baseline(now, reference)
    expanded = float(coverage) * difference.u
    with localcontext(EXACT):
        over = float(abs(difference.value) - limit)
    state: Literal["within", "cannot tell", "beyond"]
    state = "within" if over <= -expanded else "beyond" if over > expanded else "cannot tell"
    return FrameVerdict(difference, limit, expanded, state, over > 0)
