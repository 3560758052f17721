"""A station's anchors and chords as arrays: how chords change with displacements, exactly, and the derivatives."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from fieldtui.movement.laws import Array

DEFECT = 3
"""Motions of a section that change no chord: two shifts and a turn."""


class ChordChange(Struct, frozen=True):
    """How far a chord's length has changed, small units; negative is closing."""

    one: str
    other: str
    change: float

    @property
    def name(self) -> str:
        return f"{self.one}-{self.other}"


class Network:
    """Anchors that chords go to, where they were at first, and the chords. Displacements are ordered across, up."""

    def __init__(self, names: Sequence[str], start: Array, changes: Sequence[ChordChange]) -> None:
        self.names, self.start, self.changes = tuple(names), start, tuple(changes)
        self.ends = np.asarray([(names.index(one.one), names.index(one.other)) for one in changes], dtype=int).reshape(
            -1, 2
        )
        self.read = np.asarray([one.change for one in changes], dtype=float)

    def lines(self, moved: Array) -> Array:
        places = self.start + moved.reshape(-1, 2)
        return np.asarray(places[self.ends[:, 1]] - places[self.ends[:, 0]])

    def changed(self, moved: Array) -> Array:
        """How far each chord's length changes with these displacements (2m,), exactly."""
        before, after = self.lines(np.zeros(2 * len(self.names))), self.lines(moved)
        # the difference of two square roots without losing its digits
        grown = np.sum((after - before) * (after + before), axis=1)
        return np.asarray(grown / (np.linalg.norm(after, axis=1) + np.linalg.norm(before, axis=1)))

    def slopes(self, moved: Array) -> Array:
        """Derivatives of the lengths by the displacements, (c, 2m)."""
        along = self.lines(moved)
        length = np.linalg.norm(along, axis=1, keepdims=True)
        # between two anchors at one place a chord has no direction, and tells nothing
        along = along / np.where(length > 0, length, 1.0)
        made = np.zeros((len(self.changes), len(self.names), 2))
        places = np.arange(len(self.changes))
        made[places, self.ends[:, 1]] += along
        made[places, self.ends[:, 0]] -= along
        return made.reshape(len(self.changes), -1)

    def rank(self, least: float) -> int:
        """How many of the chords tell something that no others do, each by at least that share of a chord."""
        if not self.changes:
            return 0
        return int(np.sum(np.linalg.svd(self.slopes(np.zeros(self.start.size)), compute_uv=False) > least))

    def stiff(self, least: float) -> bool:
        """Whether the chords hold every anchor against the others."""
        return self.rank(least) == self.start.size - DEFECT

    def without(self, name: str) -> Network:
        """The rest of it, one anchor and its chords left out."""
        kept = [place for place, other in enumerate(self.names) if other != name]
        changes = [one for one in self.changes if name not in (one.one, one.other)]
        return Network([self.names[place] for place in kept], self.start[kept], changes)
