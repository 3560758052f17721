"""NIST Statistical Reference Datasets, NumAcc3: 1000000.2, then 1000000.1 and 1000000.3 in turn, 1001 values.

Certified mean 1000000.2. Means of lengths must not lose the small change in the large length.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from fieldtui.reduction import Quantity, combine
from fieldtui.reduction.exact import mean

NUMACC3 = [Decimal("1000000.2"), *[Decimal("1000000.1"), Decimal("1000000.3")] * 500]
CERTIFIED_MEAN = Decimal("1000000.2")


def test_the_mean_of_figures():
    assert len(NUMACC3) == 1001
    assert mean(NUMACC3) == CERTIFIED_MEAN


def test_the_mean_of_lengths():
    share = Fraction(1, len(NUMACC3))
    assert combine([(share, Quantity(value, ())) for value in NUMACC3]).value == CERTIFIED_MEAN
