"""Invented ground: how long the chords of a station truly are at each survey, and how much of that nobody can foresee.

    regime ──► law of movement, rhythm of the surveys ──► Ground truth: lengths, random part, stages

The law of face and time together is that of Sulem, Panet and Guenot (1987) in the form
A [1 - (X/(x + X))^2] {1 + m [1 - (T/(t + T))^n]} with n = 0.3 (recalled, not looked up); a bench passing starts it
again with a smaller amplitude. On the law lies what nobody can foresee: the pace wanders (the logarithm of the rate
is an Ornstein-Uhlenbeck process, mostly shared by the chords of a station) and every chord creeps on its own
(Brownian). Nothing here is shared with what the program expects: no filter, no damped velocity, no bank of models.

`random_variance` is the variance of the random part of the movement since the survey before, for somebody who knows
the law and its parameters, but neither the wandering pace nor the errors, nor what a new stage will do until the
first reading after it. It is the simulator's own, in mm^2.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, exp, log, pi, sqrt

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

Curve = NDArray[np.float64]

REGIMES = ("calm", "normal", "squeezing")
WIDTH = 9.5
"""Excavated width, m: the rhythm of the surveys goes by it."""
TIME_POWER = 0.3
SURVEYS = 24


@dataclass(frozen=True)
class Pace:
    """How the rate wanders: standard deviation of its logarithm, days that a deviation lasts, share of the station."""

    spread: float
    days: float
    shared: float = 0.85


@dataclass(frozen=True)
class Movement:
    """One station's movement. `times` in days since the zero reading, closing positive, mm."""

    regime: str
    times: Curve
    closing: Curve
    """One row for each chord."""
    random_variance: Curve
    """One row for each chord: of the movement since the survey before; nil for the first."""
    rates: Curve
    """The law's mean rate since the survey before, mm a day, one row for each chord."""
    stages: tuple[float, ...]
    """When a new stage of construction began, days."""


def law(x: Curve, t: Curve, amplitude: float, face: float, days: float, m: float) -> Curve:
    """Closing of a station x m behind the face and t days after it passed; nil before that."""
    x, t = np.maximum(x, 0.0), np.maximum(t, 0.0)
    return amplitude * (1 - (face / (x + face)) ** 2) * (1 + m * (1 - (days / (t + days)) ** TIME_POWER))


def station_movement(regime: str, chords: int, rng: Generator, surveys: int = SURVEYS) -> Movement:
    """The movement of one station in one of the regimes."""
    if regime == "calm":
        return _calm(chords, surveys, rng)
    return _driven(regime, chords, surveys, rng)


def _calm(chords: int, surveys: int, rng: Generator) -> Movement:
    """At rest: a millimetre a month or less, a breath of the seasons; read weekly to quarterly, sometimes missed."""
    every = float(rng.choice([3.0, 7.0, 14.0, 30.0, 90.0]))
    gaps = every * rng.uniform(0.8, 1.2, surveys - 1) * rng.choice([1.0, 2.0, 3.0], surveys - 1, p=[0.9, 0.07, 0.03])
    times = np.concatenate([[0.0], np.cumsum(gaps)])
    rate = min(exp(rng.normal(log(0.2), 1.0)), 1.0) / 30.0 * rng.choice([1.0, -1.0], p=[0.85, 0.15])
    swing, phase = rng.uniform(0.0, 0.25), rng.uniform(0.0, 2 * pi)
    season = swing * np.array([cos(2 * pi * t / 365.25 + phase) for t in times])
    shares = rng.uniform(0.5, 1.2, chords)
    creep = rng.uniform(0.0, 0.015)
    return _wandering(
        "calm", times, rate * times, season, shares, Pace(0.3, 20.0), creep, (), rng, np.zeros_like(times)
    )


