"""Lengths taken together: changes, means, rates. Equal keys are one error, so correlations come out by themselves.

    Length, Length, …  ── combine(weights) ──► Quantity: value, sources, u, terms
                        change, since_baseline, rate: the sums the trade asks for

A change is later minus earlier: **negative is closing**. Lengths of different tapes or extensometers may be combined;
what they do not share then does not cancel.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import cached_property
from math import lcm
from typing import Protocol

from msgspec import Struct

from fieldtui.reduction.exact import EXACT
from fieldtui.reduction.length import Length
from fieldtui.reduction.sources import Source, difference, merged, standard_uncertainty, terms

Weight = Decimal | int | Fraction


class Measured(Protocol):
    """A value with its sources of error: a `Length`, a `Quantity`, a `FrameShift`."""

    @property
    def value(self) -> Decimal: ...

    @property
    def sources(self) -> tuple[Source, ...]: ...


class Quantity(Struct, frozen=True, dict=True):
    """A value worked out from lengths. It can be combined again, and nothing of the correlations is lost."""

    value: Decimal
    sources: tuple[Source, ...]

    @cached_property
    def u(self) -> float:
        """Combined standard uncertainty, in the value's unit."""
        return standard_uncertainty(self.sources)

    @property
    def terms(self) -> Mapping[str, float]:
        """The budget by name: standard uncertainties, in the value's unit."""
        return terms(self.sources)


class Rate(Struct, frozen=True):
    """Small units per day, negative closing: the slope from the reading at `since`."""

    value: Decimal
    sources: tuple[Source, ...]
    since: datetime
    hours: Decimal

    @property
    def u(self) -> float:
        """Standard uncertainty of the slope, small units per day."""
        return standard_uncertainty(self.sources)


def combine(parts: Sequence[tuple[Weight, Measured]]) -> Quantity:
    """The sum of weight x value. Exact, but for one division by the weights' common denominator (40 digits)."""
    plain = [(weight, measured) for weight, measured in parts if isinstance(weight, int)]
    if len(plain) == len(parts):  # as most are, and quick to add up
        with localcontext(EXACT):
            value = sum((measured.value * weight for weight, measured in plain), Decimal(0))
        return Quantity(value, merged((weight, measured.sources) for weight, measured in plain))
    weighted = [(Fraction(weight), measured) for weight, measured in parts]
    whole = lcm(*(weight.denominator for weight, _ in weighted))
    with localcontext(EXACT):
        total = Decimal(0)
        for weight, measured in weighted:
            total += measured.value * (weight.numerator * (whole // weight.denominator))
        value = total if whole == 1 else total / whole
    return Quantity(value, merged((weight, measured.sources) for weight, measured in weighted))


def change(later: Measured, earlier: Measured) -> Quantity:
    """Later minus earlier, small units; negative is closing.

    With one tape and extensometer, u^2 = s_r^2 (1/n1 + 1/n2) + 2 u_reproducibility^2 + [2 u_hole^2, unless the hole is
    the same] + 2 (alpha L)^2 u_T^2 + (L (T2 - T1) u_alpha)^2. The second order term, 2 (L u_T u_alpha)^2, is kept as
    well. On steel it is far below the rest, but without it a change at one temperature would owe nothing to a steel
    that is not known. A constant error of the thermometer cancels and is not in u_T.
    """
    return Quantity(EXACT.subtract(later.value, earlier.value), difference(later.sources, earlier.sources))


def since_baseline(later: Measured, baseline: Sequence[Measured]) -> Quantity:
    """Later minus the mean of the baseline's sets. `later` may be one of them: what it shares with itself cancels.

    `ValueError` without any set.
    """
    if not baseline:
        raise ValueError("a baseline needs at least one set")
    share = Fraction(-1, len(baseline)) if len(baseline) > 1 else -1
    return combine([(1, later), *((share, one) for one in baseline)])


def rate(
    later: Measured, t_later: datetime, history: Sequence[tuple[datetime, Length]], over_hours: Decimal
) -> Rate | None:
    """The slope from the newest reading that is at least `over_hours` older; None where there is none.

    `history` is in order of time. Over few hours a rate is mostly the uncertainty of two readings: hence `over_hours`.
    """
    least = span(over_hours)
    for time, earlier in reversed(history):
        passed = t_later - time
        if passed >= least and passed > timedelta(0):
            a_day = Fraction(_MICROSECONDS_A_DAY, _microseconds(passed))
            moved = combine([(a_day, later), (-a_day, earlier)])
            return Rate(moved.value, moved.sources, time, hours(passed))
    return None


def span(hours: Decimal) -> timedelta:
    """So many hours, down to the microsecond."""
    with localcontext(EXACT):
        return timedelta(microseconds=int(hours * 3_600_000_000))


def hours(passed: timedelta) -> Decimal:
    """A span of time in hours."""
    return EXACT.divide(Decimal(_microseconds(passed)), _MICROSECONDS_AN_HOUR)


_MICROSECONDS_AN_HOUR = Decimal(3_600_000_000)
_MICROSECONDS_A_DAY = 86_400_000_000


def _microseconds(passed: timedelta) -> int:
    return passed // timedelta(microseconds=1)
