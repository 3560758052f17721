"""Sources of error: a value's uncertainty as a list of signed effects, each with the identity of its error.

    Source(name, key, effect)   one error, what it does to the value (one standard deviation, signed)
    merged                      a weighted sum of lists of sources; equal keys are one error and add with their signs
    standard_uncertainty        the root of the sum of squares over the keys
    terms                       the same, name by name, for the screen and the report
    covariance                  what two values share

Two values that carry the same key carry the same error, not two errors of the same size. That alone makes every
correlation come out right: a punched hole read twice cancels in a change, a tape's expansion counts with the
difference of the temperatures, a control frame is common to all chords of its survey, and changes from one baseline
share the baseline. First order propagation, JCGM 100 (the GUM) 5.2.2 with correlations of 0 and 1 only.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from fractions import Fraction
from math import fsum, hypot
from typing import Any

from msgspec import Struct

REPEATABILITY = "repeatability"
REPRODUCIBILITY = "reproducibility"
HOLE = "hole position"
TEMPERATURE = "temperature"
EXPANSION = "expansion"
SECOND_ORDER = "temperature x expansion"
FRAME = "control frame"
OFFSET = "carried offset"

Key = tuple[Hashable, ...]


class Source(Struct, frozen=True, gc=False):
    """One error: its name, its identity, and its signed standard effect on the value, in the value's unit."""

    # a history makes millions of them, and none leads back to itself: rings need not be looked for

    name: str
    key: Key
    effect: float


def merged(weighted: Iterable[tuple[int | Fraction, Iterable[Source]]]) -> tuple[Source, ...]:
    """The sources of a weighted sum, one for each key. The first name met for a key is kept."""
    found: dict[Key, list[Any]] = {}  # one look-up for each source: the keys are long to hash
    for weight, sources in weighted:
        factor = float(weight)
        for source in sources:
            found.setdefault(source.key, [source.name, 0.0])[1] += factor * source.effect
    return tuple([Source(name, key, effect) for key, (name, effect) in found.items()])


def difference(sources: Sequence[Source], less: Sequence[Source]) -> tuple[Source, ...]:
    """The sources of one value less another: `merged` with the weights 1 and -1, and half the work of it."""
    found = {source.key: source for source in sources}
    if len(found) < len(sources):
        return merged([(1, sources), (-1, less)])
    for source in less:
        same, key = found.get(source.key), source.key
        found[key] = (
            Source(same.name, key, same.effect - source.effect) if same else Source(source.name, key, -source.effect)
        )
    return tuple(found.values())


def standard_uncertainty(sources: Iterable[Source]) -> float:
    """Combined standard uncertainty (k = 1), in the value's unit."""
    once: dict[Key, float] = {}
    for source in sources:
        once[source.key] = once.get(source.key, 0.0) + source.effect
    return hypot(*once.values())


def terms(sources: Iterable[Source]) -> Mapping[str, float]:
    """Standard uncertainty by name; the squares add up to the square of the whole."""
    named: dict[str, float] = {}
    for source in merged([(1, sources)]):
        named[source.name] = hypot(named.get(source.name, 0.0), source.effect)
    return named


def covariance(one: Iterable[Source], other: Iterable[Source]) -> float:
    """Covariance of two values, in the square of their unit: the sum over the errors that they share."""
    ones = {source.key: source.effect for source in merged([(1, one)])}
    return fsum(ones.get(source.key, 0.0) * source.effect for source in merged([(1, other)]))
