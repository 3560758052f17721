"""What chords leave free: a station that shifts and turns as one changes no chord. What is assumed instead, in words.

    Fixed, Fixed … stated by the route ── constraints ──► rows C with C d = 0; none stated: inner constraints

Inner constraints (minimum norm): the anchors together neither shift nor turn. Displacements d are ordered across, up
for each anchor.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
from msgspec import Struct

from fieldtui.movement.laws import Array
from fieldtui.movement.network import DEFECT

Way = Literal["both", "across", "up"]
_FREE = ("shift across", "shift up or down", "turn")
_ALMOST = 1e-6


class Fixed(Struct, frozen=True):
    """An anchor taken as unmoved, in both directions or one."""

    anchor: str
    way: Way = "both"

    def __str__(self) -> str:
        return f"{self.anchor} has not moved" + ("" if self.way == "both" else f" {_WAYS[self.way]}")


_WAYS = {"across": "across", "up": "up or down"}


def rigid(places: Array) -> Array:
    """The three motions that change no chord, at anchors (m, 2): two shifts and a turn; (3, 2m), of unit size."""
    middle = places - places.mean(axis=0)
    rows = np.zeros((DEFECT, places.size))
    rows[0, 0::2] = 1.0
    rows[1, 1::2] = 1.0
    rows[2, 0::2] = -middle[:, 1]
    rows[2, 1::2] = middle[:, 0]
    return np.asarray(rows / np.linalg.norm(rows, axis=1, keepdims=True))


def constraints(places: Array, names: Sequence[str], fixed: Sequence[Fixed]) -> Array:
    """Rows C, (at least 3, 2m), with C d = 0."""
    if not fixed:
        return rigid(places)
    rows = []
    for one in fixed:
        first = 2 * names.index(one.anchor)
        for column, way in ((first, "across"), (first + 1, "up")):
            if one.way in ("both", way):
                row = np.zeros(places.size)
                row[column] = 1.0
                rows.append(row)
    return np.asarray(rows)


def left_free(places: Array, rows: Array) -> str:
    """What constraints leave the station free to do, in words; an empty string where they hold it."""
    motions = rigid(places)
    held = rows @ motions.T
    if np.linalg.matrix_rank(held, tol=_ALMOST) == DEFECT:
        return ""
    free = [word for word, column in zip(_FREE, held.T, strict=True) if np.linalg.norm(column) < _ALMOST]
    return " and to ".join(free or ["turn about the anchor that is held"])


def assumption(fixed: Sequence[Fixed]) -> str:
    """What stands in for what chords cannot tell. It belongs beside every displacement that is shown."""
    taken = (
        "the anchors together have neither shifted nor turned" if not fixed else " and ".join(str(one) for one in fixed)
    )
    return (
        f"Chords alone leave a station free to shift and to turn (datum defect {DEFECT}). Taken here: {taken}. "
        "How a closure is split between its two anchors is that assumption, not a measurement."
    )
