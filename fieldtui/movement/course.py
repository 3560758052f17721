"""One chord's closing through time: what a law is fitted to. Plain arrays, and what their errors share.

    Course: y, t, x, covariance ── whitened ──► figures with errors of 1 that share nothing

Days, the route's large unit for x, its small unit for y; **closing is positive here**, unlike in changes.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from fieldtui.movement.laws import Array, Law


class Course(Struct, frozen=True, dict=True):
    """Readings in order of time. Lengths are the same for all arrays, which are not written to."""

    y: Array
    """Closing as counted from the booked baseline."""
    t: Array
    """Days since the face passed, or since the first reading where that is not known."""
    x: Array
    """From the station to the face, large units; NaN where it was not booked."""
    covariance: Array | None = None
    """Of the readings' own errors, squared small units: what each shares with the booked baseline left out, what the
    baseline has alone left out too. None: errors of one unknown size that share nothing."""
    common: float = 0.0
    """Standard uncertainty of the booked baseline, which every figure shares. A free baseline constant takes it up;
    where that constant is held at 0 it counts."""
    origin_known: bool = True
    """Whether t counts from the face passing the station."""

    def __post_init__(self) -> None:
        if not len(self.y) == len(self.t) == len(self.x):
            raise ValueError("a course needs as many times and distances as closings")

    def __len__(self) -> int:
        return len(self.y)

    @classmethod
    def of(
        cls, y: object, t: object = None, x: object = None, u: object = None, *, common: float = 0.0, known: bool = True
    ) -> Course:
        """From plain lists. `u` are standard uncertainties that share nothing, one for all or one each."""
        closing = np.asarray(y, dtype=float)
        nothing = np.full(len(closing), np.nan)
        times = nothing if t is None else np.asarray(t, dtype=float)
        distances = nothing if x is None else np.asarray(x, dtype=float)
        own = None if u is None else np.diag(np.broadcast_to(np.asarray(u, dtype=float) ** 2, closing.shape))
        return cls(closing, times, distances, own, common, known)

    def only(self, kept: NDArray[Any]) -> Course:
        """The readings that a mask or a list of places keeps."""
        own = None if self.covariance is None else self.covariance[kept][:, kept]
        return Course(self.y[kept], self.t[kept], self.x[kept], own, self.common, self.origin_known)

    def usable(self, law: Law) -> Course:
        """The readings that have what the law counts in, after the face has passed."""
        kept = np.ones(len(self), dtype=bool)
        if law.uses_time:
            kept &= np.isfinite(self.t) & (self.t >= 0)
        if law.uses_face:
            kept &= np.isfinite(self.x) & (self.x >= 0)
        return self if kept.all() else self.only(kept)

    def turn(self, held: bool) -> Array | None:
        """The matrix that makes the errors of size 1 and shared by none: the inverse of the covariance's lower Cholesky
        factor, with the baseline's error where its constant is held at 0. None without a covariance."""
        return self._turn_held if held else self._turn_free

    # a fit asks hundreds of times
    @cached_property
    def _turn_free(self) -> Array | None:
        return None if self.covariance is None else inverse_root(self.covariance)

    @cached_property
    def _turn_held(self) -> Array | None:
        return None if self.covariance is None else inverse_root(self.covariance + self.common**2)


def inverse_root(covariance: Array) -> Array:
    """The inverse of the lower Cholesky factor of a covariance. `LinAlgError` where it is not positive definite."""
    root = np.linalg.cholesky(covariance)
    # not scipy's triangular solve: for a handful of rows it wakes every core and waits for them, ten times as long
    return np.asarray(np.linalg.solve(root, np.eye(len(root))))


def whitened(turn: Array | None, columns: Array) -> Array:
    """Columns (n,) or (n, ...) turned so that the errors are of size 1 and share nothing."""
    if turn is None:
        return columns
    return np.asarray(turn @ columns.reshape(len(columns), -1)).reshape(columns.shape)
