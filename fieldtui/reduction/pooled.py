"""Repeatability as it really was: the spread of repeats about their own means, pooled over many readings.

    dial figures, reading by reading ── pooled ──► Pooled: s, degrees of freedom, its 95 % interval

s^2 = sum (n - 1) s_i^2 / sum (n - 1) [ISO 5725-2, pooling of within-cell variances]. The interval is that of a variance
of normal errors, by the chi-squared distribution; its quantiles by Wilson and Hilferty (1931), good to 1 % of s from
eight degrees of freedom on (held against scipy in tests/published).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from math import fsum, sqrt
from typing import Literal

from msgspec import Struct

Z_975 = 1.959964
LEAST_DEGREES = 8
"""With fewer nothing is said: the interval would be wider than any use."""


class Pooled(Struct, frozen=True):
    """`s` is the standard deviation of one repeat, small units, from so many readings."""

    s: float
    degrees: int
    readings: int

    @property
    def low(self) -> float:
        """Lower end of the 95 % interval of the true value."""
        return self.s * sqrt(self.degrees / chi_squared(self.degrees, Z_975))

    @property
    def high(self) -> float:
        """Upper end of it; infinite where there are next to no degrees of freedom."""
        least = chi_squared(self.degrees, -Z_975)
        return self.s * sqrt(self.degrees / least) if least > 0 else float("inf")

    def against(self, stated: Decimal) -> Literal["as stated", "larger than stated", "smaller than stated", "too few"]:
        """How it stands to what is stated."""
        if self.degrees < LEAST_DEGREES:
            return "too few"
        if self.low > float(stated):
            return "larger than stated"
        return "smaller than stated" if self.high < float(stated) else "as stated"


def pooled(readings: Iterable[Sequence[Decimal]]) -> Pooled | None:
    """Pooled over the repeats of each reading; None where none has two."""
    squares, degrees, count = [], 0, 0
    for dials in readings:
        if len(dials) < 2:
            continue
        mean = fsum(map(float, dials)) / len(dials)
        squares += [(float(dial) - mean) ** 2 for dial in dials]
        degrees += len(dials) - 1
        count += 1
    return Pooled(sqrt(fsum(squares) / degrees), degrees, count) if degrees else None


def chi_squared(degrees: int, z: float) -> float:
    """The quantile of chi-squared where the normal distribution has z (Wilson and Hilferty 1931)."""
    part = 2 / (9 * degrees)
    return float(degrees * max(0.0, 1 - part + z * sqrt(part)) ** 3)
