"""Repeatability as it really was: quantiles of chi-squared against scipy, an independent library."""

from __future__ import annotations

from decimal import Decimal

import pytest
from scipy.stats import chi2, norm

from fieldtui.reduction.pooled import LEAST_DEGREES, Z_975, chi_squared, pooled


def test_the_normal_quantile() -> None:
    assert pytest.approx(norm.ppf(0.975), abs=1e-6) == Z_975


@pytest.mark.parametrize("degrees", [LEAST_DEGREES, 20, 60, 500])
@pytest.mark.parametrize(("z", "share"), [(Z_975, 0.975), (-Z_975, 0.025)])
def test_quantiles_of_chi_squared(degrees: int, z: float, share: float) -> None:
    # of the standard deviation, that is: half of it
    assert chi_squared(degrees, z) == pytest.approx(chi2.ppf(share, degrees), rel=0.02)


def test_readings_are_pooled_about_their_own_means() -> None:
    # 10.0 and 10.2 about 10.1, 30.0 and 30.4 about 30.2: s^2 = (0.02 + 0.08) / 2
    found = pooled([(Decimal("10.0"), Decimal("10.2")), (Decimal("30.0"), Decimal("30.4")), (Decimal("5"),)])
    assert found is not None
    assert (found.degrees, found.readings) == (2, 2)
    assert found.s**2 == pytest.approx(0.05)
    assert pooled([(Decimal("5"),)]) is None


@pytest.mark.parametrize(
    ("step", "said"), [("0.10", "larger than stated"), ("0.01", "smaller than stated"), ("0.035", "as stated")]
)
def test_what_was_stated_is_held_against_the_interval(step: str, said: str) -> None:
    found = pooled([(Decimal(0), Decimal(step), 2 * Decimal(step))] * 40)
    assert found is not None
    assert found.s == pytest.approx(float(step))
    assert found.against(Decimal("0.035")) == said
    few = pooled([(Decimal(0), Decimal(step))])
    assert few is not None
    assert few.against(Decimal("0.035")) == "too few"
