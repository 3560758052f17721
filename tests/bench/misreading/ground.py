"""Invented ground: how long the chords of a station truly are at each survey, and how much of that nobody can foresee.

    regime ──► Setting: rhythm of the surveys, face, law ──► Movement of each station: closing, random part, stages

The law of face and time together is that of Sulem, Panet and Guenot (1987) in the form
A [1 - (X/(x + X))^2] {1 + m [1 - (T/(t + T))^n]} with n = 0.3 (recalled, not looked up); a bench passing starts it
again with a smaller amplitude. On the law lies what nobody can foresee: the pace wanders (the logarithm of the rate
is an Ornstein-Uhlenbeck process, mostly shared by the chords of a station) and every chord creeps on its own
(Brownian). Nothing here is shared with what the program expects: no filter, no damped velocity, no bank of models.

`random_variance` is the variance of the movement since the survey before, for somebody who knows the law and its
parameters and the true movement of every interval so far, but neither the pace from now on nor what a new stage will
do until the first reading after it. It is the simulator's own, in mm^2.
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
class Setting:
    """What the stations of one route have in common. `times` in days, of all surveys, the first at 0."""

    regime: str
    times: Curve
    speed: float
    """Of the face, m a day."""
    behind: float
    """m from the face to a station when it is read for the first time."""
    bench: float | None = None
    """When the bench, or what else follows, passes the stations; None for not at all."""


@dataclass(frozen=True)
class Movement:
    """One station's movement from its own first survey on. Closing positive, mm."""

    closing: Curve
    """One row for each chord."""
    random_variance: Curve
    """One row for each chord: of the movement since the survey before; nil for the first."""
    stages: tuple[float, ...]
    """When a new stage of construction began, in the setting's days."""


def law(x: Curve, t: Curve, amplitude: float, face: float, days: float, m: float) -> Curve:
    """Closing of a station x m behind the face and t days after it passed; nil before that."""
    x, t = np.maximum(x, 0.0), np.maximum(t, 0.0)
    return amplitude * (1 - (face / (x + face)) ** 2) * (1 + m * (1 - (days / (t + days)) ** TIME_POWER))


def setting(regime: str, ahead: int, rng: Generator) -> Setting:
    """The surveys of one route: `ahead` of them before the station that is judged is there, SURVEYS from then on."""
    if regime == "calm":
        every = float(rng.choice([3.0, 7.0, 14.0, 30.0, 90.0]))
        n = ahead + SURVEYS - 1
        gaps = every * rng.uniform(0.8, 1.2, n) * rng.choice([1.0, 2.0, 3.0], n, p=[0.9, 0.07, 0.03])
        return Setting(regime, np.concatenate([[0.0], np.cumsum(gaps)]), 0.0, 100.0)
    speed = rng.uniform(0.5, 1.5) if regime == "squeezing" else rng.uniform(1.0, 4.0)
    behind = rng.uniform(1.0, 6.0)
    before = np.cumsum(rng.uniform(0.5, 1.2, ahead))
    bench = exp(rng.uniform(log(8.0), log(120.0))) if regime == "normal" and rng.random() < 0.5 else None
    rhythm = _rhythm(behind, speed, regime == "squeezing", bench, rng)
    start = float(before[-1]) if ahead else 0.0
    times = np.concatenate([[0.0], before[:-1], start + rhythm]) if ahead else rhythm
    if bench is not None:
        bench = start + bench if bench < rhythm[-1] else None
    return Setting(regime, times, speed, behind, bench)


def _rhythm(behind: float, speed: float, squeezing: bool, bench: float | None, rng: Generator) -> Curve:
    """When the judged station is read: by its distance from the nearer face, in widths, and irregular as a job is."""
    times = [0.0]
    slack = rng.choice([1.0, 2.0], p=[0.7, 0.3])
    while len(times) < SURVEYS:
        widths = (behind + speed * times[-1]) / WIDTH
        if bench is not None and times[-1] >= bench:
            widths = min(widths, speed * (times[-1] - bench) / WIDTH)
        if squeezing:
            every = float(rng.choice([0.33, 0.5, 1.0, 2.0], p=[0.25, 0.4, 0.3, 0.05]))
        else:
            every = slack * (0.5 if widths < 1 else 1.0 if widths < 2 else 2.5 if widths < 5 else 6.0)
            every = 30.0 if widths > 12 else every
        missed = rng.choice([1.0, 2.0, 4.0], p=[0.92, 0.06, 0.02])
        times.append(times[-1] + every * missed * rng.uniform(0.8, 1.25))
    return np.array(times)


