"""Explanations in which the figures are right: movement, an anchor, a seating, a zero that was not set.

They differ in what the other chords of the survey do. Ground that moves shows in more than one chord of the station;
an anchor that was struck in all of its own and in no other; a zero in every chord from some chord onwards.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import exp, fsum, pi, prod, sqrt

from fieldtui.reduction import priors as odds
from fieldtui.reduction.evidence import Other
from fieldtui.reduction.fit import Booked
from fieldtui.reduction.priors import Cause, Priors
from fieldtui.reduction.question import Question
from fieldtui.reduction.weighing import Candidate

_SPOILT = 0.03
"""Share of the other chords' readings that are off for reasons of their own, and how far (spread, mm)."""
_SPOILT_BY = 8.0
_COMMON, _COMMON_AFTER_EVENT, _COMMON_SPREADS = 0.06, 0.4, 1.6
"""How often all chords of a survey are off by alike many spreads, since the ground is; and by how many."""
_LEAST = 1e-6
"""A density that nothing falls below, for 1 mm: readings can be off by metres."""
_LOOK_BACK = 8
"""A zero may have gone so many chords ago."""
_GROUND_TAKES, _ANCHOR_TAKES = (0.6, 0.4), (0.4, 0.5)
"""Share of its movement that another chord takes, mean and standard deviation: the ground's; its own anchor's, which
lengthens some chords as it shortens others."""
_TELLING = 1e6
"""However many other chords speak for movement or an anchor, they count no more than this."""
_FAR = 25.0
"""Scale (mm) of the last resort: however far a reading is off, it may be movement."""


def movement(read: Booked, asked: Question) -> Iterator[Candidate]:
    """Sudden movement, of any size. Likelier after a blast or a new stage, and where the station's others moved."""
    cause: Cause = "real movement"
    priors = asked.priors
    base = priors.of(cause) * read.repeats * read.warm * (priors.after_event if asked.event else 1.0)
    beside = asked.evidence.at_station(asked.station.name)
    moved = read.value - asked.expected.alone
    whole = prod(_along(other, moved, _GROUND_TAKES) for other in beside)
    alone = prod(clean(other, read.mm) for other in beside)
    walls = [_at_anchor(name, beside, moved, read.mm) for name in (asked.chord.hook, asked.chord.far)]
    speaks = odds.WHOLE * whole + odds.ONE_WALL * sum(walls) / 2 + odds.ALONE * alone
    base *= min(speaks / unshared(beside, read.mm, asked.event), _TELLING)
    fits = fsum(share * _either_way(read, size * read.mm, sd * read.mm) for share, size, sd in priors.sudden)
    off = read.value - read.mixture.mean
    scale = _FAR * read.mm
    fits += 0.01 / (pi * scale * (1 + (off / scale) ** 2))
    way = "shorter" if off < 0 else "longer"
    placed = asked.expected.rests in ("anchors", "rough length")
    than = f"by {asked.expected.basis}: the anchors may be elsewhere" if placed else "expected"
    yield Candidate(cause, base * fits, f"{abs(off):.2f} {read.units.small} {way} than {than}", read.length.value)


def _either_way(read: Booked, size: float, sd: float) -> float:
    """Density of the length, had it moved by that size, shorter or longer."""
    if not size:
        return read.fits(more=sd * sd)
    return (read.fits(size, sd * sd) + read.fits(-size, sd * sd)) / 2


def anchor(read: Booked, asked: Question) -> Iterator[Candidate]:
    """One of the chord's two anchors was struck or is loose: its other chords are off as well."""
    cause: Cause = "anchor"
    base = asked.priors.of(cause) * read.repeats * read.warm / 2
    fits = read.fits(more=(odds.ANCHOR_SPREAD * read.mm) ** 2)
    beside = asked.evidence.at_station(asked.station.name)
    moved, apart = read.value - asked.expected.alone, unshared(beside, read.mm, asked.event)
    for name in (asked.chord.hook, asked.chord.far):
        speaks = min(_at_anchor(name, beside, moved, read.mm) / apart, _TELLING)
        yield Candidate(cause, base * fits * speaks, f"anchor {name} struck or loose", read.length.value)


def _at_anchor(name: str, beside: Sequence[Other], moved: float, mm: float) -> float:
    """Density of how far the station's others are off, if the chords at one anchor moved and no others."""
    density = 1.0
    for other in beside:
        its_own = name in other.key[1].split("-")
        density *= _along(other, moved, _ANCHOR_TAKES) if its_own else clean(other, mm)
    return density


