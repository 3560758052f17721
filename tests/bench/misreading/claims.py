"""Which bookings count in the rate of their label, and how many more it takes before one is claimed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from math import ceil

from .ground import REGIMES
from .instrument import TAPE
from .run import ODDS, Outcome

FIFTH = float(TAPE.pitch) / 5
CLAIM = 3000
"""Cases that a rate of a label needs."""
NARROW = {"hole by one": 2 * CLAIM}
"""So many are made of a label whose lower bound is asked to be 99.8 %: with two missed of 3,000 it is 99.76 %."""
SETTLED = 3
"""Readings before a case counts in the rates: before that, knowing the law is no fair yardstick."""
ANY_SIZE = ("as booked", "one repeat", "movement of 5 to 8")
LARGE = 8
"""True spreads: of larger sudden movement a rate of its own is told."""
_SPARE = 1.4
"""So many times what is missing is tried: what a world yields differs much."""
_MOST, _LEAST_YIELD = 20.0, 0.02
"""A reading is tried at most so often with a label; and not where fewer of the tries than this would count."""


def counts(one: Outcome) -> bool:
    """Whether a booking counts in the rate of its label. The simulator's true spread decides, never the program's."""
    if one.label == "only reading":
        return one.true_spread < FIFTH and one.off_by > 5
    if one.earlier < SETTLED:
        return False
    if one.label == "movement of 5 to 8":
        return True
    if one.label == "real movement":
        return one.true_spread < FIFTH and one.off_by >= LARGE
    return one.true_spread < FIFTH and (one.label in ANY_SIZE or one.off_by > 5)


def missing(
    found: Sequence[Outcome], rates: Mapping[str, float], worlds: int, more: int
) -> dict[str, dict[str, float]]:
    """For each ground, how often a reading of `more` further worlds is to be tried with a label that is short.

    From what `worlds` worlds yielded when they were tried at `rates`.
    """
    tried = Counter((one.regime, one.label) for one in found)
    counted = Counter((one.regime, one.label) for one in found if counts(one))
    wanted: dict[str, dict[str, float]] = {regime: {} for regime in REGIMES}
    for regime in REGIMES:
        for label in (label for label in ODDS if label not in ("as booked", "small movement")):
            n = counted[regime, label]
            enough = NARROW.get(label, CLAIM)
            if n < enough and n > _LEAST_YIELD * tried[regime, label]:
                each = n / worlds / rates[label]
                rate = _SPARE * (enough - n) / more / each
                wanted[regime][label] = min(ceil(100 * rate) / 100, _MOST)
    return wanted
