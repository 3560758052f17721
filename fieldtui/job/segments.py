"""One chord's readings as segments, each from its own baseline, movement carried from one to the next.

A segment is the readings with one tape and one extensometer. Its baseline is the mean of its first
`baseline_sets` readings that are not doubtful. Movement up to its first reading is carried in as an offset: the last
cumulative value before it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from decimal import Decimal

from fieldtui.reduction import ChordGround, Past, Segment, since_baseline


def chord_ground(readings: Iterable[Past], baseline_sets: int) -> ChordGround:
    """Readings in any order, one chord's, to its segments in order of their first reading."""
    by_instrument: dict[tuple[str, str], list[Past]] = {}
    for past in sorted(readings, key=lambda past: past.time):
        by_instrument.setdefault((past.length.tape, past.length.extensometer), []).append(past)
    made: list[Segment] = []
    for (tape, extensometer), own in by_instrument.items():
        offset, offset_u = _carried(made, own[0])
        baseline = tuple(past for past in own if not past.doubtful)[:baseline_sets]
        made.append(Segment(tape, extensometer, baseline, tuple(own), offset, offset_u))
    return ChordGround(tuple(made))


def _carried(earlier: Iterable[Segment], first: Past) -> tuple[Decimal, float]:
    """Movement up to `first` as the segments before it tell it, and its standard uncertainty."""
    before = [
        (past, segment)
        for segment in earlier
        for past in segment.readings
        if past.time <= first.time and not past.doubtful and segment.baseline
    ]
    if not before:
        return Decimal(0), 0.0
    past, segment = max(before, key=lambda pair: pair[0].time)
    moved = since_baseline(past.length, [one.length for one in segment.baseline])
    return segment.offset + moved.value, math.hypot(segment.offset_u, moved.u)
