"""Explanations in which the figures are right: movement, an anchor, a seating, a zero that was not set.

They differ in what the other chords of the survey do. Ground that moves shows in more than one chord of the station;
an anchor that was struck in all of its own and in no other; a zero in every chord from some chord onwards.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import fsum, hypot, pi, prod

from msgspec import Struct

from fieldtui.reduction import priors as odds
from fieldtui.reduction.beside import Shared, Unshared, along, clean, normal, unshared
from fieldtui.reduction.evidence import Other
from fieldtui.reduction.fit import Booked
from fieldtui.reduction.priors import Cause, Priors
from fieldtui.reduction.question import Question
from fieldtui.reduction.weighing import Candidate
from fieldtui.route.model import Station

_LOOK_BACK = 8
"""A zero may have gone so many chords ago."""
_GROUND_TAKES = (0.65, 0.22)
"""Share of the ground's movement that another chord takes, mean and standard deviation. It leaves out what hardly takes
part: that is one wall's, or one chord's movement, which have odds of their own."""
_PLACED = 0.2
"""Standard deviation of such a share where one anchor moves: anchors stand roughly where the route has them."""
_TELLING = 1e6
"""However many other chords speak for movement or an anchor, they count no more than this."""
_FAR = 25.0
"""Scale (mm) of the last resort: however far a reading is off, it may be movement."""


class Beside(Struct, frozen=True):
    """The station's other chords of this survey, and how dense it is that they are off as far as they are."""

    others: tuple[Other, ...]
    apart: float
    """If nothing ails them."""
    walls: tuple[float, float]
    """If the wall at the chord's hook end moved, its chords with it and no others; the same of its far end."""
    struck: tuple[float, float]
    """If the anchor there was struck."""


def beside(read: Booked, asked: Question) -> Beside:
    """What movement and a struck anchor are both held against."""
    others, moved = asked.evidence.at_station(asked.station.name), read.value - asked.expected.alone
    walls = _at_ends(asked, others, moved, abs(moved), read.mm)
    struck = _at_ends(asked, others, moved, odds.ANCHOR_SPREAD * read.mm, read.mm)
    return Beside(others, unshared(others, read.mm, asked.unsure), walls, struck)


def movement(read: Booked, asked: Question, beside: Beside) -> Iterator[Candidate]:
    """Sudden movement, of any size. Likelier after a blast or a new stage, and where the station's others moved."""
    cause: Cause = "real movement"
    priors = asked.priors
    base = priors.of(cause) * read.repeats * read.warm * (priors.after_event if asked.event else 1.0)
    moved = read.value - asked.expected.alone
    whole = prod(along(other, moved, _GROUND_TAKES) for other in beside.others)
    speaks = odds.WHOLE * whole + odds.ONE_WALL * sum(beside.walls) / 2 + odds.ALONE * beside.apart
    base *= min(speaks / beside.apart, _TELLING)
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


def anchor(read: Booked, asked: Question, beside: Beside) -> Iterator[Candidate]:
    """One of the chord's two anchors was struck or is loose: its other chords are off as well."""
    cause: Cause = "anchor"
    base = asked.priors.of(cause) * read.repeats * read.warm / 2
    fits = read.fits(more=(odds.ANCHOR_SPREAD * read.mm) ** 2)
    for name, density in zip((asked.chord.hook, asked.chord.far), beside.struck, strict=True):
        speaks = min(density / beside.apart, _TELLING)
        yield Candidate(cause, base * fits * speaks, f"anchor {name} struck or loose", read.length.value)


def _at_ends(asked: Question, beside: Sequence[Other], moved: float, across: float, mm: float) -> tuple[float, float]:
    """Density of how far the station's others are off, if the anchor at one end moved and nothing else, for both ends.

    By `moved` along the chord, and by about `across` (standard deviation) at right angles to it.
    """
    found = []
    for name in (asked.chord.hook, asked.chord.far):
        density = 1.0
        for other in beside:
            share = share_along(asked.station, name, asked.chord.name, other.key[1])
            if share is None:
                density *= clean(other, mm)
            else:
                more = (1 - share * share) * across * across + (_PLACED * moved) ** 2
                density *= normal(other.off - share * moved, other.spread**2 + more)
        found.append(density)
    return found[0], found[1]


def share_along(station: Station, name: str, chord: str, other: str) -> float | None:
    """What another chord takes of an anchor's movement along this one: the cosine between them.

    None for a chord that does not go to that anchor. Where the route has two anchors in one place nobody knows the
    angle: a right one, which lets the other chord do anything.
    """
    if name not in other.split("-"):
        return None
    x, y = _way(station, name, chord)
    u, v = _way(station, name, other)
    sizes = hypot(x, y) * hypot(u, v)
    return (x * u + y * v) / sizes if sizes else 0.0


def _way(station: Station, name: str, chord: str) -> tuple[float, float]:
    """From an anchor to the chord's other end, across and up."""
    hook, _, far = chord.partition("-")
    here, there = station.anchor(name), station.anchor(far if name == hook else hook)
    return float(there.across - here.across), float(there.up - here.up)


def seating(read: Booked, priors: Priors) -> Iterator[Candidate]:
    """The tape was caught or the hook not seated: reads long, and the repeats scatter."""
    cause: Cause = "seating"
    base = priors.of(cause) * read.wild_scatter() * read.warm
    parts = ((share, mean * read.mm, (sd * read.mm) ** 2 + read.looser) for share, mean, sd in odds.SEATED)
    fits = fsum(share * read.fits(-mean, variance) for share, mean, variance in parts)
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
    constant, unailing = Shared(wide), Unshared(read.mm, asked.unsure)
    leans, leaning = {lean.other.key: lean for lean in asked.expected.leans}, []
    for count, other in enumerate(reversed(before), 1):
        constant.heed(other.off, other.spread**2)
        unailing.heed(other)
        speaks = constant.density / unailing.density
        if other.key in leans:
            leaning.append(leans[other.key])
        less = sum(lean.less(constant.mean) for lean in leaning) if leaning else 0.0
        fits = read.fits(less - constant.mean, constant.variance)
        since = "the chord" if count == 1 else f"{count} chords"
        words = f"the same {constant.mean:+.2f} {read.units.small} as {since} before"
        yield Candidate(cause, base * min(speaks, 1e30) * fits, words, shift=-constant.mean)
