"""How a chord may be moving: a bank of simple laws, each followed through the earlier readings, each weighed by them.

    Motion (a law) ── _forward, Kalman filter ──► where the chord is, how fast it goes, how sure that is
    BANK of them ──── Track: weighed by how well each foretold every reading so far ──► Mixture

Which law (`laws`) holds is not chosen but weighed, afresh with every reading; old evidence is slowly forgotten, so that
the bank follows when the ground changes its ways. What the station's other chords have shown counts too: they stand in
the same ground, before the same face.

The filter is Kalman's (1960; any textbook); weighing with forgetting is dynamic model averaging (Raftery, Karny and
Ettler 2010, Technometrics 52, 52-66; from memory). Millimetres and days throughout.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, fsum, inf, log, nan, sqrt

from msgspec import Struct, field
from msgspec.structs import replace

from fieldtui.reduction.laws import BANK, Motion
from fieldtui.reduction.mixture import Mixture

PACE_LASTS = 3.0
"""Days that a deviation from the law's pace lasts: the face stands still over a weekend."""
FORGETTING = 0.98
"""Share of the evidence (of the logarithm of the weights) kept from one reading to the next."""
JUMP = 4.5
"""A reading this many standard deviations from what a law foretold, and in the ground all the same, was a jump."""
LIGHTEST = 12.0
"""No law becomes lighter than the heaviest by more than a factor exp(this): ground that comes to rest finds its law."""
ANYTHING = -5.0
"""Logarithm of a density (1 mm; short of the root of 2 pi): one blast or new stage in ten does anything, by
some 40 mm, whatever the law. How far it went says no more of the law than that."""
LEARNING = 0.05
"""How quickly `unsteady` follows; it stays within `STEADIEST` and its inverse, and one reading counts at most WILD."""
STEADIEST, WILD = 0.2, 6.0
EVEN = 0.93
"""Mean of such a count, squared spreads of at most WILD, where the spread is right: 1 but for what WILD cuts off of a
normal (0.026) and of rough ground (0.044, computed from `rough`)."""
UNREAD = 60.0
"""mm: where more passes between two readings, they are soon taken oftener [common practice]."""
NEGLIGIBLE = 7.0
"""Laws lighter than the heaviest by a factor exp(this) are left out when something is foretold."""

Moving = tuple[float, float, float, float, float]
"""Length, velocity, variance of the length, covariance, variance of the velocity."""

Stir = tuple[float, float, float]
"""What comes in besides: variance of the length, covariance of length and velocity, variance of the velocity."""

CALM = (0.0, 0.0, 0.0)
"""No stir."""


