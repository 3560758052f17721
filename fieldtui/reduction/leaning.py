"""What the station's other chords of this survey say of one that is being read: regression on how far off they are.

Chords that have moved together before are taken to go on so, as far as their readings have shown it. Two are heeded at
most, those that went along best: a third says little that they do not.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import copysign, fsum, sqrt

from msgspec import Struct

from fieldtui.reduction.beside import TOGETHER
from fieldtui.reduction.evidence import Evidence, Other
from fieldtui.reduction.following import Followed, off_variance
from fieldtui.reduction.known import Known
from fieldtui.reduction.mixture import Mixture
from fieldtui.route.model import ChordKey

SHOWN_BY = 6.0
"""So many surveys in common count as much as `TOGETHER`."""
_LOOSE = 1.15
"""Those chosen are the ones that went along best, so they went along less well than it seems (variance)."""
_TIGHTEST = 0.95
"""No correlation is taken to be more."""
_WORST, _LATELY = 2.5, 12
"""A neighbour is heeded up to so many spreads, and for what it did in so many of the newest surveys."""


class Lean(Struct, frozen=True):
    """How an expectation leans on another chord's reading of this survey."""

    other: Other
    per_spread: float
    """Small units that the expected value moves for every spread that the other is off."""

    def less(self, by: float) -> float:
        """What the expected value would be less by, were the other off by so much less; small units."""
        return self.per_spread * (_within(self.other.z) - _within((self.other.off - by) / self.other.spread))


class _Neighbour(Struct, frozen=True):
    """Another chord of the station, read in this survey."""

    other: Other
    followed: Followed
    moving: float
    """Share of its spread's variance that is movement."""
    r: float
    """Correlation with the chord at hand, and by how many surveys that is shown."""
    surveys: float


def heeding(
    known: Known, key: ChordKey, followed: Followed, plain: Mixture, evidence: Evidence
) -> tuple[Mixture, tuple[Lean, ...]]:
    """What the neighbours say that have most moved together with this chord: regression on their deviations z.

    With R their correlations and r those with this chord, in n surveys before: mean r' R^-1 z s and variance
    (1 - r' R^-1 r)(1 + (1 + z' R^-1 z)/n) s^2, the usual interval of a regression. Never less than the errors of
    measurement, which are each reading's own.
    """
    own, spread = off_variance(None, followed.last.length), plain.sd
    found = _neighbours(known, key, followed, max(0.0, 1 - own / spread**2), evidence)
    if not found:
        return plain, ()
    best = sorted(found, key=lambda one: -abs(one.r))[:2]
    shares, explained, far = _regression(best)
    n = min(one.surveys for one in best)
    left = min((1 - explained) * (1 + (1 + far) / n) * _LOOSE, 1.0)
    shift = spread * fsum(share * _within(one.other.z) for share, one in zip(shares, best, strict=True))
    middle = plain.mean
    parts = [(w, middle + shift + sqrt(left) * (m - middle), max(left * v, min(own, v))) for w, m, v in plain.parts]
    leans = (Lean(one.other, share * spread) for share, one in zip(shares, best, strict=True))
    return Mixture(tuple(parts)), tuple(leans)


def _regression(best: Sequence[_Neighbour]) -> tuple[list[float], float, float]:
    """On one neighbour or two: the shares R^-1 r, what is explained r' R^-1 r, and how far off they are, z' R^-1 z."""
    z = [_within(one.other.z) for one in best]
    r = [one.r for one in best]
    if len(best) == 1:
        return r, r[0] * r[0], z[0] * z[0]
    first, second = best
    c, _ = together(first.followed, second.followed, TOGETHER * sqrt(first.moving * second.moving))
    left = 1 - c * c
    shares = [(r[0] - c * r[1]) / left, (r[1] - c * r[0]) / left]
    explained = r[0] * shares[0] + r[1] * shares[1]
    far = (z[0] * z[0] - 2 * c * z[0] * z[1] + z[1] * z[1]) / left
    less = min(1.0, _TIGHTEST**2 / explained) if explained > 0 else 1.0
    return [less * share for share in shares], less * explained, far


def _neighbours(known: Known, key: ChordKey, followed: Followed, moving: float, evidence: Evidence) -> list[_Neighbour]:
    """The station's other chords that agree; `moving` the share of this chord's variance that is movement."""
    found = []
    for other in evidence.others:
        if other.key[0] != key[0] or other.key == key or not other.agrees:
            continue
        theirs = known.followed(other.key, other.length.tape, other.length.extensometer)
        if theirs is None:
            continue
        their_moving = max(0.0, 1 - other.own / other.spread**2)
        r, n = together(followed, theirs, TOGETHER * sqrt(moving * their_moving))
        found.append(_Neighbour(other, theirs, their_moving, r, n))
    return found


def together(one: Followed, other: Followed, at_first: float) -> tuple[float, float]:
    """Correlation of two chords' deviations from what was expected, over the surveys that both were read in.

    Shrunk towards `at_first` by `SHOWN_BY` surveys' worth; and that number, with what it was shrunk by. One wild
    deviation counts no more than `_WORST`.
    """
    product = mine = theirs = 0.0
    surveys = 0
    heard = other.offs
    for survey, off in reversed(tuple(one.offs.items())):
        if survey in heard:
            a, b = _within(off), _within(heard[survey])
            product, mine, theirs = product + a * b, mine + a * a, theirs + b * b
            surveys += 1
            if surveys == _LATELY:
                break
    r = (product + SHOWN_BY * at_first) / (sqrt(mine * theirs) + SHOWN_BY)
    return min(max(r, -_TIGHTEST), _TIGHTEST), surveys + SHOWN_BY


def _within(z: float) -> float:
    return z if abs(z) <= _WORST else copysign(_WORST, z)
