"""Baselines declared anew: where movement is counted from since, and what a chord's ground is from then on.

An epoch's zero is the mean cumulative movement of its own sets: the first readings at or after its time, of the
segment that was read first. Movement since the epoch is the cumulative movement less that zero, for every segment.
Where the epoch restarts the count, that is what levels are held against; else it is shown besides.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.job.carried import CarriedSegment
from fieldtui.job.declared import Epoch
from fieldtui.reduction import Past, Quantity, Segment, combine
from fieldtui.reduction.sources import OFFSET

_NIL = Quantity(combine([]).value, ())


class Zero(Struct, frozen=True):
    """Where an epoch counts from: its sets so far, the segment they are of, and their mean cumulative movement."""

    sets: tuple[Past, ...]
    segment: CarriedSegment
    value: Quantity

    def since(self, moved: Quantity) -> Quantity:
        """Movement since the epoch from the movement since the first baseline."""
        return combine([(1, moved), (-1, self.value)])


def zero_of(epoch: Epoch, segments: Sequence[CarriedSegment], sets: int) -> Zero | None:
    """An epoch's zero; None while it has no reading that is not doubtful."""
    after = [
        (past.time, one.number) for one in segments if one.baseline for past in one.good if past.time >= epoch.since
    ]
    if not after:
        return None
    segment = segments[min(after)[1] - 1]
    own = tuple(past for past in segment.good if past.time >= epoch.since)[:sets]
    share = Fraction(1, len(own))
    moved = [moved for past in own if (moved := segment.moved(past.length)) is not None]
    return Zero(own, segment, combine([(share, one) for one in moved]))


def grounded(segment: CarriedSegment, restart: Epoch | None, zero: Zero | None, *, ended: bool) -> Segment:
    """A segment as a survey needs it, counted from the newest epoch that restarts the count, where there is one."""
    baseline, offset = segment.baseline, segment.offset.value if segment.offset is not None else _NIL
    if restart is not None and zero is None:
        baseline, offset = (), _NIL
    elif zero is not None and segment.number == zero.segment.number:
        baseline, offset = zero.sets, _NIL
    elif zero is not None:
        offset = zero.since(offset)
    sources = tuple(replace(source, name=OFFSET) for source in offset.sources)
    own = (segment.tape, segment.extensometer, baseline, segment.readings)
    return Segment(*own, offset.value, Quantity(offset.value, sources).u, sources, ended)
