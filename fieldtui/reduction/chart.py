"""Control charts of single values: individuals with their moving range, and the exponentially weighted mean (EWMA).

    the first values ── limits_of ──► Limits, frozen          value ── Chart.judge ──► Point
                                                               └───── Chart.after ──► the chart with it

The individuals show at once what is far off, the weighted mean what drifts slowly [NIST/SEMATECH e-Handbook of
Statistical Methods, 6.3.2.2 and 6.3.2.4]. Limits come from a stated first set and stay as they are: limits that went
along would take a drift for usual. Values in any one unit.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from math import fsum, inf, sqrt
from typing import overload

from msgspec import Struct
from msgspec.structs import replace

SET = 20
"""How many values the limits are frozen from: of fewer, the limits themselves are too uncertain."""
WEIGHT = 0.2
"""Of the newest value in the weighted mean; 0.2 to 0.3 is usual [e-Handbook 6.3.2.4]."""
SIGMAS = 3.0
MEAN_RANGE = 1.128
"""Mean of the range of two values in standard deviations, d2 for n = 2 [e-Handbook 6.3.2.2]."""
TOO_WIDE = 3.5
"""Moving ranges over so many times their mean are left out of it (L. S. Nelson 1982): they are no usual ones."""


class Limits(Struct, frozen=True):
    """What is usual. `ranges` moving ranges went into sigma, `left_out` were too wide for it."""

    centre: float
    sigma: float
    weight: float = WEIGHT
    ranges: int = 0
    left_out: int = 0

    @property
    def half_width(self) -> float:
        """Of the individuals' limits about the centre."""
        return SIGMAS * self.sigma

    @property
    def ewma_half_width(self) -> float:
        """Of the weighted mean's limits, as they are after many values."""
        return SIGMAS * self.sigma * sqrt(self.weight / (2 - self.weight))

    def outside(self, value: float) -> bool:
        """Whether a single value lies outside."""
        return abs(value - self.centre) > self.half_width

    def drifted(self, ewma: float) -> bool:
        """Whether a weighted mean lies outside."""
        return abs(ewma - self.centre) > self.ewma_half_width


def limits_of(values: Sequence[float], *, weight: float = WEIGHT, least_sigma: float = 0.0) -> Limits:
    """Limits from a set: its mean, and sigma by the mean moving range. `ValueError` for fewer than two values.

    `least_sigma` is the least that sigma can be: figures that are read to a step do not scatter by less.
    """
    if len(values) < 2:
        raise ValueError("limits need at least two values")
    every = [abs(values[place] - values[place - 1]) for place in range(1, len(values))]
    widest = TOO_WIDE * fsum(every) / len(every)
    ranges = [one for one in every if one <= widest]
    sigma = fsum(ranges) / len(ranges) / MEAN_RANGE
    return Limits(fsum(values) / len(values), max(sigma, least_sigma), weight, len(ranges), len(every) - len(ranges))


class Point(Struct, frozen=True):
    """One value and what the chart says of it. In the set nothing is said: there are no limits yet."""

    at: datetime
    name: str
    """What it is of, in a word: the survey's label."""
    value: float
    ewma: float | None = None
    """The weighted mean with this value in it; None before the limits are there."""
    in_set: bool = False
    outside: bool = False
    drifted: bool = False


class Growing(Sequence[Point]):
    """The first so many of points that were added one by one, held once however many charts there were on the way."""

    __slots__ = ("_every", "_length")

    def __init__(self, every: list[Point], length: int) -> None:
        self._every, self._length = every, length

    @classmethod
    def of(cls, points: Sequence[Point]) -> Growing:
        """These points, to be gone on with."""
        return points if isinstance(points, Growing) else cls([*points], len(points))

    def and_then(self, point: Point) -> Growing:
        """One more; these stay as many as they are."""
        every = self._every if len(self._every) == self._length else self._every[: self._length]
        every.append(point)
        return Growing(every, self._length + 1)

    @overload
    def __getitem__(self, place: int) -> Point: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[Point]: ...
    def __getitem__(self, place: int | slice) -> Point | Sequence[Point]:
        wanted = range(self._length)[place]
        return self._every[wanted] if isinstance(wanted, int) else tuple(self._every[one] for one in wanted)

    def __len__(self) -> int:
        return self._length

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and tuple(self) == tuple(other)

    def __hash__(self) -> int:
        return hash(tuple(self))


class Chart(Struct, frozen=True):
    """Values in order of time. `limits` are None until the set is full, or are given from the start."""

    points: Sequence[Point] = ()
    limits: Limits | None = None
    ewma: float | None = None
    size: int = SET
    least_sigma: float = 0.0
    widest: float = inf
    """A value farther than this from the first one is not taken into the set: something was wrong with it."""

    @property
    def first_set(self) -> tuple[Point, ...]:
        """The values that the limits are frozen from, or are being gathered for."""
        return tuple(point for point in self.points if point.in_set)

    def judge(self, at: datetime, name: str, value: float) -> Point:
        """What the chart says of one more value.

        A value that is outside goes into the weighted mean as far as its limit: it has been noticed by itself, and one
        that is far off would colour the mean for many values to come. Two of them in a row are a drift.
        """
        if self.limits is None:
            first = self.first_set
            near = not first or abs(value - first[0].value) <= self.widest
            return Point(at, name, value, in_set=near)
        limits = self.limits
        before = limits.centre if self.ewma is None else self.ewma
        counted = min(max(value, limits.centre - limits.half_width), limits.centre + limits.half_width)
        mean = limits.weight * counted + (1 - limits.weight) * before
        return Point(at, name, value, mean, outside=limits.outside(value), drifted=limits.drifted(mean))

    def after(self, at: datetime, name: str, value: float) -> Chart:
        """The chart with one more value; the one that fills the set freezes the limits."""
        point = self.judge(at, name, value)
        grown = replace(self, points=Growing.of(self.points).and_then(point), ewma=point.ewma)
        if self.limits is None and len(grown.first_set) == self.size:
            values = [one.value for one in grown.first_set]
            return replace(grown, limits=limits_of(values, least_sigma=self.least_sigma))
        return grown
