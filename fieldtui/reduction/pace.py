"""How fast the chords of a route go when they are new, and so how fast the next one may."""

from __future__ import annotations

from collections.abc import Iterable
from math import exp, hypot, log

from fieldtui.reduction.ground import Ground
from fieldtui.reduction.laws import BANK, Motion, weighted


def first_speeds(ground: Ground, mm: float) -> list[tuple[float, float]]:
    """How fast each chord went between its first two good readings, and the standard uncertainty of that; mm a day."""
    speeds = []
    for good in ground.beginnings():
        if len(good) == 2:
            days = (good[1].time - good[0].time).total_seconds() / 86400
            if days > 0:
                moved = float(good[1].length.value - good[0].length.value) / mm
                error = hypot(good[0].length.u, good[1].length.u) / mm
                speeds.append((moved / days, error / days))
    return speeds


def paced(speeds: Iterable[tuple[float, float]], bank: tuple[Motion, ...] = BANK) -> tuple[Motion, ...]:
    """The bank, weighed by first speeds seen on the route; a part of the weights stays as it was.

    However many there are, they count as five: the next chord may lie in other ground.
    """
    seen = list(speeds)
    if not seen:
        return bank
    counting = min(1.0, 5 / len(seen))
    likely = {}
    for first in {motion.first for motion in bank}:
        score = 0.0
        for speed, error in seen:
            variance = first * first + error * error + 4e-4
            score -= counting * (0.5 * log(variance) + min(0.5 * speed * speed / variance, 12.0))
        likely[first] = score
    highest = max(likely.values())
    total = sum(motion.prior * exp(likely[motion.first] - highest) for motion in bank)
    return weighted(bank, [m.prior * (0.05 + 0.95 * exp(likely[m.first] - highest) / total) for m in bank])
