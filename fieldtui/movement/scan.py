"""A law tried with many shapes at once: all but the shape is linear, so each trial is solved outright.

    grid ──► shapes (g, q) ── Scan.of ──► weighted sum of squares, best end value, weight of the end value; all (g,)

With the shape held, the sum of squares is a parabola in the end value: `least + (end - best)^2 weight`. That is all a
start needs, and all a profile likelihood needs (see `interval`). Separable least squares: Golub and Pereyra 1973.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from fieldtui.movement.course import Course, whitened
from fieldtui.movement.laws import Array, Law

_FINE, _COARSE = 121, 41
_BELOW, _ABOVE = 0.1, 1e4
"""How far the grid goes beyond the readings: below the first a law is a step, above the last a straight line."""


class Scan(Struct, frozen=True):
    """Trials of a law. `least` is in squared standard deviations, or squared small units where those are unknown."""

    least: Array
    best: Array
    weight: Array

    @classmethod
    def of(cls, law: Law, course: Course, shapes: Array, *, held: bool) -> Scan:
        """`shapes` is (g, q); `held` holds the baseline constant at 0."""
        turn = course.turn(held)
        columns = law.columns(tuple(shapes.T[:, :, None]), course.t, course.x)
        base = columns[..., :1] if held else np.ones_like(columns[..., :1])
        others = columns[..., 1:] - base if held else columns - base
        # the end value's own column comes last: its weight is what the others leave of it
        design = np.moveaxis(whitened(turn, np.moveaxis(np.concatenate([others, base], axis=-1), 1, 0)), 0, 1)
        y = whitened(turn, course.y)
        q, r = np.linalg.qr(design)
        turned = np.einsum("gnk,n->gk", q, y)
        rest = y - np.einsum("gnk,gk->gn", q, turned)
        last = r[:, -1, -1]
        with np.errstate(divide="ignore", invalid="ignore"):
            best = turned[:, -1] / last
        return cls(np.einsum("gn,gn->g", rest, rest), best, last**2)


def grid(law: Law, course: Course) -> Array:
    """Shapes to try, (g, q), evenly spaced in their logarithms, over all that the readings could tell apart."""
    size = _FINE if len(law.shape) == 1 else _COARSE
    axes = [np.geomspace(low, high, size) for low, high in limits(law, course)]
    return np.stack([axis.ravel() for axis in np.meshgrid(*axes, indexing="ij")], axis=-1)


def limits(law: Law, course: Course) -> tuple[tuple[float, float], ...]:
    """The smallest and largest figure of each part of the shape that is tried."""
    found = []
    for _, grows in law.shape:
        along = course.t if grows == "time" else course.x
        found.append((_BELOW * float(along[along > 0].min()), _ABOVE * float(along.max())))
    return tuple(found)


def amplitudes(law: Law, course: Course, shape: Array, *, held: bool) -> Array:
    """Baseline constant (0 where held) and amplitudes that fit best with one shape."""
    turn = course.turn(held)
    columns = law.columns(shape, course.t, course.x)
    design = columns if held else np.concatenate([np.ones_like(columns[:, :1]), columns], axis=-1)
    found = np.linalg.lstsq(whitened(turn, design), whitened(turn, course.y), rcond=None)[0]
    return np.asarray(np.concatenate([[0.0], found]) if held else found, dtype=np.float64)