class Track(Struct, frozen=True):
    """A chord followed through its readings. Times in days; one state and one weight (logarithm) for each law."""

    bank: tuple[Motion, ...]
    time: float
    born: float
    """When the movement that goes on now began: the first reading, or the last new stage."""
    states: tuple[Moving, ...]
    weights: tuple[float, ...]
    begun_with: tuple[float, ...]
    """The weights before any reading."""
    readings: int = 1
    unsteady: float = 1.0
    """How far the chord has lately been off what was foretold, against how far it should have been (variances)."""
    _ahead: _Ahead = field(default_factory=lambda: _Ahead())

    @classmethod
    def begin(cls, time: float, value: float, variance: float, bank: tuple[Motion, ...] = BANK) -> Track:
        """The first reading and the variance of its error."""
        states = tuple((value, 0.0, variance, 0.0, motion.first**2) for motion in bank)
        weights = tuple(log(motion.prior) for motion in bank)
        return cls(bank, time, time, states, weights, weights)

    def foretell(self, time: float, variance: float, stir: Stir = CALM) -> Mixture:
        """What a reading at that time, with that variance of its error, should be.

        `stir` is what a blast or a new stage of construction may have brought in.
        """
        ahead, weights = self._ahead.at(self, time, stir), self._weights(time)
        highest = max(weights)
        least, found = highest - NEGLIGIBLE, []
        for law, weight in enumerate(weights):
            if weight > least:
                x, _, pxx, _, _ = ahead.of(law)
                found.append((exp(weight - highest), x, pxx))
        total = middle = 0.0
        for weight, x, _ in found:
            total += weight
            middle += weight * x
        middle /= total
        wide, more = sqrt(self.unsteady), self.unsteady
        return Mixture(tuple((w / total, middle + wide * (x - middle), variance + more * pxx) for w, x, pxx in found))

    def follow(
        self,
        time: float,
        value: float,
        variance: float,
        stir: Stir = CALM,
        foretold: Mixture | None = None,
    ) -> Track:
        """The track with one more reading; `foretold` is what was foretold for it, where that is at hand."""
        ahead = self._ahead.at(self, time, stir)
        states, weights, came = [], [], stir[0]
        least = ANYTHING if came else -inf
        for (x, v, pxx, pxv, pvv), weight in zip(ahead.each(), self._weights(time), strict=True):
            off, spread = value - x, pxx + variance
            z2 = off * off / spread
            weights.append(FORGETTING * weight + max(-0.5 * log(spread) - _surprise(z2), least))
            if z2 > JUMP * JUMP:
                # what an event brought in was so much more, the velocity that is left of it as well
                more = off * off / came if came else 0.0
                pxx += off * off
                pxv += more * stir[1]
                pvv += more * stir[2]
                spread = pxx + variance
            kx, kv = pxx / spread, pxv / spread
            states.append((x + kx * off, v + kv * off, pxx - kx * pxx, pxv - kx * pxv, pvv - kv * pxv))
        highest = max(weights)
        return Track(
            self.bank,
            time,
            self.time if stir != CALM else self.born,
            tuple(states),
            tuple([max(weight - highest, -LIGHTEST) for weight in weights]),
            self.begun_with,
            self.readings + 1,
            self._unsteadier(foretold or self.foretell(time, variance, stir), value),
        )

    def shown(self) -> tuple[float, ...]:
        """What the readings alone say for each law: the weights without what is left of those before any reading."""
        left = FORGETTING ** (self.readings - 1)
        return tuple([w - left * before for before, w in zip(self.begun_with, self.weights, strict=True)])

    def heeding(self, beside: Sequence[Track]) -> Track:
        """The laws weighed by what other chords beside this one have shown too: they stand in the same ground.

        Each counts half, all of them together no more than one: they show much the same. How unsteady the ground is
        is the mean (of logarithms) of what all have shown.
        """
        shown = [track.shown() for track in beside]
        share = min(0.5, 1 / len(shown)) if shown else 0.0
        together = map(sum, zip(*shown, strict=True)) if shown else [0.0] * len(self.weights)
        weights = [own + share * theirs for own, theirs in zip(self.weights, together, strict=True)]
        highest = max(weights)
        unsteady = exp(fsum(log(track.unsteady) for track in (self, *beside)) / (1 + len(beside)))
        return replace(self, weights=tuple([weight - highest for weight in weights]), unsteady=unsteady)

    def _weights(self, time: float) -> tuple[float, ...]:
        """The weights; at the first interval less for laws by which more would pass than a crew lets pass unread."""
        if self.readings > 1:
            return self.weights
        days = max(time - self.time, 0.0)
        return tuple(
            weight - (2 * log(motion.first * days / UNREAD) if motion.first * days > UNREAD else 0.0)
            for motion, weight in zip(self.bank, self.weights, strict=True)
        )

    def age(self, time: float, stir: Stir) -> float:
        """Age of the movement that goes on, half-way to a time; days."""
        born = self.time if stir != CALM else self.born
        return (time + self.time) / 2 - born

    def _unsteadier(self, foretold: Mixture, value: float) -> float:
        """Grown or shrunk by the last reading; in balance where readings are off as far as they should be.

        The first two intervals say nothing: what was foretold then came from no reading of this chord's velocity.
        """
        if self.readings < 3:
            return 1.0
        z2 = min(((value - foretold.mean) / foretold.sd) ** 2, WILD)
        return min(max(self.unsteady * (1 + LEARNING * (z2 - EVEN)), STEADIEST), 1 / STEADIEST)


