"""How far the other chords of a survey are off: how dense that is if nothing ails them, or if they share something.

Every explanation that speaks of other chords is held against `unshared`: nothing ails them. Then they are still not
independent. Chords of one station stand in the same ground: they go faster or slower together, and where it is rough
it is rough for all. Now and then the ground along the whole route is on the move.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import exp, pi, sqrt

from msgspec.structs import replace

from fieldtui.reduction import rough
from fieldtui.reduction.evidence import Other

TOGETHER = 0.7
"""How far two chords of a station are taken to move together before there are readings to show it (correlation)."""
_SPOILT, _SPOILT_BY = 0.03, 8.0
"""Share of the other chords' readings that are off for reasons of their own, and how far (spread, mm)."""
_APART = 0.15
"""How often the chords of a station go their own ways after all."""
_COMMON, _COMMON_UNSURE, _COMMON_SPREADS = 0.06, 0.4, 1.6
"""How often all chords of a survey are off by alike many spreads, since the ground is, and by how many. More often
after a blast or a new stage, or before anybody knows the chord's pace."""
_LEAST = 1e-6
"""A density that nothing falls below, for 1 mm: readings can be off by metres."""
_LEAST_MOVING = 0.01
"""Share of a spread's variance that is movement, at the least: no chord is only its errors of reading."""
_NONE = 1e-300


class Shared:
    """Something that readings share, normal about nil: how dense they are if so, and what it then is."""

    def __init__(self, variance: float) -> None:
        self.precision, self.pull, self.density = 1 / variance, 0.0, 1.0

    def heed(self, value: float, variance: float, unit: float = 1.0) -> float:
        """One more reading, and its density after those before; `unit` is the size of the value's unit, small units."""
        density = normal(value - self.mean, variance + self.variance) / unit
        self.density *= density
        self.precision += 1 / variance
        self.pull += value / variance
        return density

    @property
    def mean(self) -> float:
        return self.pull / self.precision

    @property
    def variance(self) -> float:
        return 1 / self.precision


class Together:
    """Chords of one or more stations, each station's in the same ground, calm or rough."""

    def __init__(self, variance: float) -> None:
        """`variance` of movement, in that which was foretold."""
        self.variance, self.density = variance, 1.0
        self.stations: dict[str, Shared] = {}

    def heed(self, other: Other, moving: float) -> None:
        """One more chord, `moving` the share of its spread's variance that is movement."""
        shared = TOGETHER * moving * self.variance
        alone = 1 - moving + moving * self.variance - shared
        leaning = sqrt(shared)
        station = self.stations.setdefault(other.key[0], Shared(1.0))
        self.density *= station.heed(other.z / leaning, alone / shared, leaning * other.spread)


class Unshared:
    """Other chords that nothing ails, one after the other: how dense it is that they are off as far as they are.

    Three ways, weighed: each on its own; the chords of a station together, as far as their spreads are movement; all
    by alike many spreads.
    """

    def __init__(self, mm: float, unsure: bool) -> None:
        self.mm, self.share = mm, _COMMON_UNSURE if unsure else _COMMON
        self.apart = 1.0
        self.calm, self.rough = Together(rough.CALM), Together(rough.ROUGH)
        self.common = Shared(_COMMON_SPREADS**2)

    def heed(self, other: Other) -> None:
        """One more chord."""
        self.apart *= clean(other, self.mm)
        self.common.heed(other.z, 1.0, other.spread)
        moving = max(_LEAST_MOVING, 1 - other.own / (other.spread * other.spread))
        self.calm.heed(other, moving)
        self.rough.heed(other, moving)

    @property
    def density(self) -> float:
        together = (1 - rough.SELDOM) * self.calm.density + rough.SELDOM * self.rough.density
        own = _APART * self.apart + (1 - _APART) * together
        return (1 - self.share) * own + self.share * self.common.density + _NONE

    @property
    def roughness(self) -> float:
        """How likely these chords make it that the ground is rough: `SELDOM` without any."""
        if not self.rough.stations:
            return rough.SELDOM
        return (1 - self.share) * (1 - _APART) * rough.SELDOM * self.rough.density / self.density


def unshared(others: Sequence[Other], mm: float, unsure: bool) -> float:
    """Density of how far other chords are off, if they share nothing but the ground."""
    return heeded(others, mm, unsure).density


def heeded(others: Sequence[Other], mm: float, unsure: bool) -> Unshared:
    """Other chords, taken together."""
    found = Unshared(mm, unsure)
    for other in others:
        found.heed(other)
    return found


def shared_by(others: Sequence[tuple[Other, float]], mm: float) -> float:
    """Density of how far other chords are off, if each is off by a known amount; some for reasons of their own."""
    density = 1.0
    for other, by in others:
        density *= clean(replace(other, off=other.off - by), mm)
    return density


def clean(other: Other, mm: float) -> float:
    """Density of how far a reading is off, if nothing ails it that this one shares."""
    return _clean(other.off, other.spread, mm)


@lru_cache(maxsize=1024)  # every explanation asks it of the same other chords
def _clean(off: float, spread: float, mm: float) -> float:
    s2 = spread**2
    right, spoilt = normal(off, s2), normal(off, s2 + (_SPOILT_BY * mm) ** 2)
    return (1 - _SPOILT) * right + _SPOILT * spoilt + _LEAST / mm


def along(other: Other, moved: float, takes: tuple[float, float]) -> float:
    """Density of how far another chord is off, if it took a share of what this one has moved."""
    mean, spread = takes
    return normal(other.off - mean * moved, other.spread**2 + (spread * moved) ** 2)


def normal(x: float, variance: float) -> float:
    """Density of a normal distribution about nil."""
    z2 = x * x / variance
    return exp(-0.5 * z2) / sqrt(2 * pi * variance) if z2 < 1400 else 0.0
