"""A law fitted to one chord's readings by weighted least squares, with exact derivatives and starts of its own.

    Course ── scan of the whole grid ──► start ── scipy's Levenberg-Marquardt ──► Fit ── end_interval ──► Interval

The covariance of the figures is `scale (J'J)^-1` at the best fit. The scale is 1, or the readings' own scatter about
the law where that is wider than their uncertainties say; where no uncertainties are given it is the scatter.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

import numpy as np
from msgspec import Struct
from scipy.ndimage import minimum_filter
from scipy.optimize import least_squares

from fieldtui.movement.course import Course, whitened
from fieldtui.movement.laws import Array, Law
from fieldtui.movement.scan import Scan, amplitudes, grid, limits

CLEAR = 2.0
"""Standard deviations that each part of a law is to be from nothing, or the parts are not told apart. A lower bar lets
through the chords alone whose chance errors made a part: their end values were missed on one side [measured by
`tests/bench/movement`]."""
_STARTS = 3
"""Valleys of the grid that a law with two figures in its shape is refined from."""
_TINY = 1e-15
_BEYOND = 5.0
"""How far beyond the grid, in logarithms, a step may land on its way."""


class Fit(Struct, frozen=True, dict=True):
    """A law with the figures that fit best."""

    law: Law
    course: Course
    """The readings that the law could use."""
    held: bool
    """The baseline constant was held at 0."""
    baseline: float
    """What the booked baseline is off the law's own zero: minus what was lost before it, small units."""
    amplitudes: tuple[float, ...]
    shape: tuple[float, ...]
    at_bound: tuple[str, ...]
    """Figures of the shape that ran to the end of what the readings can tell apart."""

    @property
    def end(self) -> float:
        """The end value, counted from the booked baseline, small units."""
        return self.baseline + sum(self.amplitudes)

    @property
    def straight(self) -> tuple[str, ...]:
        """Figures of the shape that ran to the upper end: the law is a straight line for all that can be told."""
        ends = dict(zip(self.law.names[-len(self.shape) :], limits(self.law, self.course), strict=True))
        values = dict(zip(self.law.names[-len(self.shape) :], self.shape, strict=True))
        return tuple(name for name in self.at_bound if values[name] ** 2 > ends[name][0] * ends[name][1])

    @property
    def distinct(self) -> bool:
        """Whether the law's own figures can be told from each other: none at a bound, and where it has two parts both
        clearly there and neither against the other."""
        if self.at_bound:
            return False
        if len(self.amplitudes) == 1:
            return True
        first = 0 if self.held else 1
        deviations = np.sqrt(np.diag(self.covariance))[first : first + len(self.amplitudes)]
        clear = bool(np.all(np.abs(self.amplitudes) >= CLEAR * deviations))
        return clear and min(self.amplitudes) * max(self.amplitudes) > 0

    @property
    def dof(self) -> int:
        free = len(self.amplitudes) + len(self.shape) + (0 if self.held else 1)
        return len(self.course) - free

    @cached_property
    def residuals(self) -> Array:
        """Readings less law, small units."""
        return np.asarray(self.course.y - self.at(self.course.t, self.course.x))

    @cached_property
    def squares(self) -> float:
        """Weighted sum of squares: in squared standard deviations where uncertainties are given."""
        return float(np.sum(whitened(self.course.turn(self.held), self.residuals) ** 2))

    @property
    def scatter(self) -> float:
        """Mean square of the residuals over their degrees of freedom: near 1 where the uncertainties tell it all."""
        return self.squares / self.dof

    @property
    def scale(self) -> float:
        """What the covariance is multiplied with."""
        return self.scatter if self.course.covariance is None else max(1.0, self.scatter)

    def at(self, t: Array, x: Array) -> Array:
        """The law's closing, counted from the booked baseline, small units."""
        return np.asarray(self.baseline + self.law.columns(self.shape, t, x) @ np.asarray(self.amplitudes))

    @cached_property
    def covariance(self) -> Array:
        """Of the figures as fitted: [baseline,] amplitudes, shape."""
        turn = self.course.turn(self.held)
        made = whitened(turn, _jacobian(self.law, self.course, self.amplitudes, self.shape, self.held))
        size = np.linalg.norm(made, axis=0)
        r = np.linalg.qr(made / size, mode="r")
        inverse = np.linalg.inv(r) / size[:, None]
        return np.asarray(self.scale * inverse @ inverse.T)

    @property
    def figures(self) -> dict[str, tuple[float, float]]:
        """The law's own figures, each with its standard deviation: A, m, X, T, as many as the law has."""
        first = 0 if self.held else 1
        covariance = self.covariance[first:, first:]
        values = [*self.amplitudes, *self.shape]
        turn = np.eye(len(values))
        if len(self.amplitudes) == 2:
            whole, timed = self.amplitudes
            values[1] = timed / whole
            turn[1, :2] = [-timed / whole**2, 1 / whole]
        deviations = np.sqrt(np.diag(turn @ covariance @ turn.T))
        return {name: (value, float(sd)) for name, value, sd in zip(self.law.names, values, deviations, strict=True)}


