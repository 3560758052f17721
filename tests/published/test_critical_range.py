"""The critical range of repeats against exact quantiles of the studentized range."""

from __future__ import annotations

from decimal import Decimal
from math import pi, sqrt

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm, studentized_range

from fieldtui.reduction import judge_repeats
from fieldtui.reduction.repeats import CRITICAL_RANGE_FACTOR, MEDIAN_VARIANCE


@pytest.mark.parametrize("n", [2, 3, 4, 5])
def test_the_factors_are_the_95_percent_quantiles(n):
    """ISO 5725-6: critical range factors f(n). Quantile by scipy, standard deviation known."""
    exact = studentized_range.ppf(0.95, n, np.inf)
    assert float(CRITICAL_RANGE_FACTOR[n]) == pytest.approx(exact, abs=0.0005)


def test_one_clean_triple_in_twenty_asks_for_a_fourth():
    """The 95 % of ISO 5725-6, by simulation: normal repeats with the stated standard deviation, seeded."""
    s_r = Decimal("0.05")
    drawn = np.random.default_rng(20310501).normal(20, float(s_r), (20_000, 3)).round(6)
    wanted = sum(judge_repeats(tuple(map(Decimal, map(str, triple))), s_r).wanted for triple in drawn)
    assert wanted / len(drawn) == pytest.approx(0.05, abs=4 * sqrt(0.05 * 0.95 / len(drawn)))


@pytest.mark.parametrize(("n", "middle"), [(1, 1), (3, 2), (5, 3)])
def test_the_variance_of_the_median(n, middle):
    """Density of the middle order statistic of n standard normal values, integrated by scipy."""
    ways = {1: 1, 3: 6, 5: 30}[n]

    def integrand(x: float) -> float:
        return x * x * ways * norm.pdf(x) * norm.cdf(x) ** (middle - 1) * norm.sf(x) ** (n - middle)

    assert MEDIAN_VARIANCE[n] == pytest.approx(quad(integrand, -9, 9)[0], abs=2e-6)


def test_the_variance_of_the_median_of_three_in_closed_form():
    assert MEDIAN_VARIANCE[3] == pytest.approx(1 - sqrt(3) / pi, abs=1e-6)


def test_the_variance_of_the_median_of_an_even_number():
    """Half the sum of the middle two, by simulation, seeded; of two it is the mean's."""
    assert MEDIAN_VARIANCE[2] == 0.5
    drawn = np.random.default_rng(20310502).normal(size=(1_000_000, 4))
    assert MEDIAN_VARIANCE[4] == pytest.approx(np.median(drawn, axis=1).var(), rel=0.006)
