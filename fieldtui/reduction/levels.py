"""Trigger levels: a movement and a rate against the figures that were agreed beforehand.

A value is compared with its expanded uncertainty: below, cannot tell, above. `cannot tell` is to be told like `above`.
"Below" says only that the value is below the number the route states; it says nothing about the ground.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal, localcontext
from typing import Literal

from msgspec import Struct

from fieldtui.reduction.combine import Quantity, Rate
from fieldtui.reduction.exact import EXACT
from fieldtui.route.model import Level

Standing = Literal["below", "cannot tell", "above"]
What = Literal["closing", "opening", "rate"]


class LevelState(Struct, frozen=True):
    """One figure of one level. `value` is counted positive in the direction of the level (closing: minus change)."""

    level: str
    what: What
    limit: Decimal
    value: Decimal
    expanded: float
    state: Standing


class Overall(Struct, frozen=True):
    """The state of a chord, and the level that gives it (None for `below`)."""

    state: Standing
    level: str | None


def judge_levels(
    cumulative: Quantity | None, rate: Rate | None, levels: Sequence[Level], coverage: Decimal
) -> tuple[LevelState, ...]:
    """Every figure of every level that there is a value for, in the order of `levels`, mild to severe.

    Small units, per day for the rate. `cumulative` is a change (negative closing); levels count closing positive, and
    `rate` levels are of closing. A value exactly at the limit, with no uncertainty, is above.
    """
    return tuple(_states(cumulative, rate, levels, float(coverage)))


def _states(cumulative: Quantity | None, rate: Rate | None, levels: Sequence[Level], k: float) -> Iterator[LevelState]:
    moved = k * cumulative.u if cumulative else 0.0
    moving = k * rate.u if rate else 0.0
    for level in levels:
        if cumulative and level.closing is not None:
            yield _state(level.name, "closing", level.closing, cumulative.value.copy_negate(), moved)
        if cumulative and level.opening is not None:
            yield _state(level.name, "opening", level.opening, cumulative.value, moved)
        if rate and level.rate is not None:
            yield _state(level.name, "rate", level.rate, rate.value.copy_negate(), moving)


def _state(name: str, what: What, limit: Decimal, value: Decimal, expanded: float) -> LevelState:
    with localcontext(EXACT):
        over = float(value - limit)
    state: Standing = "above" if over >= expanded else "below" if over < -expanded else "cannot tell"
    return LevelState(name, what, limit, value, expanded, state)


def overall(states: Sequence[LevelState]) -> Overall | None:
    """The most severe level that is above; else the most severe that cannot be told; else below. None for no states.

    A level that is above can hide a severer one that cannot be told: whom to call is asked of `to_tell`.
    """
    for state in ("above", "cannot tell"):
        for one in reversed(states):
            if one.state == state:
                return Overall(one.state, one.level)
    return Overall("below", None) if states else None


def to_tell(states: Sequence[LevelState]) -> tuple[LevelState, ...]:
    """Every state that somebody has to be told of, severe first: above and cannot tell alike."""
    return tuple(one for one in reversed(states) if one.state != "below")