def station_movement(where: Setting, first: int, chords: int, rng: Generator) -> Movement:
    """The movement of one station, first read in the `first`-th survey."""
    times = where.times[first:] - where.times[first]
    if where.regime == "calm":
        return _calm(times, chords, rng)
    return _driven(where, times, float(where.times[first]), chords, rng)


def _calm(times: Curve, chords: int, rng: Generator) -> Movement:
    """At rest: a millimetre a month or less, a breath of the seasons."""
    rate = min(exp(rng.normal(log(0.2), 1.0)), 1.0) / 30.0 * rng.choice([1.0, -1.0], p=[0.85, 0.15])
    swing, phase = rng.uniform(0.0, 0.25), rng.uniform(0.0, 2 * pi)
    season = swing * np.array([cos(2 * pi * t / 365.25 + phase) for t in times])
    shares = rng.uniform(0.5, 1.2, chords)
    pace, creep = Pace(0.3, 20.0), rng.uniform(0.0, 0.015)
    return _wandering(times, rate * times, np.zeros_like(times), season, shares, pace, creep, (), rng)


def _driven(where: Setting, times: Curve, since: float, chords: int, rng: Generator) -> Movement:
    """Driven by the face (and time): slowing down, sometimes started again by a bench."""
    squeezing = where.regime == "squeezing"
    amplitude = rng.uniform(250.0, 900.0) if squeezing else exp(rng.normal(log(10.0), 0.6))
    face = rng.uniform(8.0, 16.0) if squeezing else rng.uniform(6.0, 12.0)
    days = rng.uniform(8.0, 30.0) if squeezing else rng.uniform(5.0, 30.0)
    m = rng.uniform(0.8, 2.5) if squeezing else rng.uniform(0.2, 1.2)
    x, t = where.behind + where.speed * times, where.behind / where.speed + times
    closing = law(x, t, amplitude, face, days, m)
    stages: tuple[float, ...] = ()
    started = np.zeros_like(times)
    if where.bench is not None:
        begins = where.bench - since
        bench = law(where.speed * (times - begins), times - begins, amplitude * rng.uniform(0.2, 0.6), face, days, m)
        closing = closing + bench
        first = int(np.searchsorted(times, begins, side="right"))
        started[first] = bench[first]
        stages = (where.bench,)
    shares = rng.uniform(0.6, 1.1, chords)
    pace = Pace(rng.uniform(0.05, 0.25), 2.0) if squeezing else Pace(rng.uniform(0.1, 0.35), 1.5)
    creep = rng.uniform(0.02, 0.3) if squeezing else rng.uniform(0.01, 0.04)
    return _wandering(times, closing, started, np.zeros_like(times), shares, pace, creep, stages, rng)


def _wandering(
    times: Curve,
    closing: Curve,
    started: Curve,
    season: Curve,
    shares: Curve,
    pace: Pace,
    creep: float,
    stages: tuple[float, ...],
    rng: Generator,
) -> Movement:
    """The law with what nobody can foresee laid on it."""
    gaps, planned = np.diff(times), np.diff(closing)
    station, together = _mean_paces(gaps, pace, rng), _pace_covariance(gaps, pace)
    rows, variances = [], []
    for share in shares:
        own = _mean_paces(gaps, pace, rng)
        mixed = pace.shared * station + sqrt(1 - pace.shared**2) * own
        moved = share * planned * np.exp(mixed - pace.spread**2 / 2) + rng.normal(0, creep, len(gaps)) * np.sqrt(gaps)
        rows.append(np.concatenate([[0.0], np.cumsum(moved)]) + season)
        covariance = np.outer(share * planned, share * planned) * together
        covariance += np.diag(creep**2 * gaps + (share * started[1:]) ** 2 + 1e-12)
        variances.append(np.concatenate([[0.0], np.diag(np.linalg.cholesky(covariance)) ** 2]))
    return Movement(np.array(rows), np.array(variances), stages)


def _pace_covariance(gaps: Curve, pace: Pace) -> Curve:
    """Covariance of the means over the gaps of a stationary Ornstein-Uhlenbeck process."""
    r = gaps / pace.days
    ends = np.cumsum(gaps)
    reach = 1 - np.exp(-r)
    between = np.maximum((ends - gaps)[None, :] - ends[:, None], 0.0) / pace.days
    upper = np.triu(np.outer(reach / r, reach / r) * np.exp(-between), 1)
    return np.asarray(pace.spread**2 * (upper + upper.T + np.diag(2 * (r - 1 + np.exp(-r)) / r**2)))


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
