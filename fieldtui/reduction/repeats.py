"""Do the repeats of one reading agree, and what is their value.

The range of the repeats is held against the critical range f(n) x s_r, s_r being the extensometer's repeatability.
One clean set of three in twenty fails: that is a request for another repeat, not a doubt.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from math import sqrt
from types import MappingProxyType
from typing import Literal

from msgspec import Struct

from fieldtui.reduction.exact import EXACT, mean, median

CRITICAL_RANGE_FACTOR: Mapping[int, Decimal] = MappingProxyType(
    {2: Decimal("2.772"), 3: Decimal("3.314"), 4: Decimal("3.633"), 5: Decimal("3.858")}
)
"""f(n), 95 %: ISO 5725-6; the quantiles of the studentized range with known standard deviation."""

MEDIAN_VARIANCE: Mapping[int, float] = MappingProxyType({1: 1.0, 2: 1 / 2, 3: 0.448671, 4: 0.298155, 5: 0.286834})
"""Variance of the median of n normal values of variance 1, from the density of the middle order statistics
(1 - sqrt(3)/pi for three): the median of five is as good as the mean of 3.5."""

MOST_REPEATS = 5


class Repeats(Struct, frozen=True):
    """The verdict over one reading's dial figures; small units."""

    n: int
    range: Decimal
    critical_range: Decimal | None
    """None for a single figure."""
    agree: bool | None
    """None for a single figure: there is nothing to compare."""
    dials: tuple[Decimal, ...]
    wanted: bool
    """Another repeat should be taken: they do not agree and there are fewer than five."""
    value: Decimal
    centre: Literal["mean", "median"]

    @property
    def odd(self) -> int | None:
        """Index of the figure farthest from the median, where three or more do not agree."""
        return _odd_one(self.dials) if self.agree is False else None


def judge_repeats(dials: Sequence[Decimal], repeatability: Decimal) -> Repeats:
    """Judge one to five dial figures, small units. `ValueError` for none or more than five.

    The value is the mean where the figures agree, and the median where they do not: at five figures because no more
    are asked for, and with fewer if the surveyor goes on regardless, so that one wild figure does not draw the value
    along. (Of two figures the median is their mean.) Rule: ISO 5725-6; that it too ends at the median is from memory.

    f(n) is for a repeatability that is well known. A finite number of degrees of freedom would make it larger (3.58
    for three figures and 20 degrees); a route does not state them, so they are left out, and slightly more sets are
    asked to be repeated.
    """
    n = len(dials)
    if not 1 <= n <= MOST_REPEATS:
        raise ValueError(f"one to {MOST_REPEATS} repeats can be judged, not {n}")
    if n == 1:
        return Repeats(1, Decimal(0), None, None, tuple(dials), False, dials[0], "mean")
    spread = EXACT.subtract(max(dials), min(dials))
    critical = EXACT.multiply(CRITICAL_RANGE_FACTOR[n], repeatability)
    if spread <= critical:
        return Repeats(n, spread, critical, True, tuple(dials), False, mean(dials), "mean")
    return Repeats(n, spread, critical, False, tuple(dials), n < MOST_REPEATS, median(dials), "median")


def _odd_one(dials: Sequence[Decimal]) -> int | None:
    """The figure farthest from the median; None where two are equally far, since neither can be named."""
    middle = median(dials)
    away = [abs(dial - middle) for dial in dials]
    farthest = max(away)
    return away.index(farthest) if away.count(farthest) == 1 else None


def repeatability_of_value(repeats: Repeats, repeatability: Decimal, dial_resolution: Decimal) -> float:
    """Standard uncertainty of the value of the repeats, small units.

    s_r / sqrt(n) for the mean, times the median's loss where the median was taken, and never less than the dial's
    resolution / sqrt(12), which does not shrink with repeats that all show the same digit (JCGM 100 F.2.2.1). Two
    figures that do not agree leave open which of them is wrong: at least half their range.
    """
    s_r = float(repeatability)
    if repeats.centre == "mean":
        scatter = s_r / sqrt(repeats.n)
    else:
        scatter = s_r * sqrt(MEDIAN_VARIANCE[repeats.n])
        if repeats.n == 2:
            scatter = max(scatter, float(repeats.range) / 2)
    return max(scatter, float(dial_resolution) / sqrt(12))
