"""The other chords of a survey that nothing ails: alone, together with their station, or all alike."""

from __future__ import annotations

from math import exp, pi, sqrt

import numpy as np
import pytest
from reduction.adit import START, figures, length
from scipy.stats import multivariate_normal

from fieldtui.reduction import rough
from fieldtui.reduction.beside import TOGETHER, Unshared, clean, heeded, unshared
from fieldtui.reduction.evidence import Other
from fieldtui.reduction.following import off_variance

READ = length(figures(5000.0))
OWN = sqrt(off_variance(None, READ))
WIDE = 40 * OWN
"""A spread that is all but movement."""


def other(z, spread=WIDE, key=("B", "L-K")):
    return Other(key, READ, START, z * spread, spread)


def both(one, two, spread=WIDE, where="B", unsure=False):
    return unshared([other(one, spread), other(two, spread, (where, "R-K"))], 1.0, unsure)


def pair(z, variance, covariance):
    return multivariate_normal([0, 0], [[variance, covariance], [covariance, variance]]).pdf(z)


@pytest.mark.parametrize("spread", [1.01 * OWN, 1.5 * OWN, WIDE])
@pytest.mark.parametrize(("unsure", "common"), [(False, 0.06), (True, 0.4)])
def test_the_three_ways_are_weighed(spread, unsure, common):
    """Against scipy: each alone; a station's together, correlated as far as they move; all by alike many spreads."""
    z = np.array([-1.9, -2.7])
    moving = 1 - (OWN / spread) ** 2
    calm, wild = (1 - moving + moving * times for times in (rough.CALM, rough.ROUGH))
    together = 0.96 * pair(z, calm, TOGETHER * moving * rough.CALM) + 0.04 * pair(z, wild, TOGETHER * moving * 4)
    alike = pair(z, 1 + 1.6**2, 1.6**2)
    alone = clean(other(z[0], spread), 1.0) * clean(other(z[1], spread), 1.0)
    own = 0.15 * alone + 0.85 * together / spread**2
    expected = (1 - common) * own + common * alike / spread**2
    assert both(*z, spread, unsure=unsure) == pytest.approx(expected, rel=0.01)


def test_chords_of_a_station_that_went_alike_need_no_other_reason():
    assert both(-2.0, -2.0) > 5 * both(-2.0, 2.0)
    assert both(-2.0, -2.0) > 2 * both(-2.0, -2.0, where="A")


def test_where_a_spread_is_errors_of_reading_they_are_each_their_own():
    still = OWN * 1.001
    assert both(-2.0, -2.0, still) < 3 * both(-2.0, 2.0, still)


def test_after_a_new_stage_all_may_be_off_alike():
    assert both(-4.0, -4.0, unsure=True) > 3 * both(-4.0, -4.0)


def test_one_chord_is_as_dense_as_it_is_however_it_comes_about():
    normal = exp(-0.5 * 0.8**2) / sqrt(2 * pi) / WIDE
    assert unshared([other(0.8)], 1.0, False) == pytest.approx(normal, rel=0.05)
    assert Unshared(1.0, False).density == pytest.approx(1.0)


def test_rough_ground_shows_in_the_chords_beside():
    """Two that are off alike by four spreads make it likely; one far off was misread; without any it is rare."""
    assert Unshared(1.0, False).roughness == rough.SELDOM
    likely = [heeded([other(z, key=("B", name)) for z, name in chords], 1.0, False).roughness for chords in PAIRS]
    assert likely == sorted(likely)
    assert likely[1] < rough.SELDOM < 0.2 < likely[-1] < 1


PAIRS = (
    ((20.0, "L-K"), (2.0, "R-K")),
    ((0.3, "L-K"), (-0.2, "R-K")),
    ((3.0, "L-K"), (2.0, "R-K")),
    ((4.5, "L-K"), (4.0, "R-K")),
)
