"""Rates with their bounds, and what makes up the report's tables."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray
from scipy.stats import beta

from .run import Outcome

EDGES = (0.0, 0.01, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99, 1.0)
"""Bins of stated probability."""


@dataclass(frozen=True)
class Rate:
    """Hits of n, with the bounds of Clopper and Pearson, 95 %."""

    hits: int
    n: int

    @property
    def value(self) -> float:
        return self.hits / self.n if self.n else float("nan")

    @property
    def low(self) -> float:
        return float(beta.ppf(0.025, self.hits, self.n - self.hits + 1)) if self.hits else 0.0

    @property
    def high(self) -> float:
        return float(beta.ppf(0.975, self.hits + 1, self.n - self.hits)) if self.hits < self.n else 1.0

    def __str__(self) -> str:
        if not self.n:
            return "no cases"
        return f"{100 * self.value:6.2f} %  [{100 * self.low:6.2f}, {100 * self.high:6.2f}]  n = {self.n}"


def rate(hits: Iterable[bool]) -> Rate:
    found = list(hits)
    return Rate(sum(found), len(found))


def coverage(clean: Sequence[Outcome]) -> tuple[Rate, float, float, float]:
    """Share of clean readings within the 95 % interval; RMS of residual over spread, with bounds over the worlds."""
    covered = rate(0.025 < one.share < 0.975 for one in clean)
    by_world: dict[int, list[float]] = {}
    for one in clean:
        by_world.setdefault(one.world, []).append((one.residual / one.spread) ** 2)
    sums = np.array([(sum(squares), len(squares)) for squares in by_world.values()])
    rng = np.random.default_rng(0)
    picks = rng.integers(0, len(sums), (400, len(sums)))
    means = np.sqrt(sums[picks, 0].sum(1) / sums[picks, 1].sum(1))
    low, high = np.quantile(means, [0.025, 0.975])
    return covered, float(sqrt(sums[:, 0].sum() / sums[:, 1].sum())), float(low), float(high)


@dataclass(frozen=True)
class Bin:
    """Stated probabilities between two edges: how many, what was stated, what was observed, reweighted."""

    low: float
    high: float
    n: int
    stated: float
    observed: float
    binomial: float
    """One binomial standard error of the observed, for the number of cases that the weights are worth."""
    error: float
    """One standard error of a weighted share. A clean booking weighs as much as some forty misread ones, so that one
    more or less of them matters: they are counted as Poisson, as many as the stated probabilities let expect."""

    @property
    def holds(self) -> bool:
        """Within the larger of five points and three standard errors."""
        return self.off <= max(0.05, 3 * self.error)

    @property
    def holds_binomial(self) -> bool:
        """The same by the binomial error alone."""
        return self.off <= max(0.05, 3 * self.binomial)

    @property
    def off(self) -> float:
        return abs(self.stated - self.observed)


Row = tuple[float, bool, float, float]
"""Stated probability, whether it was so, weight; and how much a clean booking is to be expected there: the probability
stated for one (`as booked`, or its part of `real movement`), negative where that would make this row untrue."""


def calibration(stated: Sequence[Row], heavy: float, least: int = 1000) -> list[Bin]:
    """Bins of `least` cases and more; `heavy` is the weight of a clean booking."""
    table = np.array(stated, dtype=float).reshape(-1, 4)
    places = _places(table)
    found = []
    for place in range(len(EDGES) - 1):
        rows = table[places == place]
        if len(rows) < least:
            continue
        p, true, weight, clean = rows.T
        total = weight.sum()
        mean, seen = float((weight * p).sum() / total), float((weight * true).sum() / total)
        worth = total**2 / (weight**2).sum()
        binomial = sqrt(max(mean * (1 - mean), seen * (1 - seen), 1e-6) / worth)
        light = weight < heavy
        scattered = weight**2 * (true - seen) ** 2
        moved = np.where(clean > 0, 1 - mean, mean)
        error = sqrt(scattered[light].sum() + (heavy * weight * abs(clean) * moved**2).sum()) / total
        found.append(Bin(EDGES[place], EDGES[place + 1], len(rows), mean, seen, binomial, max(binomial, error)))
    return found


def _places(table: NDArray[np.float64]) -> NDArray[np.intp]:
    return np.clip(np.searchsorted(EDGES, table[:, 0], side="right") - 1, 0, len(EDGES) - 2)


def unbinned(stated: Sequence[Row], least: int = 1000) -> int:
    """How many stated probabilities lie in bins with too few to be judged."""
    places = _places(np.array(stated, dtype=float).reshape(-1, 4))
    counts = np.bincount(places, minlength=len(EDGES) - 1)
    return int(counts[counts < least].sum())


def mark(holds: bool) -> str:
    """Beside a figure of which something is asked."""
    return "[holds]" if holds else "[MISSED]"
