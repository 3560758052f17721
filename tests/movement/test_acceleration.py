"""Speeding up: noticed early, seldom said of ground that does not."""

from __future__ import annotations

import numpy as np
import pytest

from fieldtui.movement.acceleration import Bend, speeding_up
from fieldtui.movement.course import Course

U = 0.1


def look(y: np.ndarray, t: np.ndarray, u: float = U) -> Bend:
    bend = speeding_up(Course.of(y, t, u=u))
    assert bend is not None
    return bend


def test_the_figures_of_a_parabola_come_back() -> None:
    """Closing 3 + 0.4 t + 0.05 t^2: at t = 10 the rate is 1.4 a day and rises by 0.1 a day each day."""
    t = np.arange(11.0)
    bend = look(3 + 0.4 * t + 0.05 * t**2, t)
    assert bend.rate == pytest.approx(1.4)
    assert bend.bend == pytest.approx(0.1)
    assert bend.noticed


def test_its_uncertainties_are_those_of_least_squares() -> None:
    """numpy's polyfit with stated weights on the same five readings."""
    t = np.array([0.0, 1.0, 2.5, 3.0, 4.5])
    bend = look(0.3 * t, t)
    _, covariance = np.polyfit(t - t[-1], 0.3 * t, 2, w=np.full(5, 1 / U), cov="unscaled")
    assert bend.bend_u == pytest.approx(2 * np.sqrt(covariance[0, 0]))
    assert bend.rate_u == pytest.approx(np.sqrt(covariance[1, 1]))


def test_opening_that_speeds_up_is_noticed_too() -> None:
    t = np.arange(8.0)
    bend = look(-0.05 * t**2, t)
    assert bend.noticed
    assert bend.rate < 0


def test_closing_that_slows_down_is_not() -> None:
    t = np.arange(12.0)
    assert look(20 * (1 - np.exp(-t / 4)), t).z < 0
    assert not look(20 * (1 - np.exp(-t)), t).noticed


def test_a_course_that_turns_back_is_judged_by_the_way_of_the_whole_window() -> None:
    """A parabola through a chord that comes to rest overshoots, and seems to open faster and faster at its end."""
    t = np.arange(5.0)
    overshoot = look(np.array([0.0, 3.0, 4.0, 4.2, 3.9]), t)
    assert overshoot.rate < 0
    assert overshoot.bend < 0


@pytest.mark.parametrize("rate", [0.0, 0.05, 2.0])
def test_false_alarms_on_steady_ground_are_at_most_one_in_250(rate: float) -> None:
    """3,000 looks, seeded; four standard deviations of the count are allowed."""
    chance = np.random.default_rng(31)
    t = np.cumsum(chance.uniform(0.5, 2, 12))
    looks = [look(rate * t + chance.normal(0, U, 12), t).noticed for _ in range(3000)]
    assert sum(looks) <= 12 + 4 * np.sqrt(12)


def test_scatter_wider_than_the_uncertainties_counts() -> None:
    t = np.arange(12.0)
    rough = 0.5 * t + 1.5 * np.array([1, -1, 1, -1, 1, -1, 1, -1, 1, -1, -1, 1])
    assert look(rough, t).bend_u > 5 * look(0.5 * t, t).bend_u


def test_errors_that_readings_share_are_not_taken_for_movement() -> None:
    """The last three readings with another tape, whose offset is known to 1 mm only."""
    t = np.arange(8.0)
    y = 0.3 * t + np.where(t > 4, 1.2, 0.0)
    step = np.where(t > 4, 1.0, 0.0)
    covariance = np.diag(np.full(8, U**2))
    sure = speeding_up(Course(y, t, np.full(8, np.nan), covariance), (8,))
    unsure = speeding_up(Course(y, t, np.full(8, np.nan), covariance + np.outer(step, step)), (8,))
    assert sure is not None
    assert unsure is not None
    assert abs(unsure.z) < 0.5 * abs(sure.z)


def test_four_readings_are_too_few_and_bare_ones_say_nothing() -> None:
    assert speeding_up(Course.of([0, 1, 3, 9], [0, 1, 2, 3], u=U)) is None
    with pytest.raises(ValueError, match="uncertainties"):
        speeding_up(Course.of([0, 1, 3, 9, 20], [0, 1, 2, 3, 4]))
