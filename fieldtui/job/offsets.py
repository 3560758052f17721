"""What is carried into a segment: movement up to its beginning, as the segments before it tell it.

    ties         the old and the new were both read on one day, or in one survey: the two agree there
    last value   else: the last cumulative value before, and what may have moved in the gap in its uncertainty

Either way the value carries the sources of error of every reading it rests on. What a later reading shares with them
(the tape's steel, a reading of the baseline) is counted once. In the gap a chord may have moved pace x gap, which is
added as a source of its own; between the two readings of a tie as well.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from fractions import Fraction

from msgspec.structs import replace

from fieldtui.job.carried import CarriedSegment, Offset
from fieldtui.job.pace import days, pace
from fieldtui.job.rules import Rules
from fieldtui.reduction import Past, Quantity, Source, combine, since_baseline
from fieldtui.reduction.sources import OFFSET


def offset_of(segment: CarriedSegment, earlier: Sequence[CarriedSegment], rules: Rules) -> Offset | None:
    """What is carried into a segment from those that began before it; None where there is nothing to carry."""
    known = [one for one in earlier if one.baseline]
    if not known:
        return None
    tied = [offset for one in known if (offset := _tied(segment, one, rules)) is not None]
    if tied:
        return min(tied, key=lambda offset: (offset.value.u, offset.since))
    return _last_value(segment, known, rules)


def _tied(segment: CarriedSegment, old: CarriedSegment, rules: Rules) -> Offset | None:
    """The offset at which the mean of the new readings agrees with that of the old ones, over all pairs."""
    pairs = list(_pairs(segment, old, rules)) if segment.baseline else []
    if not pairs:
        return None
    share = Fraction(1, len(pairs))
    baseline = [past.length for past in segment.baseline]
    differing = []
    for before, after in pairs:
        moved = old.moved(before.length)
        if moved is None:
            return None
        differing += [(share, moved), (-share, since_baseline(after.length, baseline))]
    gap = sum(days(after.time - before.time) for before, after in pairs) / len(pairs)
    first = min(before.time for before, _ in pairs)
    moving = _pace(old, first, rules)
    value = _with_gap(combine(differing), segment, (moving or 0.0) * gap)
    return Offset(value, "ties", len(pairs), gap, moving, old.number)


def _pairs(segment: CarriedSegment, old: CarriedSegment, rules: Rules) -> Iterator[tuple[Past, Past]]:
    """Readings of both on one day or in one survey, each used once, the nearest in time first."""
    days_of_old: dict[object, list[Past]] = {}
    for past in old.good:
        days_of_old.setdefault(rules.day(past.time), []).append(past)
        days_of_old.setdefault(past.survey, []).append(past)
    near = {
        (abs(after.time - before.time), before.time, after.time): (before, after)
        for after in segment.good
        for before in (*days_of_old.get(rules.day(after.time), ()), *days_of_old.get(after.survey, ()))
    }
    used: set[tuple[bool, datetime]] = set()
    for _, before_time, after_time in sorted(near):
        if (False, before_time) not in used and (True, after_time) not in used:
            used |= {(False, before_time), (True, after_time)}
            yield near[(abs(after_time - before_time), before_time, after_time)]


def _last_value(segment: CarriedSegment, known: Sequence[CarriedSegment], rules: Rules) -> Offset | None:
    """The newest cumulative value before the segment's first reading that is not doubtful."""
    first = (segment.good or segment.readings)[0].time
    before = [(past, one) for one in known for past in one.good if past.time <= first]
    if not before:
        return None
    last, old = max(before, key=lambda pair: (pair[0].time, -pair[1].number))
    moved = old.moved(last.length)
    if moved is None:
        return None
    gap = days(_begun(segment, first) - last.time)
    moving = _pace(old, last.time, rules)
    value = _with_gap(combine([(1, moved)]), segment, (moving or 0.0) * gap)
    return Offset(value, "last value", 0, gap, moving, old.number)


def _begun(segment: CarriedSegment, first: datetime) -> datetime:
    """The mean time of the baseline's sets: what moved between them is lost in their mean."""
    if not segment.baseline:
        return first
    later = sum(((past.time - first) for past in segment.baseline), timedelta()) / len(segment.baseline)
    return first + later


def _pace(old: CarriedSegment, at: datetime, rules: Rules) -> float | None:
    """How fast it was moving; where the old segment has a single reading, as fast as when that one began."""
    known = [(past.time, past.length) for past in old.good if past.time <= at]
    found = pace(known, rules.rate_over_hours)
    return old.offset.pace if found is None and old.offset is not None else found


def _with_gap(value: Quantity, segment: CarriedSegment, moving: float) -> Quantity:
    """An offset's sources go by its name; their keys stay, so that what is shared cancels."""
    own = tuple(replace(source, name=OFFSET) for source in value.sources)
    # no other segment of any chord has this first reading
    gap = Source(OFFSET, (OFFSET, "gap", segment.readings[0].length.sources[0].key), moving)
    return Quantity(value.value, (*own, gap) if moving else own)
