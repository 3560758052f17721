"""Is a chord at rest by the route's own rule? Three conditions, each yes, no or cannot tell.

    rate      its size below the route's `rate_below`
    falling   below the fastest rate since the baseline, and not noticed speeding up
    share     at least the route's `share_of_end` of the end value reached, by a law

Each figure is compared with its expanded uncertainty. At rest: all three say yes. It is the route's rule for figures
and nothing more; it says nothing about the ground.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from fieldtui.movement.interval import Interval
from fieldtui.route import Stability

Told = Literal["yes", "no", "cannot tell"]


class Moving(Struct, frozen=True):
    """What is known of a chord's movement now. Small units and days, closing positive, uncertainties expanded."""

    closing: float | None
    """Since the baseline; None where the newest reading has no movement that could be carried from it."""
    closing_u: float
    rate: float | None
    rate_u: float
    fastest: float | None
    """The fastest rate since the baseline, whichever way."""
    fastest_u: float
    speeding_up: bool


class Resting(Struct, frozen=True):
    """The rule's answer, and each of its conditions."""

    rate: Told
    falling: Told
    share: Told

    @property
    def told(self) -> Told:
        return every((self.rate, self.falling, self.share))


def judge_rest(moving: Moving, ends: Sequence[Interval], rule: Stability) -> Resting:
    """By the end values of all laws that answer: a share counts as reached where every one of them says so."""
    share = every([share_reached(moving, end, float(rule.share_of_end)) for end in ends]) if ends else "cannot tell"
    return Resting(_slow(moving, float(rule.rate_below)), _falling(moving), share)


def share_reached(moving: Moving, end: Interval, share: float) -> Told:
    """Whether so much of an end value has been reached. Closing and opening alike."""
    if moving.closing is None or end.low is None or end.high is None:
        return "cannot tell"
    way = 1.0 if end.low + end.high >= 0 else -1.0
    now = way * moving.closing
    near, far = sorted((way * end.low, way * end.high))
    if far <= 0:
        return "cannot tell"
    if now - moving.closing_u >= share * far:
        return "yes"
    return "no" if now + moving.closing_u < share * near else "cannot tell"


def every(conditions: Sequence[Told]) -> Told:
    """No where one says no, yes where all say yes."""
    if "no" in conditions:
        return "no"
    return "yes" if all(one == "yes" for one in conditions) else "cannot tell"


def _slow(moving: Moving, below: float) -> Told:
    if moving.rate is None:
        return "cannot tell"
    if abs(moving.rate) + moving.rate_u < below:
        return "yes"
    return "no" if abs(moving.rate) - moving.rate_u >= below else "cannot tell"


def _falling(moving: Moving) -> Told:
    if moving.speeding_up:
        return "no"
    if moving.rate is None or moving.fastest is None:
        return "cannot tell"
    fallen = abs(moving.fastest) - abs(moving.rate)
    return "yes" if fallen > float((moving.rate_u**2 + moving.fastest_u**2) ** 0.5) else "cannot tell"
