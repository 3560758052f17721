"""An invented tape and extensometer: a true length to the figures that a crew would book, errors included."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from math import sqrt

import numpy as np
from numpy.random import Generator

from fieldtui.reduction import Figures, judge_repeats, priors
from fieldtui.route.model import Extensometer, Tape, Uncertainty

UNCERTAINTY = Uncertainty(temperature=Decimal("0.5"), reproducibility=Decimal("0.08"), hole=Decimal("0.03"))
EXTENSOMETER = Extensometer("E1", "D1", (Decimal(0), Decimal(50)), Decimal("0.01"), "adds", Decimal("0.05"))
TAPE = Tape("T1", Decimal(25), 1, Decimal(25), 600, Decimal("11.6e-6"), Decimal("0.5e-6"), Decimal(20))
KEEP, MIDDLE = (3.0, 47.0), 25.0
"""The hole is kept while the dial stays within these; a new one is taken with the dial near the middle."""


def other_tape(rng: Generator) -> Tape:
    """A second tape: its first hole elsewhere by millimetres, sometimes of another steel."""
    first = Decimal(str(round(25 + float(rng.choice([-1, 1])) * rng.uniform(1.5, 12.0), 1)))
    steel = Decimal("11.6e-6") if rng.random() < 0.7 else Decimal("17.2e-6")
    return Tape("T2", Decimal(25), 1, first, 600, steel, Decimal("0.5e-6"), Decimal(20))


@dataclass(frozen=True)
class Instrument:
    """The tape as it truly is: every hole and the steel a little off what the route states."""

    tape: Tape
    steel: float
    holes: dict[int, float] = field(default_factory=dict)
    seed: int = 0

    @classmethod
    def made(cls, tape: Tape, rng: Generator) -> Instrument:
        steel = float(tape.expansion) + rng.normal(0, float(tape.expansion_uncertainty))
        return cls(tape, steel, {}, int(rng.integers(1 << 30)))

    def hole_distance(self, hole: int) -> float:
        if hole not in self.holes:
            off = np.random.default_rng((self.seed, hole)).normal(0, float(UNCERTAINTY.hole))
            self.holes[hole] = float(self.tape.hole_distance(hole)) + off
        return self.holes[hole]

    def read(
        self, length: float, temperature: float, kept: int | None, rng: Generator, *, scatter: float = 1.0
    ) -> Figures:
        """Book a true length at a true temperature: three repeats, a fourth and fifth where they are asked for."""
        on_tape = length / (1 + self.steel * (temperature - 20.0)) + rng.normal(0, float(UNCERTAINTY.reproducibility))
        hole = kept if kept is not None and _within(on_tape - self.hole_distance(kept)) else None
        if hole is None:
            hole = round((on_tape - MIDDLE - 25.0) / 25.0) + 1
        dial = on_tape - self.hole_distance(hole)
        if scatter == 1.0 and rng.random() < priors.WILD_REPEATS:
            scatter = priors.SEATED_SCATTER
        s_r = scatter * float(EXTENSOMETER.repeatability)
        dials: list[Decimal] = []
        while len(dials) < 3 or judge_repeats(dials, EXTENSOMETER.repeatability).wanted:
            dials.append(Decimal(str(round(min(max(dial + rng.normal(0, s_r), 0.0), 50.0), 2))))
        booked = round(temperature + rng.normal(0, float(UNCERTAINTY.temperature)), 1)
        return Figures(hole, tuple(dials), Decimal(str(booked)))


def _within(dial: float) -> bool:
    return KEEP[0] <= dial <= KEEP[1]


def error_variance(length: float, repeats: int, same_hole: bool) -> float:
    """Variance of a reading's own error, mm^2, from what the errors above are drawn from."""
    own = float(EXTENSOMETER.repeatability) ** 2 / repeats + float(UNCERTAINTY.reproducibility) ** 2
    own += (float(TAPE.expansion) * length * float(UNCERTAINTY.temperature)) ** 2
    return own + (0.0 if same_hole else float(UNCERTAINTY.hole) ** 2)


def true_spread(random: float, length: float, repeats: Sequence[int], same_hole: bool) -> float:
    """Standard uncertainty of the change since the last reading: what moved unforeseen, and the errors of both, mm."""
    return sqrt(random + sum(error_variance(length, n, same_hole) for n in repeats))