def _surprise(z2: float) -> float:
    """Minus the logarithm of a density, with heavier tails than the normal's: one wild reading decides nothing."""
    return 0.5 * z2 if z2 < 20 else 10 + 5 * log(z2 / 20)


class _Ahead:
    """A track's states at one later time, each worked out once: to foretell a reading, and then to follow it.

    It goes with the states, whatever the weights become, and remembers only the time that was last asked for.
    """

    __slots__ = ("bank", "before", "states", "stir", "time", "ways")

    def __init__(self) -> None:
        self.time, self.stir = nan, CALM

    def __eq__(self, other: object) -> bool:
        """What has been worked out makes no track another."""
        return isinstance(other, _Ahead)

    __hash__ = None  # type: ignore[assignment]

    def at(self, track: Track, time: float, stir: Stir) -> _Ahead:
        """Made ready for a time, with what comes in besides."""
        if self.time != time or self.stir != stir:
            self.time, self.stir, self.bank, self.before = time, stir, track.bank, track.states
            self.ways = _Ways(time - track.time, track.age(time, stir))
            self.states: list[Moving | None] = [None] * len(track.states)
        return self

    def each(self) -> list[Moving]:
        """The states of all laws of the bank."""
        return [self.of(law) if state is None else state for law, state in enumerate(self.states)]

    def of(self, law: int) -> Moving:
        """The state of one law of the bank."""
        state = self.states[law]
        if state is None:
            state = self.states[law] = _forward(self.bank[law], self.before[law], self.ways, self.stir)
        return state


class _Ways:
    """What a span of time does to a velocity that dies away, worked out once for each time constant of the bank."""

    __slots__ = ("age", "days", "found")

    def __init__(self, days: float, age: float) -> None:
        self.days, self.age = days, age
        self.found: dict[tuple[float, float], tuple[_Way, _Way]] = {}

    def of(self, motion: Motion) -> tuple[_Way, _Way]:
        """For the law's own wander, and for its pace."""
        key = (motion.days, motion.ageing)
        ways = self.found.get(key)
        if ways is None:
            tau = motion.days + motion.ageing * self.age
            ways = self.found[key] = _way(self.days, tau), _way(self.days, min(tau, PACE_LASTS))
        return ways


def _forward(motion: Motion, state: Moving, ways: _Ways, stir: Stir) -> Moving:
    """A state so many days on. The velocity dies away as exp(-t/T) and wanders (an Ornstein-Uhlenbeck process)."""
    x, v, pxx, pxv, pvv = state
    if ways.days <= 0:
        return x, v, pxx + stir[0], pxv + stir[1], pvv + stir[2]
    (keep, g, w_xx, w_xv, w_vv), (_, _, r_xx, r_xv, r_vv) = ways.of(motion)
    w, r = motion.wander * motion.wander, motion.relative * motion.relative * (v * v + pvv)
    moved, creep = g * v, motion.creep
    loose = motion.jitter * moved
    xx = pxx + 2 * g * pxv + g * g * pvv + w * w_xx + r * r_xx + creep * creep * ways.days + loose * loose
    xv = keep * (pxv + g * pvv) + w * w_xv + r * r_xv
    vv = keep * keep * pvv + w * w_vv + r * r_vv
    return x + moved, keep * v, xx + stir[0], xv + stir[1], vv + stir[2]


_Way = tuple[float, float, float, float, float]


def _way(days: float, tau: float) -> _Way:
    """For a velocity that dies away with tau: what is left of it, the way it makes, and what unit wander adds to the
    variance of the length, the covariance, the variance of the velocity. Exact; the limit of no decay for small t/T.
    """
    r = days / tau
    if r < 1e-3:
        return 1.0 - r, days, days**3 / 3, days**2 / 2, days
    keep = exp(-r)
    g = tau * (1 - keep)
    return keep, g, tau**3 * (r - 2 * (1 - keep) + (1 - keep * keep) / 2), g * g / 2, tau * (1 - keep * keep) / 2
