"""Anchor displacements against worked figures and against general least squares by scipy.

Worked figures: computed from the stated coordinates by plane trigonometry, printed with their inputs.
Independent: `scipy.optimize.least_squares` on the same lengths, which knows nothing of constraints or datum.
"""

from __future__ import annotations

from itertools import combinations
from math import hypot, sqrt

import numpy as np
import pytest
from scipy.optimize import least_squares

from fieldtui.movement.datum import Fixed
from fieldtui.movement.displacement import Displacements, displace
from fieldtui.movement.network import ChordChange, Network


def test_apex_of_three_chords() -> None:
    """Base 5 m, sides 3 and 4 m, origin where the side of 3 meets the base; then 4.990, 2.996, 3.994 m: the apex moves
    -4.000, -2.0008 mm. By hand: x = (c^2 + b^2 - a^2) / 2c before and after."""
    places = {"A": (0.0, 0.0), "B": (5000.0, 0.0), "C": (1800.0, 2400.0)}
    changes = [ChordChange("A", "B", -10.0), ChordChange("A", "C", -4.0), ChordChange("B", "C", -6.0)]
    found = displace(places, changes, np.eye(3) * 0.01, (Fixed("A"), Fixed("B", "up")))
    assert isinstance(found, Displacements)
    across, up = found.of("C")
    assert (f"{across:.3f}", f"{up:.4f}") == ("-4.000", "-2.0008")
    x = (4990.0**2 + 2996.0**2 - 3994.0**2) / (2 * 4990.0)
    assert (across, up) == pytest.approx((x - 1800.0, sqrt(2996.0**2 - x**2) - 2400.0), abs=1e-9)


def test_three_anchors() -> None:
    """A(-4,0) B(4,0) C(0,4) to A(-3.995,0) B(3.997,0) C(0.001,3.990): -8.0000, -9.8979, -9.8979 mm."""
    places = {"A": (-4000.0, 0.0), "B": (4000.0, 0.0), "C": (0.0, 4000.0)}
    chords = [ChordChange("A", "B", 0.0), ChordChange("A", "C", 0.0), ChordChange("B", "C", 0.0)]
    network = Network(tuple(places), np.array(list(places.values())), chords)
    changed = network.changed(np.array([5.0, 0.0, -3.0, 0.0, 1.0, -10.0]))
    assert [f"{value:.4f}" for value in changed] == ["-8.0000", "-9.8979", "-9.8979"]


def test_five_anchors_against_general_least_squares() -> None:
    """Ten chords that share errors, weighted by their inverse covariance; the chords' own lengths are what two
    datums must agree on, and with three held coordinates the displacements too."""
    places = {"A": (-4.4, 1.6), "B": (4.4, 1.5), "C": (0.1, 7.0), "D": (-3.2, 5.2), "E": (3.3, 5.1)}
    places = {name: (1000 * x, 1000 * y) for name, (x, y) in places.items()}
    chance = np.random.default_rng(23)
    chords = list(combinations(places, 2))
    shared = chance.normal(0, 0.15, (10, 2))
    covariance = np.diag(chance.uniform(0.05, 0.3, 10) ** 2) + shared @ shared.T
    read = chance.normal(-6, 4, 10)
    changes = [ChordChange(one, other, float(value)) for (one, other), value in zip(chords, read, strict=True)]
    ours = displace(places, changes, covariance, (Fixed("A"), Fixed("B", "up")))
    assert isinstance(ours, Displacements)
    half = np.linalg.cholesky(np.linalg.inv(covariance)).T

    def off(free: np.ndarray) -> np.ndarray:
        moved = dict(zip(places, np.array([0.0, 0.0, free[0], 0.0, *free[1:]]).reshape(-1, 2), strict=True))
        lines = [np.subtract(places[b], places[a]) for a, b in chords]
        turned = [hypot(*(line + moved[b] - moved[a])) for line, (a, b) in zip(lines, chords, strict=True)]
        return half @ (read - np.array(turned) + np.array([hypot(*line) for line in lines]))

    theirs = least_squares(off, np.zeros(7), jac="3-point", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    free = ours.values.ravel()[[2, 4, 5, 6, 7, 8, 9]]
    assert free == pytest.approx(theirs.x, abs=1e-5)
    assert ours.closure is not None
    assert ours.closure.squares == pytest.approx(2 * theirs.cost, rel=1e-9)
    cofactor = np.linalg.inv(theirs.jac.T @ theirs.jac)
    kept = [2, 4, 5, 6, 7, 8, 9]
    assert ours.covariance[np.ix_(kept, kept)] == pytest.approx(cofactor, rel=1e-4, abs=1e-8)


def test_minimum_norm_against_the_pseudo_inverse() -> None:
    """Small changes: the pseudo-inverse of the linear equations is the minimum-norm solution (any textbook)."""
    places = {"A": (-4400.0, 1600.0), "B": (4400.0, 1500.0), "C": (100.0, 7000.0), "D": (-3200.0, 5200.0)}
    chords = list(combinations(places, 2))
    read = np.array([-0.021, 0.013, -0.008, 0.017, -0.011, 0.004])
    changes = [ChordChange(one, other, float(value)) for (one, other), value in zip(chords, read, strict=True)]
    ours = displace(places, changes, np.eye(6) * 0.01)
    assert isinstance(ours, Displacements)
    design = np.zeros((6, 8))
    for row, (one, other) in enumerate(chords):
        along = np.subtract(places[other], places[one]) / hypot(*np.subtract(places[other], places[one]))
        for name, sign in ((one, -1), (other, 1)):
            first = 2 * list(places).index(name)
            design[row, first : first + 2] = sign * along
    assert ours.values.ravel() == pytest.approx(np.linalg.pinv(design) @ read, abs=1e-6)
    assert ours.covariance == pytest.approx(0.01 * np.linalg.pinv(design.T @ design), abs=1e-6)
