"""A mixture of normal distributions: what is expected where more than one thing may be going on."""

from __future__ import annotations

from collections.abc import Iterable
from math import erf, exp, fsum, pi, sqrt

from msgspec import Struct

_ROOT_2PI = sqrt(2 * pi)


class Mixture(Struct, frozen=True):
    """Normal parts (weight, mean, variance); the weights add up to 1. Any unit, variances in its square."""

    parts: tuple[tuple[float, float, float], ...]

    @property
    def mean(self) -> float:
        middle = 0.0
        for weight, mean, _ in self.parts:
            middle += weight * mean
        return middle

    @property
    def sd(self) -> float:
        """Standard deviation of the whole, the disagreement of the parts included."""
        middle, square = self.mean, 0.0
        for weight, mean, variance in self.parts:
            off = mean - middle
            square += weight * (variance + off * off)
        return sqrt(square)

    def density(self, x: float, more: float = 0.0) -> float:
        """Probability density at x, the variance of every part made larger by `more`."""
        total = 0.0
        for weight, mean, variance in self.parts:
            variance += more
            z2 = (x - mean) * (x - mean) / variance
            if z2 < 1400.0:
                total += weight * exp(-0.5 * z2) / sqrt(variance)
        return total / _ROOT_2PI

    def below(self, x: float) -> float:
        """Probability of a value below x."""
        return fsum(w * 0.5 * (1 + erf((x - m) / sqrt(2 * v))) for w, m, v in self.parts)

    def moved(self, by: float, scaled: float = 1.0, more: float = 0.0) -> Mixture:
        """Every part moved, its variance scaled and then made larger by `more`."""
        return Mixture(tuple((w, m + by, v * scaled + more) for w, m, v in self.parts))


def mixed(weighted: Iterable[tuple[float, Mixture]]) -> Mixture:
    """Mixtures taken together. The weights need not add up to 1. `ValueError` if nothing has any weight."""
    found = [(share * w, m, v) for share, mixture in weighted for w, m, v in mixture.parts]
    return Mixture(_whole(found))


def thinned(mixture: Mixture, least: float) -> Mixture:
    """The same without the parts of less weight than `least`, so that it is quick to weigh with."""
    kept = [part for part in mixture.parts if part[0] >= least]
    return Mixture(_whole(kept or [max(mixture.parts)]))


def _whole(parts: list[tuple[float, float, float]]) -> tuple[tuple[float, float, float], ...]:
    total = fsum(w for w, _, _ in parts)
    if not total > 0:
        raise ValueError("a mixture needs some weight")
    return tuple((w / total, m, v) for w, m, v in parts)
