"""How often readings go wrong, and how: the odds that every verdict starts from. One table, to be changed by argument.

Nobody has published such odds for tape readings. These are this program's own, stated so that they can be disputed:
about three readings in a hundred have something wrong with them. A route or a crew with other habits passes other
`Priors`. What they do to a verdict is plain: explanations are weighed by odds x how well they fit.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

from msgspec import Struct, field

Cause = Literal[
    "as booked",
    "real movement",
    "hole",
    "dial",
    "one repeat",
    "temperature",
    "other chord",
    "other station",
    "tape",
    "zero",
    "anchor",
    "seating",
    "date",
    "earlier reading",
]

ODDS: Mapping[Cause, float] = MappingProxyType(
    {
        "as booked": 0.963,
        "real movement": 0.005,  # sudden, beyond what the readings so far let expect
        "hole": 0.010,
        "dial": 0.006,  # the same mistake in all repeats
        "one repeat": 0.005,
        "temperature": 0.003,
        "other chord": 0.0015,
        "other station": 0.0005,
        "tape": 0.0005,
        "zero": 0.001,
        "anchor": 0.001,
        "seating": 0.002,
        "date": 0.0005,
        "earlier reading": 0.001,
    }
)
"""Of one reading. Of the whole survey's mistakes (tape, zero, station): that this reading was taken under one."""

AFTER_EVENT = 3.0
"""Real movement is so many times likelier after a blast or a new stage."""

HOLE_BY: Mapping[int, float] = MappingProxyType({1: 0.39, -1: 0.39, 2: 0.03, -2: 0.03})
"""Of misread holes: booked minus true, where it was miscounted."""
HOLE_SWAPPED, HOLE_DIGIT = 0.08, 0.08
"""Two neighbouring digits swapped; one digit wrong (any other digit alike)."""

DIAL_BY: Mapping[str, Mapping[float, float]] = MappingProxyType(
    {
        "mm": MappingProxyType({1.0: 0.2, -1.0: 0.2, 5.0: 0.08, -5.0: 0.08, 10.0: 0.08, -10.0: 0.08}),
        "in": MappingProxyType({0.05: 0.2, -0.05: 0.2, 0.1: 0.08, -0.1: 0.08, 0.5: 0.08, -0.5: 0.08}),
    }
)
"""Of dials misread alike in all repeats: booked minus true, small units."""
DIAL_SWAPPED, DIAL_POINT, DIAL_UNIT = 0.2, 0.05, 0.03
"""Two neighbouring digits swapped in all; decimal point a place or two off; inches for millimetres or the reverse."""

REPEAT_BY_STEP = 0.6
"""Of single repeats misread: by one of the steps of the dial; the others by anything (normal, REPEAT_SPREAD)."""
REPEAT_SPREAD = 5.0
"""mm."""

TEMPERATURE_UNIT, TEMPERATURE_DROPPED, TEMPERATURE_TEN, TEMPERATURE_SWAPPED, TEMPERATURE_SIGN = (
    0.35,
    0.2,
    0.2,
    0.1,
    0.1,
)
"""The other unit; a figure dropped; ten degrees off; digits swapped; the sign."""
TEMPERATURE_DIAL = 0.05
"""One of the dial's figures typed in its place."""

SUDDEN: tuple[tuple[float, float, float], ...] = (
    (0.10, 0.0, 1.0),
    (0.22, 3.0, 1.0),
    (0.22, 6.0, 2.0),
    (0.22, 12.0, 4.0),
    (0.18, 24.0, 8.0),
    (0.06, 0.0, 100.0),
)
"""Sudden movement, either way: weights, sizes and their standard deviations, mm. Its size is as likely to double as to
halve, from some millimetres up; what is smaller is mostly among what is expected anyway. The last meets any size."""
WHOLE, ONE_WALL, ALONE = 0.8, 0.1, 0.1
"""How ground moves: the whole station, each chord its share; one wall, with all chords that hold to its anchor; or one
chord and no other. One wall leaves the trace of an anchor struck: movement stays among the explanations of that."""
SEATED: tuple[tuple[float, float, float], ...] = ((0.45, 0.5, 0.35), (0.35, 1.3, 0.6), (0.2, 3.0, 1.5))
"""A tape caught, a hook not seated: reads long. Weights, means and standard deviations, mm."""
SEATED_SCATTER = 4.0
"""The repeats then scatter so many times as much."""
WILD_REPEATS = 0.001
"""Share of all sets of repeats that scatter so for other reasons: half as often as a tape is caught. Movement that was
read badly is movement."""
WARM_APART, WARM_APART_BY = 0.01, 4.0
"""Share of tape temperatures that truly are unlike the survey's others (a draught, the sun at a portal), and by how
many times the usual spread."""
ZERO_SPREAD = 1.5
"""A zero not set: standard deviation, mm."""
ANCHOR_SPREAD = 5.0
"""An anchor struck: standard deviation of how far it goes, along a chord and at right angles to it, mm."""

SAME_AGAIN: Mapping[Cause, float] = MappingProxyType(
    {
        "hole": 0.03,
        "dial": 0.03,
        "one repeat": 0.03,
        "temperature": 0.1,
        "other chord": 0.2,
        "seating": 0.2,
        "date": 0.1,
    }
)
"""Once a second booking says the same: how likely it is that the same mistake was made again."""


class Priors(Struct, frozen=True):
    """The odds of the causes. Those that are left out count nothing; the rest need not add up to 1."""

    odds: Mapping[Cause, float] = field(default_factory=lambda: ODDS)
    after_event: float = AFTER_EVENT
    same_again: Mapping[Cause, float] = field(default_factory=lambda: SAME_AGAIN)
    sudden: tuple[tuple[float, float, float], ...] = SUDDEN

    def of(self, cause: Cause) -> float:
        return self.odds.get(cause, 0.0)


PRIORS = Priors()