def fit(law: Law, course: Course, *, held: bool = False, start: Sequence[float] | None = None) -> Fit:
    """The best fit of a law. `start`, if one is given, are the law's amplitudes and shape: (A, T) or (A, A m, X, T).

    `ValueError` where the readings are fewer than the figures, or all at one time or one distance.
    """
    usable = course.usable(law)
    free = law.parts + len(law.shape) + (0 if held else 1)
    if len(usable) <= free:
        raise ValueError(f"{law} has {free} figures and needs more than {len(usable)} readings")
    for _, grows in law.shape:
        along = usable.t if grows == "time" else usable.x
        if np.ptp(along) == 0:
            raise ValueError(f"{law} needs readings at more than one {grows}")
    if start is not None:
        return _ended(law, usable, held, np.asarray([0.0, *start]))
    found = [
        _made(law, usable, held, one, edge) if edge else _ended(law, usable, held, one)
        for one, edge in _from_grid(law, usable, held)
    ]
    return min(found, key=lambda one: one.squares)


def _ended(law: Law, usable: Course, held: bool, start: Array) -> Fit:
    """The fit that a start leads to, at the end of what the readings can tell apart where it would run beyond."""
    found = _refined(law, usable, held, start)
    ends = limits(law, usable)
    shape = np.clip(found[1 + law.parts :], *np.transpose(ends))
    edge = _at_edge(law, shape, ends)
    if edge:
        found = np.concatenate([amplitudes(law, usable, shape, held=held), shape])
    return _made(law, usable, held, found, edge)


def _from_grid(law: Law, course: Course, held: bool) -> Iterator[tuple[Array, tuple[str, ...]]]:
    """Figures at the best places of the grid, each with the names of those that are at its edge there."""
    shapes = grid(law, course)
    least = Scan.of(law, course, shapes, held=held).least
    for place in _valleys(least, len(law.shape)):
        found = np.concatenate([amplitudes(law, course, shapes[place], held=held), shapes[place]])
        yield found, _at_edge(law, shapes[place], limits(law, course))


def _valleys(least: Array, sides: int) -> list[int]:
    """Places that no neighbour of the grid lies below, the lowest first: one with one side, a few with two.

    With two the sum of squares has more than one valley, and the lowest place of the grid may lie in the wrong one.
    """
    if sides == 1:
        return [int(np.argmin(least))]
    size = round(len(least) ** 0.5)
    field = least.reshape(size, size)
    lowest = np.flatnonzero(field <= minimum_filter(field, size=3, mode="nearest"))
    return [int(place) for place in lowest[np.argsort(least[lowest])][:_STARTS]]


def _at_edge(law: Law, shape: Array, ends: Sequence[tuple[float, float]]) -> tuple[str, ...]:
    """Names of the figures of a shape that are at an end of what the readings can tell apart."""
    places = zip(law.shape, shape, ends, strict=True)
    return tuple(name for (name, _), value, (low, high) in places if not low * 1.001 < value < high * 0.999)


def _refined(law: Law, course: Course, held: bool, start: Array) -> Array:
    """Levenberg-Marquardt from a start, in the logarithms of the shape: they stay positive."""
    turn = course.turn(held)
    y = whitened(turn, course.y)
    parts = law.parts
    first = 1 if held else 0
    size = np.maximum(np.abs(start[: 1 + parts]), float(np.ptp(course.y)) or 1.0)
    low, high = np.log(limits(law, course)).T

    def unpacked(free: Array) -> tuple[float, Array, Array]:
        whole = np.concatenate([[0.0], free]) if held else free
        logs = np.clip(whole[1 + parts :], low - _BEYOND, high + _BEYOND)
        return whole[0] * size[0], whole[1 : 1 + parts] * size[1:], np.exp(logs)

    def off(free: Array) -> Array:
        baseline, linear, shape = unpacked(free)
        return np.asarray(whitened(turn, baseline + law.columns(shape, course.t, course.x) @ linear) - y)

    def slope(free: Array) -> Array:
        _, linear, shape = unpacked(free)
        made = _jacobian(law, course, linear, shape, held)
        return whitened(turn, made * np.concatenate([size[first:], shape]))

    free = np.concatenate([start[first : 1 + parts] / size[first:], np.log(start[1 + parts :])])
    found = least_squares(off, free, jac=slope, method="lm", xtol=_TINY, ftol=_TINY, gtol=_TINY, max_nfev=2000).x
    # it stops where the sum of squares no longer changes, at half the figures' digits: two Gauss-Newton steps more
    for _ in range(2):
        stepped = found - np.linalg.lstsq(slope(found), off(found), rcond=None)[0]
        if np.sum(off(stepped) ** 2) <= np.sum(off(found) ** 2) * (1 + 1e-9):
            found = stepped
    baseline, linear, shape = unpacked(found)
    return np.concatenate([[baseline], linear, shape])


def _jacobian(
    law: Law, course: Course, linear: Sequence[float] | Array, shape: Sequence[float] | Array, held: bool
) -> Array:
    """Exact derivatives of the law's closing by [baseline,] amplitudes, shape; (n, p), not whitened."""
    columns = law.columns(shape, course.t, course.x)
    by_shape = np.einsum("nkq,k->nq", law.slopes(tuple(shape), course.t, course.x), np.asarray(linear))
    ones = [] if held else [np.ones((len(course), 1))]
    return np.concatenate([*ones, columns, by_shape], axis=-1)


def _made(law: Law, course: Course, held: bool, found: Array, edge: tuple[str, ...]) -> Fit:
    baseline, linear, shape = found[0], found[1 : 1 + law.parts], found[1 + law.parts :]
    return Fit(law, course, held, float(baseline), tuple(map(float, linear)), tuple(map(float, shape)), edge)
