"""How well booked figures fit, if this or that had happened: densities of the length, the repeats, the temperature.

The figures are n dials and a temperature. Their density is that of the length (n dials make one mean) x that of the
scatter of the repeats about it x that of the temperature. Every explanation is held against the same figures, so
what is common to all is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from math import exp, pi, sqrt

from msgspec import Struct

from fieldtui.reduction.evidence import Evidence
from fieldtui.reduction.length import Length
from fieldtui.reduction.mixture import Mixture
from fieldtui.reduction.priors import SEATED_SCATTER, WARM_APART, WARM_APART_BY, WILD_REPEATS
from fieldtui.reduction.repeats import MEDIAN_VARIANCE, Repeats
from fieldtui.route.model import Extensometer, Tape
from fieldtui.route.units import Units

_REACH = 9.0
"""Beyond so many standard deviations of every part a density is nil."""
_NOT_WORTH, _HARDLY = 1e-9, 1e-3
_WILDEST = 400.0
"""Sum of squares of the repeats, in repeatabilities, beyond which wilder is no less likely: something must be left."""
WITHIN_SURVEY, BETWEEN_SURVEYS, UNKNOWN = 1.2, 6.0, 12.0
"""Standard deviations of a tape temperature, degC: about the survey's others, about earlier ones, about nothing."""


class Temper(Struct, frozen=True):
    """What a tape temperature should be: a normal with a heavier second part. Degree of the route."""

    middle: float
    spread: float

    def density(self, temperature: float) -> float:
        z2 = ((temperature - self.middle) / self.spread) ** 2
        near = (1 - WARM_APART) * exp(-0.5 * min(z2, 1400))
        apart = WARM_APART / WARM_APART_BY * exp(-0.5 * min(z2 / WARM_APART_BY**2, 1400))
        return (near + apart) / self.spread + 1e-7


def expected_temperature(units: Units, evidence: Evidence, past: Sequence[Decimal]) -> Temper:
    """From the temperatures of this survey, else of the surveys before, else a mild guess."""
    degree = 1.0 if units.degree == "degC" else 1.8
    if evidence.temperatures:
        near = [float(one) for one in evidence.temperatures[-6:]]
        wide = WITHIN_SURVEY * degree
        if len(near) > 2:
            wide = max(wide, 1.5 * (max(near) - min(near)) / 2)
        return Temper(_middle(near), wide)
    if past:
        return Temper(_middle([float(one) for one in past[-5:]]), BETWEEN_SURVEYS * degree)
    return Temper(15.0 if degree == 1.0 else 59.0, UNKNOWN * degree)


class Booked(Struct, frozen=True):
    """A booked reading against what was expected. Small units."""

    length: Length
    tape: Tape
    extensometer: Extensometer
    units: Units
    mixture: Mixture
    parts: tuple[tuple[float, float, float], ...]
    """The mixture's, made ready: height at its mean, mean, minus half the precision."""
    low: float
    high: float
    """Outside these the density of the length is nil."""
    temper: Temper
    value: float
    dials: tuple[float, ...]
    dial_range: tuple[float, float]
    repeats: float
    """Density of the scatter of the dials as booked."""
    looser: float
    """What is added to the variance of the length where the repeats scattered as wildly as those of a caught tape."""
    warm: float
    """Density of the temperature as booked."""
    least: float
    """What weighs less than this beside the figures as booked is not worth a word."""

    @property
    def mm(self) -> float:
        """Small units in a millimetre."""
        return self.units.millimetre

    def fits(self, shift: float = 0.0, more: float = 0.0) -> float:
        """Density of the length, were it the booked one plus `shift`, the variance larger by `more`."""
        x = self.value + shift
        if more:
            return self.mixture.density(x, more)
        if not self.low < x < self.high:
            return 0.0
        total = 0.0
        for height, mean, steep in self.parts:
            total += height * exp(steep * (x - mean) * (x - mean))
        return total

    def as_read(self) -> float:
        """Density of the length and of the repeats as booked: the wilder they are, the looser is the length."""
        wild = WILD_REPEATS * self.wild_scatter()
        if wild < _HARDLY * self.repeats:
            return self.fits() * self.repeats
        return self.fits() * (self.repeats - wild) + self.fits(more=self.looser) * wild

    def scatter(self, dials: Sequence[float]) -> float:
        """Density of the scatter of dial figures about their mean, were these the repeats."""
        return repeated(dials, float(self.extensometer.repeatability))

    def wild_scatter(self) -> float:
        """The same of the dials as booked, had the tape been caught."""
        return scatter(self.dials, SEATED_SCATTER * float(self.extensometer.repeatability))

    def reaches(self, shift: float) -> bool:
        """Whether the booked length plus that is anywhere near what was expected."""
        return self.low < self.value + shift < self.high

    def can_show(self, dials: Iterable[float]) -> bool:
        """Whether the dial has such figures."""
        low, high = self.dial_range
        return all(low <= dial <= high for dial in dials)


def booked(
    length: Length, tape: Tape, extensometer: Extensometer, units: Units, mixture: Mixture, temper: Temper
) -> Booked:
    """The figures laid against the expected distribution."""
    low = min(m - _REACH * sqrt(v) for _, m, v in mixture.parts)
    high = max(m + _REACH * sqrt(v) for _, m, v in mixture.parts)
    dials = tuple(float(dial) for dial in length.figures.dials)
    value = float(length.value)
    scattered = repeated(dials, float(extensometer.repeatability))
    warm = temper.density(float(length.figures.temperature))
    return Booked(
        length,
        tape,
        extensometer,
        units,
        mixture,
        tuple((w / sqrt(2 * pi * v), m, -0.5 / v) for w, m, v in mixture.parts),
        low,
        high,
        temper,
        value,
        dials,
        (float(extensometer.dial_range[0]), float(extensometer.dial_range[1])),
        scattered,
        _looser(length.repeats, float(extensometer.repeatability)),
        warm,
        _NOT_WORTH * mixture.density(value) * scattered * warm,
    )


def _looser(repeats: Repeats, s_r: float) -> float:
    """What scatter `SEATED_SCATTER` times as wide adds to the variance of the repeats' mean or median."""
    share = MEDIAN_VARIANCE[repeats.n] if repeats.centre == "median" else 1 / repeats.n
    return (SEATED_SCATTER**2 - 1) * share * s_r * s_r


def repeated(dials: Sequence[float], s_r: float) -> float:
    """Density of the scatter of repeats, of which a few sets are wild for reasons of their own."""
    squares, n = _squares(dials), len(dials)
    return (1 - WILD_REPEATS) * _about(squares, n, s_r) + WILD_REPEATS * _about(squares, n, SEATED_SCATTER * s_r)


def scatter(dials: Sequence[float], sd: float) -> float:
    """The part of the density of n normal figures that their mean does not carry.

    prod N(d; mu, sd^2) = N(mean; mu, sd^2/n) x n^-1/2 (2 pi sd^2)^-(n-1)/2 exp(-sum (d - mean)^2 / (2 sd^2)).
    """
    return _about(_squares(dials), len(dials), sd)


def _squares(dials: Sequence[float]) -> float:
    middle = sum(dials) / len(dials)
    total = 0.0
    for dial in dials:
        total += (dial - middle) * (dial - middle)
    return total


def _about(squares: float, n: int, sd: float) -> float:
    variance = sd * sd
    height: float = (2 * pi * variance) ** (-0.5 * (n - 1))
    return exp(-0.5 * min(squares / variance, _WILDEST)) * height / sqrt(n)


def _middle(values: Sequence[float]) -> float:
    return sorted(values)[len(values) // 2]
