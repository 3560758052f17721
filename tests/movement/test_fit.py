"""A law fitted: weights, the free baseline constant, what the readings share, and the figures' covariance."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace
from scipy.optimize import curve_fit

from fieldtui.movement.course import Course
from fieldtui.movement.fit import CLEAR, fit
from fieldtui.movement.interval import end_interval
from fieldtui.movement.laws import EXPONENTIAL, FACE_ADVANCE, FACE_AND_TIME, HYPERBOLIC, LAWS, Law

T = np.array([0.4, 1, 2, 3, 4, 5, 7, 9, 12, 15, 19, 24, 30, 40, 55])
X = np.array([1.0, 3, 6, 8, 12, 14, 20, 26, 33, 41, 52, 66, 80, 110, 150])
U = np.linspace(0.05, 0.3, len(T))
TRUE = {"T": 6.0, "X": 11.0}
AMPLITUDES = {1: (20.0,), 2: (14.0, 6.0)}


def course(law: Law, seed: int | None = None, lost: float = -2.5) -> Course:
    shape = tuple(TRUE[name] for name, _ in law.shape)
    y = lost + law.columns(shape, T, X) @ np.array(AMPLITUDES[law.parts])
    noise = 0.0 if seed is None else np.random.default_rng(seed).normal(0, U)
    return Course.of(y + noise, t=T, x=X, u=U)


@pytest.mark.parametrize("law", LAWS, ids=str)
def test_exact_readings_give_the_law_back(law: Law) -> None:
    found = fit(law, course(law))
    assert found.baseline == pytest.approx(-2.5, abs=1e-6)
    assert found.amplitudes == pytest.approx(AMPLITUDES[law.parts], rel=1e-6)
    assert found.shape == pytest.approx([TRUE[name] for name, _ in law.shape], rel=1e-6)
    assert found.end == pytest.approx(17.5)
    assert found.at_bound == ()


@pytest.mark.parametrize("law", [EXPONENTIAL, HYPERBOLIC, FACE_ADVANCE], ids=str)
def test_figures_and_deviations_are_those_of_another_fit(law: Law) -> None:
    """scipy's curve_fit with stated deviations, its own start and its own derivatives."""
    one = course(law, seed=11)
    along = one.t if law.uses_time else one.x

    def model(at: np.ndarray, b: float, a: float, shape: float) -> np.ndarray:
        return b + a * law.columns((shape,), at, at)[:, 0]

    theirs, covariance = curve_fit(model, along, one.y, p0=(0, 15, 5), sigma=U, absolute_sigma=True)
    ours = fit(law, one)
    assert (ours.baseline, *ours.amplitudes, *ours.shape) == pytest.approx(theirs, rel=1e-5)
    assert ours.covariance / ours.scale == pytest.approx(covariance, rel=1e-3)


def test_the_time_share_has_a_deviation_of_its_own() -> None:
    """m is the second amplitude over the first; its deviation by first order from their covariance."""
    found = fit(FACE_AND_TIME, course(FACE_AND_TIME, seed=1))
    m, sd = found.figures["m"]
    assert m == pytest.approx(found.amplitudes[1] / found.amplitudes[0])
    gradient = np.array([-m, 1.0]) / found.amplitudes[0]
    assert sd == pytest.approx(np.sqrt(gradient @ found.covariance[1:3, 1:3] @ gradient))


def test_a_baseline_error_that_all_share_is_taken_up_by_the_free_constant() -> None:
    plain = course(EXPONENTIAL, seed=3)
    moved = replace(plain, y=plain.y + 0.7)
    assert fit(EXPONENTIAL, moved).baseline == pytest.approx(fit(EXPONENTIAL, plain).baseline + 0.7)
    assert fit(EXPONENTIAL, moved).shape == pytest.approx(fit(EXPONENTIAL, plain).shape)


def test_with_the_constant_held_the_baseline_error_counts() -> None:
    """What all figures share widens A where no constant takes it up; by hand from the covariance of least squares."""
    exact = course(EXPONENTIAL, lost=0.0)
    tight, wide = fit(EXPONENTIAL, exact, held=True), fit(EXPONENTIAL, replace(exact, common=0.5), held=True)
    assert wide.figures["A"][1] > tight.figures["A"][1]
    design = np.stack([EXPONENTIAL.columns((6.0,), T, X)[:, 0], -20 * T / 36 * np.exp(-T / 6)], axis=1)
    weights = np.linalg.inv(np.diag(U**2) + 0.25)
    assert wide.covariance == pytest.approx(np.linalg.inv(design.T @ weights @ design), rel=1e-6)


