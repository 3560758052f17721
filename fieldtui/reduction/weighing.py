"""Explanations weighed: odds x how well each fits, and the odds that come out of it.

    Candidate   one thing that may have happened: its odds beforehand, and the density of the figures if it did
    weigh       candidates to probabilities that add up to 1 (Bayes)

Worked example: a change of -25.2 mm where -0.4 +- 0.6 was expected, pitch 25 mm; odds 0.97 right, 0.01 hole low,
0.01 hole high, 0.01 real movement of 0 +- 20 mm. Hole low comes out at 0.986, real movement at 0.014.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from math import fsum

from msgspec import Struct

from fieldtui.reduction.priors import Cause


class Candidate(Struct, frozen=True):
    """One thing that may have happened."""

    cause: Cause
    weight: float
    """Odds beforehand x density of what was booked, if this is what happened."""
    detail: str = ""
    length: Decimal | None = None
    """The corrected length that it implies, small units; None where it implies none, or `shift` says it."""
    shift: float | None = None
    """The same as a distance from the length as booked."""


class Explanation(Struct, frozen=True):
    """One cause with everything that speaks for it."""

    cause: Cause
    detail: str
    """In plain words, of the likeliest way it can have come about."""
    probability: float
    length: Decimal | None


def weigh(candidates: Sequence[Candidate], as_booked: Decimal | None = None) -> tuple[Explanation, ...]:
    """One explanation for each cause, likeliest first; probabilities add up to 1. `ValueError` if nothing fits at all.

    A cause that can have come about in several ways has their sum, and the words and length of the likeliest.
    `as_booked` is the corrected length that shifts count from.
    """
    total = fsum(candidate.weight for candidate in candidates)
    if not total > 0:
        raise ValueError("no explanation has any weight")
    sums: dict[Cause, list[float]] = {}
    best: dict[Cause, Candidate] = {}
    for candidate in candidates:
        sums.setdefault(candidate.cause, []).append(candidate.weight)
        known = best.get(candidate.cause)
        if known is None or candidate.weight > known.weight:
            best[candidate.cause] = candidate
    found = [
        Explanation(cause, best[cause].detail, fsum(weights) / total, _implied(best[cause], as_booked))
        for cause, weights in sums.items()
    ]
    return tuple(sorted(found, key=lambda explanation: -explanation.probability))


def _implied(candidate: Candidate, as_booked: Decimal | None) -> Decimal | None:
    if candidate.shift is None or as_booked is None:
        return candidate.length
    return as_booked + Decimal(repr(round(candidate.shift, 6)))
