"""The end value's interval: that of the profile likelihood, open where the readings set no bound."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq, minimize
from scipy.stats import chi2, f

from fieldtui.movement.course import Course
from fieldtui.movement.fit import fit
from fieldtui.movement.interval import end_interval, growth
from fieldtui.movement.laws import EXPONENTIAL, FACE_ADVANCE, FACE_AND_TIME, HYPERBOLIC, Law

T = np.array([0.4, 1, 2, 3, 4, 5, 7, 9, 12, 15, 19, 24])
X = np.array([1.0, 3, 6, 8, 12, 14, 20, 26, 33, 41, 52, 66])


def course(law: Law, until: int = len(T), seed: int = 4) -> Course:
    shape = tuple({"T": 8.0, "X": 15.0}[name] for name, _ in law.shape)
    y = law.columns(shape, T, X) @ np.array([16.0, 9.0][: law.parts]) - 1.5
    return Course.of((y + np.random.default_rng(seed).normal(0, 0.1, len(T)))[:until], T[:until], X[:until], 0.1)


@pytest.mark.parametrize("until", [8, 12])
@pytest.mark.parametrize("law", [EXPONENTIAL, HYPERBOLIC, FACE_ADVANCE], ids=str)
def test_it_is_the_profile_likelihood_by_another_way(law: Law, until: int) -> None:
    """The end value held and all else fitted by scipy's simplex; the root of the growth found by bisection."""
    one = course(law, until)
    found = fit(law, one)

    def squares(end: float) -> float:
        def off(free: np.ndarray) -> float:
            column = law.columns((np.exp(free[1]),), one.t, one.x)[:, 0]
            return float(np.sum(((one.y - free[0] - (end - free[0]) * column) / 0.1) ** 2))

        start = (found.baseline, np.log(found.shape[0]))
        return float(minimize(off, start, method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-9}).fun)

    reach = found.squares + growth(found, 0.95)
    interval = end_interval(found)
    low = brentq(lambda end: squares(end) - reach, found.end - 6, found.end, xtol=1e-4)
    assert interval.low == pytest.approx(low, abs=2e-3)
    if interval.high is not None and interval.high < found.end + 50:
        high = brentq(lambda end: squares(end) - reach, found.end, found.end + 50, xtol=1e-4)
        assert interval.high == pytest.approx(high, rel=1e-3)


def test_face_and_time_has_an_interval_around_its_best_fit() -> None:
    """Two figures of shape at once. With the shape held at the best it can only be narrower."""
    t, x = np.linspace(0.2, 400, 60), np.linspace(0.5, 250, 60)
    y = FACE_AND_TIME.columns((15.0, 3.0), t, x) @ np.array([16.0, 20.0])
    one = Course.of(y + np.random.default_rng(6).normal(0, 0.1, 60), t, x, 0.1)
    found = fit(FACE_AND_TIME, one)
    interval = end_interval(found)
    assert interval.low is not None
    held = np.sqrt(growth(found, 0.95) * (found.covariance / found.scale)[:3, :3].sum())
    assert interval.low < found.end - 0.05 * held
    assert interval.low < 36 < (interval.high or np.inf)


def test_readings_that_a_straight_line_fits_as_well_set_no_upper_bound() -> None:
    interval = end_interval(fit(EXPONENTIAL, course(EXPONENTIAL, 4).only(np.array([0, 1, 2, 3]))))
    assert interval.high is None
    assert not interval.bounded


def test_opening_ground_is_open_downwards() -> None:
    one = course(EXPONENTIAL, 5)
    turned = Course(-one.y, one.t, one.x, one.covariance)
    up, down = end_interval(fit(EXPONENTIAL, one)), end_interval(fit(EXPONENTIAL, turned))
    assert (up.high is None) == (down.low is None)
    assert down.high == pytest.approx(-(up.low or 0.0), abs=1e-4)


def test_the_growth_is_the_wider_of_the_two() -> None:
    """Chi-squared where the uncertainties tell it all, scatter x F where they do not; F alone where there are none."""
    found = fit(EXPONENTIAL, course(EXPONENTIAL))
    by_f = found.scatter * f.ppf(0.95, 1, found.dof)
    assert growth(found, 0.95) == pytest.approx(max(chi2.ppf(0.95, 1), by_f))
    calm = fit(EXPONENTIAL, Course.of(found.course.y, T, X, 10.0))
    assert growth(calm, 0.95) == pytest.approx(3.8415, abs=1e-4)
    bare = fit(EXPONENTIAL, Course.of(found.course.y, T, X))
    assert growth(bare, 0.95) == pytest.approx(bare.scatter * f.ppf(0.95, 1, found.dof))


def test_a_higher_level_is_wider() -> None:
    found = fit(HYPERBOLIC, course(HYPERBOLIC))
    wide, narrow = end_interval(found, 0.99), end_interval(found, 0.8)
    assert wide.low is not None
    assert narrow.low is not None
    assert wide.low < narrow.low < found.end


def test_an_end_value_out_of_sight_is_no_bound() -> None:
    """A straight line with a hint of a bend: the end is somewhere, a hundred times as far as what was measured."""
    t = np.linspace(1, 10, 10)
    one = Course.of(100 * t / (400 + t), t, u=0.0002)
    found = fit(HYPERBOLIC, one)
    assert abs(found.end - 100) < 20
    assert end_interval(found).high is None
    assert end_interval(fit(HYPERBOLIC, Course.of(100 * t / (20 + t), t, u=0.0002))).bounded