def seating(read: Booked, priors: Priors) -> Iterator[Candidate]:
    """The tape was caught or the hook not seated: reads long, and the repeats scatter."""
    cause: Cause = "seating"
    base = priors.of(cause) * read.wild_scatter() * read.warm
    fits = fsum(share * read.fits(-mean * read.mm, (sd * read.mm) ** 2) for share, mean, sd in odds.SEATED)
    yield Candidate(cause, base * fits, "tape caught or hook not seated: reads long")


def zero(read: Booked, asked: Question) -> Iterator[Candidate]:
    """The zero was not set, or the dial knocked, at this chord or some chords ago: the same constant on all since.

    Held against what else makes chords differ alike: ground that is on the move along the route, by as many spreads
    everywhere (not by the same constant), likelier after a blast or a new stage.
    """
    cause: Cause = "zero"
    before = asked.evidence.others[-_LOOK_BACK:]
    base = asked.priors.of(cause) * read.repeats * read.warm / (len(before) + 1)
    wide = (odds.ZERO_SPREAD * read.mm) ** 2
    yield Candidate(cause, base * read.fits(more=wide), "zero not set, or the dial knocked at this chord")
    constant, common = _Shared(wide), _Shared(_COMMON_SPREADS**2)
    apart, share = 1.0, _COMMON_AFTER_EVENT if asked.event else _COMMON
    for count, other in enumerate(reversed(before), 1):
        constant.heed(other.off, other.spread**2)
        common.heed(other.z, 1.0, other.spread)
        apart *= clean(other, read.mm)
        speaks = constant.density / ((1 - share) * apart + share * common.density + 1e-300)
        less = asked.less((one, constant.mean) for one in before[-count:])
        fits = read.fits(less - constant.mean, constant.variance)
        since = "the chord" if count == 1 else f"{count} chords"
        words = f"the same {constant.mean:+.2f} {read.units.small} as {since} before"
        yield Candidate(cause, base * min(speaks, 1e30) * fits, words, read.shifted(-constant.mean))


def unshared(others: Sequence[Other], mm: float, event: bool) -> float:
    """Density of how far other chords are off, if they share nothing but ground that is on the move."""
    common, apart = _Shared(_COMMON_SPREADS**2), 1.0
    for other in others:
        common.heed(other.z, 1.0, other.spread)
        apart *= clean(other, mm)
    share = _COMMON_AFTER_EVENT if event else _COMMON
    return (1 - share) * apart + share * common.density + 1e-300


def shared_by(others: Sequence[tuple[Other, float]], mm: float) -> float:
    """Density of how far other chords are off, if each is off by a known amount; some for reasons of their own."""
    density = 1.0
    for other, by in others:
        density *= clean(replace(other, off=other.off - by), mm)
    return density


class _Shared:
    """Something that readings share, normal about nil: how dense they are if so, and what it then is."""

    def __init__(self, variance: float) -> None:
        self.precision, self.pull, self.density = 1 / variance, 0.0, 1.0

    def heed(self, value: float, variance: float, unit: float = 1.0) -> None:
        """One more reading; `unit` is the size of the value's unit in small units."""
        self.density *= _normal(value - self.mean, variance + self.variance) / unit
        self.precision += 1 / variance
        self.pull += value / variance

    @property
    def mean(self) -> float:
        return self.pull / self.precision

    @property
    def variance(self) -> float:
        return 1 / self.precision


def clean(other: Other, mm: float) -> float:
    """Density of how far a reading is off, if nothing ails it that this one shares."""
    s2 = other.spread**2
    right, spoilt = _normal(other.off, s2), _normal(other.off, s2 + (_SPOILT_BY * mm) ** 2)
    return (1 - _SPOILT) * right + _SPOILT * spoilt + _LEAST / mm


def _along(other: Other, moved: float, takes: tuple[float, float]) -> float:
    """Density of how far another chord is off, if it took a share of what this one has moved."""
    mean, spread = takes
    return _normal(other.off - mean * moved, other.spread**2 + (spread * moved) ** 2)


def _normal(x: float, variance: float) -> float:
    z2 = x * x / variance
    return exp(-0.5 * z2) / sqrt(2 * pi * variance) if z2 < 1400 else 0.0