def test_shared_errors_between_readings_count() -> None:
    """Two segments: the second half shares an error. Generalised least squares by hand at the best shape."""
    one = course(HYPERBOLIC, seed=5)
    step = np.where(np.arange(len(T)) > 7, 0.4, 0.0)
    covariance = np.diag(U**2) + np.outer(step, step)
    found = fit(HYPERBOLIC, replace(one, covariance=covariance))
    design = np.stack([np.ones(len(T)), HYPERBOLIC.columns(found.shape, T, X)[:, 0]], axis=1)
    weights = np.linalg.inv(covariance)
    by_hand = np.linalg.solve(design.T @ weights @ design, design.T @ weights @ one.y)
    assert (found.baseline, *found.amplitudes) == pytest.approx(by_hand, rel=1e-6)
    assert found.amplitudes != pytest.approx(fit(HYPERBOLIC, one).amplitudes, rel=1e-3)


def test_scatter_beyond_the_uncertainties_widens_and_less_does_not_narrow() -> None:
    one = course(EXPONENTIAL, seed=8)
    small = replace(one, covariance=one.covariance / 100)
    large = replace(one, covariance=one.covariance * 100)
    assert fit(EXPONENTIAL, small).scale == pytest.approx(100 * fit(EXPONENTIAL, one).scatter)
    assert fit(EXPONENTIAL, large).scale == 1.0


def test_readings_that_are_still_on_a_straight_line_run_to_the_bound() -> None:
    straight = Course.of(0.5 * T, t=T, u=0.1)
    assert fit(EXPONENTIAL, straight).at_bound == ("T",)


def test_readings_without_a_face_are_not_used_by_a_law_of_the_face() -> None:
    one = course(FACE_ADVANCE)
    gaps = replace(one, x=np.where(np.arange(len(X)) % 4 == 0, np.nan, one.x))
    found = fit(FACE_ADVANCE, gaps)
    assert len(found.course) == len(T) - 4
    assert found.end == pytest.approx(17.5)


def test_too_few_readings_are_refused() -> None:
    with pytest.raises(ValueError, match="3 figures and needs more than 3"):
        fit(EXPONENTIAL, course(EXPONENTIAL).only(np.arange(3)))


def test_a_face_that_stands_still_is_refused() -> None:
    with pytest.raises(ValueError, match="more than one face"):
        fit(FACE_ADVANCE, replace(course(FACE_ADVANCE), x=np.full(len(X), 30.0)))


TWO_VALLEYS = """
1.673 1.399 -0.065; 4.982 4.167 17.761; 9.34 7.812 32.951; 12.086 10.109 39.635; 16.386 13.705 47.118;
20.63 17.255 52.298; 24.327 20.347 55.826; 29.124 24.359 59.326; 30.373 25.404 59.957; 34.731 29.049 62.203;
37.359 31.247 63.399; 45.207 37.811 66.212; 47.763 39.949 66.896; 48.807 40.822 67.169; 58.445 48.883 69.368;
59.565 49.82 69.611; 65.528 54.807 70.67; 65.924 55.139 70.791; 66.511 55.63 70.749; 76.003 63.569 72.102;
80.101 66.996 72.606; 84.5 70.676 73.069; 86.079 71.996 73.088; 96.413 80.64 74.212; 97.724 81.737 74.244;
102.395 85.644 74.656; 105.844 88.529 75.042
"""
"""t, x, y: invented readings whose sum of squares has two valleys, end value 94.48 in truth."""


def test_the_lower_of_two_valleys_is_found() -> None:
    """The lowest place of the grid lies in the higher one; from there the end value came out as 101 to 291."""
    t, x, y = np.array([one.split() for one in TWO_VALLEYS.split(";")], dtype=float).T
    found = fit(FACE_AND_TIME, Course.of(y, t, x, 0.072))
    assert found.squares == pytest.approx(15.0, abs=0.1)
    end = end_interval(found)
    assert end.low is not None
    assert end.high is not None
    assert end.low < 94.48 < end.high < 97


def test_parts_are_told_apart_only_where_both_are_clearly_there() -> None:
    """A part within two of its standard deviations may be chance alone."""
    one = course(FACE_AND_TIME)
    rough = fit(FACE_AND_TIME, Course.of(one.y, T, X, 1.0))
    assert min(rough.amplitudes) > 0
    assert not rough.distinct
    assert min(rough.amplitudes / np.sqrt(np.diag(rough.covariance))[1:3]) < CLEAR
    fine = fit(FACE_AND_TIME, Course.of(one.y, T, X, 0.001))
    assert fine.distinct
    assert min(fine.amplitudes / np.sqrt(np.diag(fine.covariance))[1:3]) >= CLEAR
