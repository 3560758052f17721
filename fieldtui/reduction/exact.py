"""Decimal arithmetic that comes out the same everywhere.

The decimal context of a thread can be changed by any code that runs in it. The figures of a reading must not hang on
that, so every sum of the reduction is done in `EXACT`: 40 digits, half-even. Figures as they are booked have far fewer
digits; only a mean of three, or a weight such as 1/3, is ever rounded, in the 40th.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Context, Decimal, DivisionByZero, InvalidOperation, Overflow, localcontext
from typing import TypeVar

EXACT = Context(prec=40, rounding=ROUND_HALF_EVEN, traps=[InvalidOperation, DivisionByZero, Overflow])
"""Used as `with localcontext(EXACT):`, which takes a copy; for one sum by its own methods."""


def mean(values: Sequence[Decimal]) -> Decimal:
    """Arithmetic mean. `ValueError` if there are none."""
    if not values:
        raise ValueError("a mean needs at least one value")
    with localcontext(EXACT):
        return sum(values, Decimal(0)) / len(values)


Figure = TypeVar("Figure", Decimal, float)


def median(values: Sequence[Figure]) -> Figure:
    """The middle value, or the mean of the middle two. `ValueError` if there are none."""
    if not values:
        raise ValueError("a median needs at least one value")
    ordered = sorted(values)
    half = len(ordered) // 2
    if len(ordered) % 2:
        return ordered[half]
    with localcontext(EXACT):
        return (ordered[half - 1] + ordered[half]) / 2
