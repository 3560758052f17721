"""A segment as the job has it: its readings, its baseline, and what was carried into it with every source of error."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.reduction import Measured, Past, Quantity, combine, since_baseline

CARRIED_BY = {"ties": "readings of both", "last value": "the last value before"}
"""How movement is carried into a segment, in words."""


class Offset(Struct, frozen=True):
    """Movement carried into a segment, small units, negative closing."""

    value: Quantity
    how: Literal["ties", "last value"]
    """By readings of both on one day or in one survey, else the last cumulative value before."""
    pairs: int
    gap_days: float
    """Between the readings that it rests on: what may have moved in it is in the uncertainty, pace x gap."""
    pace: float | None
    """Small units a day before the change; None where it is not known, and then the gap is not in the uncertainty."""
    since: int
    """The number of the segment that it is carried from."""

    @property
    def nil(self) -> bool:
        """Whether there was no movement yet to be carried: before it the chord was read once."""
        return self.value.value == 0 and self.value.u == 0


class CarriedSegment(Struct, frozen=True):
    """One chord's readings with one tape, extensometer and set of anchors; `number` counts from 1."""

    number: int
    tape: str
    extensometer: str
    generation: int
    baseline: tuple[Past, ...]
    readings: tuple[Past, ...]
    offset: Offset | None = None
    """None for the first segment, and where nothing was read before that could be carried."""

    @property
    def thing(self) -> tuple[str, str, int]:
        return (self.tape, self.extensometer, self.generation)

    @property
    def good(self) -> tuple[Past, ...]:
        """Its readings that are not doubtful."""
        return tuple(past for past in self.readings if not past.doubtful)

    def with_offset(self, offset: Offset | None) -> CarriedSegment:
        return replace(self, offset=offset)

    def moved(self, length: Measured) -> Quantity | None:
        """Movement since the first baseline of the chord, carried over the segments; None where nothing is known of it.

        A reading of the baseline itself has what is left of it against the mean of the sets. In a segment of doubtful
        readings alone, which has no baseline, each has what was carried in, as it would if it were the baseline: a
        level that was reached before a change of tape is not silenced by a doubt.
        """
        if not self.baseline:
            return None if self.offset is None or self.offset.nil else self.offset.value
        within = since_baseline(length, [past.length for past in self.baseline])
        return within if self.offset is None else combine([(1, within), (1, self.offset.value)])