def _driven(regime: str, chords: int, surveys: int, rng: Generator) -> Movement:
    """Driven by the face (and time): slowing down, sometimes started again by a bench."""
    squeezing = regime == "squeezing"
    speed = rng.uniform(0.5, 1.5) if squeezing else rng.uniform(1.0, 4.0)
    behind = rng.uniform(1.0, 6.0)
    times = _rhythm(behind, speed, squeezing, surveys, rng)
    amplitude = rng.uniform(250.0, 900.0) if squeezing else exp(rng.normal(log(10.0), 0.6))
    face = rng.uniform(8.0, 16.0) if squeezing else rng.uniform(6.0, 12.0)
    days = rng.uniform(8.0, 30.0) if squeezing else rng.uniform(5.0, 30.0)
    m = rng.uniform(0.8, 2.5) if squeezing else rng.uniform(0.2, 1.2)
    x, t = behind + speed * times, behind / speed + times
    closing = law(x, t, amplitude, face, days, m)
    stages: tuple[float, ...] = ()
    started = np.zeros_like(times)
    if not squeezing and rng.random() < 0.5:
        begins = rng.uniform(0.3, 0.8) * times[-1]
        bench = law(speed * (times - begins), times - begins, amplitude * rng.uniform(0.2, 0.6), face, days, m)
        closing = closing + bench
        first = int(np.searchsorted(times, begins, side="right"))
        started[first] = bench[first]
        stages = (float(begins),)
    shares = rng.uniform(0.6, 1.1, chords)
    pace = Pace(rng.uniform(0.05, 0.25), 2.0) if squeezing else Pace(rng.uniform(0.1, 0.35), 1.5)
    creep = rng.uniform(0.02, 0.3) if squeezing else rng.uniform(0.01, 0.04)
    return _wandering(regime, times, closing, np.zeros_like(times), shares, pace, creep, stages, rng, started)


def _rhythm(behind: float, speed: float, squeezing: bool, surveys: int, rng: Generator) -> Curve:
    """When the station is read: by the distance from the face, in widths, and irregular as a job is."""
    times = [0.0]
    slack = rng.choice([1.0, 2.0], p=[0.7, 0.3])
    while len(times) < surveys:
        widths = (behind + speed * times[-1]) / WIDTH
        if squeezing:
            every = float(rng.choice([0.33, 0.5, 1.0, 2.0], p=[0.25, 0.4, 0.3, 0.05]))
        else:
            every = slack * (0.5 if widths < 1 else 1.0 if widths < 2 else 2.5 if widths < 5 else 6.0)
            every = 30.0 if widths > 12 else every
        missed = rng.choice([1.0, 2.0, 4.0], p=[0.92, 0.06, 0.02])
        times.append(times[-1] + every * missed * rng.uniform(0.8, 1.25))
    return np.array(times)


def _wandering(
    regime: str,
    times: Curve,
    closing: Curve,
    season: Curve,
    shares: Curve,
    pace: Pace,
    creep: float,
    stages: tuple[float, ...],
    rng: Generator,
    started: Curve,
) -> Movement:
    gaps, planned = np.diff(times), np.diff(closing)
    station = _mean_paces(gaps, pace, rng)
    rows, variances = [], []
    for share in shares:
        own = _mean_paces(gaps, pace, rng)
        mixed = pace.shared * station + sqrt(1 - pace.shared**2) * own
        moved = share * planned * np.exp(mixed - pace.spread**2 / 2) + rng.normal(0, creep, len(gaps)) * np.sqrt(gaps)
        rows.append(np.concatenate([[0.0], np.cumsum(moved)]) + season)
        variance = (share * planned) ** 2 * _pace_variance(gaps, pace) + creep**2 * gaps
        variances.append(np.concatenate([[0.0], variance]) + (share * started) ** 2)
    rates = np.array([np.concatenate([[0.0], share * planned / gaps]) for share in shares])
    return Movement(regime, times, np.array(rows), np.array(variances), rates, stages)


def _pace_variance(gaps: Curve, pace: Pace) -> Curve:
    """Variance of the mean over each gap of a stationary Ornstein-Uhlenbeck process."""
    r = gaps / pace.days
    return np.asarray(2 * pace.spread**2 * (r - 1 + np.exp(-r)) / r**2)


def _mean_paces(gaps: Curve, pace: Pace, rng: Generator) -> Curve:
    """The mean over each gap of one path of that process, run in steps of a tenth of its days or less."""
    value, means = rng.normal(0, pace.spread), []
    for gap in gaps:
        steps = max(4, int(10 * gap / pace.days))
        keep = exp(-gap / steps / pace.days)
        shocks = rng.normal(0, pace.spread * sqrt(1 - keep**2), steps)
        total = 0.0
        for shock in shocks:
            total += value / 2
            value = keep * value + shock
            total += value / 2
        means.append(total / steps)
    return np.array(means)
