"""What the chords of a survey share: a constant (zero, hook) or a share of length (temperature, tape).

    offs of the chords and the frame ── shared_shift ──► SharedShift: which, how much, how sure, or that none can tell

The differences between booked and expected lengths are regressed on 1 and on length, the control frame among them,
each weighed by its own spread; robustly, so that a chord that moved on its own does not count (Huber 1964, with the
constant 1.345; any textbook on robust regression). Small units; the share is of length, so 1e-4 is a millimetre
in ten metres.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import Literal

from msgspec import Struct

Kind = Literal["none", "constant", "share of length", "cannot tell"]

_HUBER = 1.345
_ROUNDS = 30
_LEAST = 4
"""Fewer lengths than this say nothing about what they share."""
_SURE = 3.5
"""Standard uncertainties from nil at which something shared is said to be there."""
_BETTER = 4.0
"""Difference of the weighted sums of squares by which the one must fit better than the other (e^2 in likelihood)."""
_SHOWN_BY = 2 / 3
"""More than this share of the lengths must go along: what fewer of them show is theirs."""


class Off(Struct, frozen=True):
    """One length of the survey, chord or control frame: booked minus expected, and the spread of that."""

    length: float
    off: float
    spread: float


class SharedShift(Struct, frozen=True):
    """Something that all lengths of a survey have in common, or not."""

    kind: Kind
    constant: float
    """The shared constant if it is one, small units."""
    constant_u: float
    share: float
    """The shared share of length if it is one."""
    share_u: float
    lengths: int
    """So many went in."""
    words: str

    @property
    def there(self) -> bool:
        """Whether anything shared shows at all."""
        return self.kind != "none"


def shared_shift(found: Sequence[Off], small: str = "mm") -> SharedShift:
    """Which of the two the lengths share, how much, and how sure. `small` is the unit for the words.

    A constant and a share of length are each fitted alone. One is named where it is `_SURE` from nil, most
    lengths go along, and it fits better than the other by `_BETTER`; where both are there and neither is better, the
    lengths are too much alike: that is said.
    """
    if len(found) < _LEAST:
        return SharedShift("none", 0.0, 0.0, 0.0, 0.0, len(found), "too few lengths to tell")
    constant, constant_u, constant_left = _fitted(found, [1.0] * len(found))
    share, share_u, share_left = _fitted(found, [one.length for one in found])
    parts = (constant, constant_u, share, share_u, len(found))
    by_constant = abs(constant) > _SURE * constant_u and _go_along(found, [constant] * len(found))
    by_share = abs(share) > _SURE * share_u and _go_along(found, [share * one.length for one in found])
    if not by_constant and not by_share:
        return SharedShift("none", *parts, "nothing that the lengths share")
    middle = sorted(one.length for one in found)[len(found) // 2]
    if by_constant and constant_left < share_left - _BETTER:
        words = f"{constant:+.2f} {small} on every length: zero of the dial, hook; or all have moved alike"
        return SharedShift("constant", *parts, words)
    if by_share and share_left < constant_left - _BETTER:
        shift = share * middle
        words = f"{shift:+.2f} {small} on {middle:.0f} {small}, in proportion: temperature, tape; or all have moved so"
        return SharedShift("share of length", *parts, words)
    words = (
        f"about {constant:+.2f} {small} on every length: zero, hook, temperature or tape, which lengths so much alike"
    )
    return SharedShift("cannot tell", *parts, f"{words} cannot tell apart; or all have moved alike")


def _fitted(found: Sequence[Off], along: Sequence[float]) -> tuple[float, float, float]:
    """One coefficient by iterated reweighting: value, standard uncertainty, robust sum of squares left."""
    scale = max(abs(a) for a in along)
    scaled = [a / scale for a in along]
    at = sorted(one.off / a for one, a in zip(found, scaled, strict=True))[len(found) // 2]
    weight_sum = 0.0
    for _ in range(_ROUNDS):
        pull = weight_sum = 0.0
        for one, a in zip(found, scaled, strict=True):
            z = abs(one.off - at * a) / one.spread
            weight = (1.0 if z <= _HUBER else _HUBER / z) / one.spread**2
            pull += weight * a * one.off
            weight_sum += weight * a * a
        at = pull / weight_sum
    left = sum(_rho(abs(one.off - at * a) / one.spread) for one, a in zip(found, scaled, strict=True))
    return at / scale, 1 / sqrt(weight_sum) / scale, left


def _rho(z: float) -> float:
    """Huber's loss, twice: the square near nil, growing straight beyond."""
    return z * z if z <= _HUBER else 2 * _HUBER * z - _HUBER**2


def _go_along(found: Sequence[Off], shifts: Sequence[float]) -> bool:
    """Whether most lengths fit the shift better than none."""
    better = sum(abs(one.off - shift) < abs(one.off) for one, shift in zip(found, shifts, strict=True))
    return better > _SHOWN_BY * len(found)
