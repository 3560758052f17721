"""The bank of laws by which a chord may be moving, and how likely each is before anything is known.

A law has a velocity that dies away (within days or weeks, as a power of time, or not at all) and noise, small or
large: creep of the length, wander of the velocity, wander in proportion to the velocity. From rest to tens of
millimetres a day there is one in the bank that fits. Their figures are this program's own: wide on purpose, set on
invented ground, and shown by the benchmark to be neither too tight nor too loose there. Millimetres and days.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace


class Motion(Struct, frozen=True):
    """One law. Standard deviations in mm, mm a day; `wander` and `relative` after one day."""

    days: float
    """Time constant with which the velocity dies away."""
    ageing: float
    """Its growth, days a day: with the age of the movement, so that it slows down as a power of time."""
    creep: float
    """The length's own wander."""
    wander: float
    """The velocity's."""
    relative: float
    """The velocity's, as a share of it; a deviation lasts `PACE_LASTS`."""
    jitter: float
    """Of the movement between two readings, as a share of it."""
    first: float
    """Of the velocity, before anything is known."""
    prior: float
    """Weight, before anything is known."""


_FOR_EVER = 1e6
_DECAYS = (  # days, ageing, share
    (3.0, 0.0, 0.20),
    (15.0, 0.0, 0.25),
    (_FOR_EVER, 0.0, 0.15),
    (2.0, 0.5, 0.20),
    (3.0, 1.0, 0.20),
)
_NOISES = (  # creep, wander, relative, jitter, first, share
    (0.013, 0.0009, 0.045, 0.018, 0.05, 0.26),
    (0.013, 0.00045, 0.09, 0.027, 0.5, 0.18),
    (0.027, 0.00045, 0.11, 0.036, 3.0, 0.14),
    (0.036, 0.0018, 0.22, 0.055, 3.0, 0.11),
    (0.055, 0.036, 0.27, 0.09, 4.0, 0.05),
    (0.1, 0.1, 0.08, 0.03, 40.0, 0.06),
    (0.3, 0.3, 0.15, 0.05, 60.0, 0.06),
    (0.5, 1.0, 0.30, 0.15, 150.0, 0.05),
)
_RESTS = ((0.009, 0.04), (0.030, 0.09))  # creep, share


def _bank() -> tuple[Motion, ...]:
    moving = [
        Motion(days, ageing, creep, wander, relative, jitter, first, share * part)
        for creep, wander, relative, jitter, first, share in _NOISES
        for days, ageing, part in _DECAYS
    ]
    resting = [Motion(1.0, 0.0, creep, 0.0, 0.0, 0.0, 0.0, share) for creep, share in _RESTS]
    return weighted((*moving, *resting), [motion.prior for motion in (*moving, *resting)])


def weighted(bank: tuple[Motion, ...], weights: list[float]) -> tuple[Motion, ...]:
    """The bank with other weights before anything is known; they need not add up to 1."""
    total = sum(weights)
    return tuple(replace(motion, prior=weight / total) for motion, weight in zip(bank, weights, strict=True))


BANK = _bank()
