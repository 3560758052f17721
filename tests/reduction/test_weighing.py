"""Odds and densities to probabilities. The worked example is the trade's own arithmetic, done by hand in the text."""

from __future__ import annotations

from math import exp, pi, sqrt

import pytest

from fieldtui.reduction.mixture import Mixture
from fieldtui.reduction.weighing import Candidate, weigh

EXPECTED = Mixture(((1.0, -0.4, 0.6**2),))
PITCH = 25.0


def example(change):
    """Odds 0.97 right, 0.01 hole low, 0.01 hole high, 0.01 real movement of 0 +- 20 mm, about a change."""
    movement = exp(-0.5 * (change / 20.0) ** 2) / (20.0 * sqrt(2 * pi))
    return weigh(
        [
            Candidate("as booked", 0.97 * EXPECTED.density(change)),
            Candidate("hole", 0.01 * EXPECTED.density(change + PITCH), "low"),
            Candidate("hole", 0.01 * EXPECTED.density(change - PITCH), "high"),
            Candidate("real movement", 0.01 * movement),
        ]
    )


def test_a_change_of_a_pitch_is_a_hole():
    found = example(-25.2)
    assert [one.cause for one in found[:2]] == ["hole", "real movement"]
    assert found[0].detail == "low"
    assert found[0].probability == pytest.approx(0.986, abs=5e-4)
    assert found[1].probability == pytest.approx(0.014, abs=5e-4)


def test_a_change_that_fits_no_hole_is_movement():
    found = example(-20.2)
    assert found[0].cause == "real movement"
    assert found[0].probability == pytest.approx(1.0, abs=1e-6)


def test_ways_of_one_cause_add_up_and_the_likeliest_names_it():
    found = weigh([Candidate("hole", 1.0, "one"), Candidate("hole", 2.0, "two"), Candidate("dial", 1.0)])
    assert [(one.cause, one.detail) for one in found] == [("hole", "two"), ("dial", "")]
    assert [one.probability for one in found] == [0.75, 0.25]


def test_nothing_that_fits_is_an_error():
    with pytest.raises(ValueError, match="no explanation"):
        weigh([Candidate("hole", 0.0)])
