"""The uncertainty of a change against a propagation of distributions (JCGM 101:2008, Monte Carlo), seeded.

The truth is drawn: two lengths, the tape's holes and steel, temperatures, tensions, dial figures rounded to the dial.
What an observer would have booked follows from it, exactly and with every product kept; the booked figures are reduced
with the nominal steel. The spread of reduced minus true change is the uncertainty.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

import numpy as np
import pytest

from fieldtui.reduction import Figures, change, frame_shift, reduce, reduce_frame
from fieldtui.route.model import Control, Extensometer, Tape, Uncertainty

TAPE = Tape("T", Decimal(25), 1, Decimal(25), 1200, Decimal("11.6e-6"), Decimal("1.5e-6"), Decimal(20))
BODY = Extensometer("E", "D", (Decimal(0), Decimal(50)), Decimal("0.01"), "adds", Decimal("0.05"))
CONTROL = Control("F", Decimal(5000), Decimal(1), True, Decimal("11.6e-6"), Decimal(20))
STATED = Uncertainty(Decimal("0.5"), Decimal("0.08"), Decimal("0.03"))
DRAWS = 200_000


@dataclass(frozen=True)
class Case:
    """True lengths, temperatures and holes of two surveys; whether the frame is taken off."""

    lengths: tuple[float, float]
    temperatures: tuple[float, float]
    holes: tuple[int, int]
    framed: bool


CASES = {
    "same hole, one temperature": Case((20000.0, 19999.4), (14.0, 14.0), (799, 799), False),
    "another hole, a warmer day": Case((20000.0, 19980.0), (4.0, 24.0), (799, 798), False),
    "frame taken off, same hole": Case((20000.0, 19999.4), (4.0, 24.0), (799, 799), True),
    "frame taken off, another hole": Case((8000.0, 7980.0), (10.0, 12.0), (319, 318), True),
}
FRAME_HOLE, FRAME_LENGTH = 199, 5000.0


class Truth:
    """Draws of everything that is in error."""

    def __init__(self, seed: int) -> None:
        self.random = np.random.default_rng(seed)
        self.alpha = self.random.normal(11.6e-6, 1.5e-6, DRAWS)
        self.holes: dict[int, np.ndarray] = {}

    def reduced(self, length: float, temperature: float, hole: int) -> tuple[np.ndarray, np.ndarray]:
        """What the booked figures give with the nominal steel, and the temperatures that were booked."""
        if hole not in self.holes:
            self.holes[hole] = 25 * hole + self.random.normal(0, 0.03, DRAWS)
        booked_temperature = temperature + self.random.normal(0, 0.5, DRAWS)
        taped = length / (1 + self.alpha * (temperature - 20))
        shared = taped - self.holes[hole] + self.random.normal(0, 0.08, DRAWS)
        dials = [np.round(shared + self.random.normal(0, 0.05, DRAWS), 2) for _ in range(3)]
        raw = 25 * hole + sum(dials) / 3
        return raw * (1 + 11.6e-6 * (booked_temperature - 20)), booked_temperature

    def frame(self, temperature: float) -> np.ndarray:
        """The frame, of the nominal steel, at its reference temperature."""
        true_length = FRAME_LENGTH * (1 + 11.6e-6 * (temperature - 20))
        value, booked = self.reduced(true_length, temperature, FRAME_HOLE)
        return value - 11.6e-6 * value * (booked - 20)


def simulated(case: Case, seed: int) -> float:
    truth = Truth(seed)
    values = []
    for length, temperature, hole in zip(case.lengths, case.temperatures, case.holes, strict=True):
        value, _ = truth.reduced(length, temperature, hole)
        if case.framed:
            value = value - (truth.frame(temperature) + truth.frame(temperature)) / 2
        values.append(value)
    moved = values[1] - values[0]
    assert moved.mean() == pytest.approx(case.lengths[1] - case.lengths[0], abs=0.01), "the reduction is not biased"
    return float(moved.std())


def stated(case: Case) -> float:
    lengths = []
    reference = None
    for survey, (length, temperature, hole) in enumerate(zip(case.lengths, case.temperatures, case.holes, strict=True)):
        shift = None
        if case.framed:
            figures = booked(FRAME_LENGTH, temperature, FRAME_HOLE)
            start, end = (
                reduce_frame(figures, TAPE, BODY, CONTROL, STATED, reading=(survey, end)) for end in ("start", "end")
            )
            reference = reference or [start, end]
            shift = frame_shift(start, end, reference)
        figures = booked(length, temperature, hole)
        lengths.append(reduce(figures, TAPE, BODY, STATED, reading=(survey, "chord"), frame=shift))
    return change(lengths[1], lengths[0]).u


def booked(length: float, temperature: float, hole: int) -> Figures:
    return Figures(hole, (Decimal(f"{length - 25 * hole:.2f}"),) * 3, Decimal(str(temperature)))


@pytest.mark.parametrize("name", CASES)
def test_the_stated_uncertainty_is_the_spread_of_simulated_surveys(name):
    case = CASES[name]
    assert stated(case) == pytest.approx(simulated(case, 20310503), rel=0.03)
