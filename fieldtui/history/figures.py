"""Changes, rates and levels of many readings at once: plain arrays, in any order, sorted once.

    Lengths (arrays) ── moved ──► Moved: change, since baseline, rate, each with its uncertainty

It is what `reduction` says of one reading, for a million: a change is counted from the newest earlier reading of the
segment that counts and is of another survey; a rate from the newest that is at least so much older; since the
baseline from the mean of its sets. A punched hole read twice cancels, the tape's steel counts with the difference of
its effects, everything else is each reading's own. Of a baseline of several sets the hole is taken to be that of the
first. Small units, days, negative is closing.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
_DAY = 86_400_000_000
BELOW, CANNOT_TELL, ABOVE = 0, 1, 2


class Lengths(Struct, frozen=True):
    """One reading in each place. `segment` are whole numbers, one for each segment of each chord, from 0."""

    segment: Ints
    time: Ints
    """Microseconds."""
    survey: Ints
    length: Floats
    counts: Bools
    baseline: Bools
    own_u: Floats
    """Standard uncertainty of what is this reading's own."""
    hole: Ints
    hole_u: Floats
    expansion: Floats
    """Signed effect of the tape's steel."""


class Moved(NamedTuple):
    """NaN where there is nothing to count from."""

    change: Floats
    change_u: Floats
    since_baseline: Floats
    since_baseline_u: Floats
    rate: Floats
    rate_u: Floats


def moved(read: Lengths, over_hours: float) -> Moved:
    """Figures of every reading, in the order given."""
    order = np.lexsort((read.time, read.segment))
    back = np.empty_like(order)
    back[order] = np.arange(len(order))
    one = Lengths(**{name: getattr(read, name)[order] for name in Lengths.__struct_fields__})
    starts = np.searchsorted(one.segment, one.segment)
    last = _before(one, starts)
    change, change_u = _difference(one, last)
    older = _older(one, starts, int(over_hours * 3_600_000_000))
    slope, slope_u = _difference(one, older)
    with np.errstate(divide="ignore", invalid="ignore"):
        days = (one.time - one.time[np.maximum(older, 0)]) / _DAY
    since, since_u = _since_baseline(one)
    made = (change, change_u, since, since_u, slope / days, slope_u / days)
    return Moved(*(figures[back] for figures in made))


def _before(one: Lengths, starts: Ints) -> Ints:
    """Place of the newest earlier reading of the segment that counts and is of another survey; -1 for none."""
    newest = _newest_counting(one)
    found = np.concatenate([[-1], newest[:-1]])
    same = (found >= starts) & (one.survey[np.maximum(found, 0)] == one.survey)
    # of one survey at most one reading of a segment counts: the one before it is of another
    found = np.where(same, np.where(found > 0, newest[np.maximum(found - 1, 0)], -1), found)
    return np.where(found >= starts, found, -1)


def _older(one: Lengths, starts: Ints, over: int) -> Ints:
    """Place of the newest reading of the segment that counts and is at least so much older; -1 for none."""
    newest = _newest_counting(one)
    found = np.full(len(one.time), -1)
    bounds = np.append(np.unique(starts), len(starts))
    for first, end in pairwise(bounds):
        times = one.time[first:end]
        found[first:end] = np.searchsorted(times, times - max(over, 1), side="right") - 1 + first
    reached = np.where(found >= 0, newest[np.maximum(found, 0)], -1)
    reached = np.where((reached >= starts) & (found >= starts), reached, -1)
    same = (reached >= 0) & (one.survey[np.maximum(reached, 0)] == one.survey)
    earlier = np.where(reached > 0, newest[np.maximum(reached - 1, 0)], -1)
    return np.where(same, np.where(earlier >= starts, earlier, -1), reached)


def _newest_counting(one: Lengths) -> Ints:
    """For each place the newest one up to it that counts, of whatever segment; -1 for none."""
    return np.asarray(np.maximum.accumulate(np.where(one.counts, np.arange(len(one.counts)), -1)))


def _difference(one: Lengths, earlier: Ints) -> tuple[Floats, Floats]:
    """Each reading less an earlier one, and the standard uncertainty of that."""
    at = np.maximum(earlier, 0)
    there = earlier >= 0
    variance = one.own_u**2 + one.own_u[at] ** 2 + (one.expansion - one.expansion[at]) ** 2
    variance += np.where(one.hole == one.hole[at], 0.0, one.hole_u**2 + one.hole_u[at] ** 2)
    difference = np.where(there, one.length - one.length[at], np.nan)
    return difference, np.where(there, np.sqrt(variance), np.nan)


def _since_baseline(one: Lengths) -> tuple[Floats, Floats]:
    count = int(one.segment[-1]) + 1 if len(one.segment) else 0
    sets = np.bincount(one.segment, one.baseline, count)
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = np.bincount(one.segment, np.where(one.baseline, one.length, 0.0), count) / sets
        expansion = np.bincount(one.segment, np.where(one.baseline, one.expansion, 0.0), count) / sets
        own = np.bincount(one.segment, np.where(one.baseline, one.own_u**2, 0.0), count) / sets**2
    first = np.full(count, -1)
    places = np.flatnonzero(one.baseline)[::-1]
    first[one.segment[places]] = places
    at = np.maximum(first[one.segment], 0)
    share = sets[one.segment]
    variance = one.own_u**2 + own[one.segment] + (one.expansion - expansion[one.segment]) ** 2
    variance += np.where(one.hole == one.hole[at], 0.0, one.hole_u**2 + one.hole_u[at] ** 2)
    # a set of the baseline shares its own error with the mean
    with np.errstate(divide="ignore", invalid="ignore"):
        variance -= np.where(one.baseline, 2 * one.own_u**2 / share, 0.0)
    return one.length - mean[one.segment], np.sqrt(np.maximum(variance, 0.0))


def level_state(value: Floats, expanded: Floats, limit: float) -> NDArray[np.int8]:
    """Below, cannot tell or above a limit, with the expanded uncertainty; a value that is not there is below.

    `value` is counted positive towards the limit.
    """
    over = value - limit
    with np.errstate(invalid="ignore"):
        told: Any = np.where(over >= expanded, ABOVE, np.where(over < -expanded, BELOW, CANNOT_TELL))
    return np.asarray(np.where(np.isnan(over), BELOW, told), dtype=np.int8)
