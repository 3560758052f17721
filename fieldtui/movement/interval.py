"""The end value's interval by profile likelihood: every end value that some shape of the law makes fit well enough.

    Fit + level ── end_interval ──► Interval: low, high; None where the readings set no bound

With its shape held a law is linear, and its sum of squares a parabola in the end value (see `scan`). What is accepted
is the union of those parabolas' intervals over all shapes: no step of it leans on a straight line drawn at the best
fit, and a bound that is not there shows itself: the accepted shapes reach to the straight line at the grid's end.

How much the sum of squares may grow: the wider of chi-squared with 1 degree of freedom (the uncertainties are right)
and scatter x F with 1 and n - p (they are not, and the scatter about the law says so). Wilks 1938 for the first; the
second as for linear models, which these are but for their shape. The coverage is measured by `tests/bench/movement`.

Coverage is that of the chords that get an answer. Where readings set no bound above there is none, and that is chosen
by chance errors too: what misses the truth is then oftener an interval that lies too high than one too low.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec import Struct
from scipy.optimize import minimize, minimize_scalar
from scipy.stats import chi2, f

from fieldtui.movement.fit import Fit
from fieldtui.movement.laws import Array
from fieldtui.movement.scan import Scan, grid, limits

LEVEL = 0.95
OUT_OF_SIGHT = 10.0
"""An end value farther from the last reading than this many times all that was measured is no bound: the law is then a
straight line for all that the readings can tell [this program's own choice]."""
_STEP = 0.15
_AROUND = np.linspace(-6.0, 6.0, 61)
_COARSER = np.linspace(-6.0, 6.0, 25)


class Interval(Struct, frozen=True):
    """Small units. None: no bound on that side."""

    low: float | None
    high: float | None

    @property
    def bounded(self) -> bool:
        return self.low is not None and self.high is not None


def end_interval(fit: Fit, level: float = LEVEL) -> Interval:
    """Of the end value, counted from the booked baseline."""
    reach = fit.squares + growth(fit, level)
    close, wide = np.concatenate([np.asarray([fit.shape]), _near(fit)]), grid(fit.law, fit.course)
    shapes = np.concatenate([close, wide])
    ends = []
    for sign in (-1.0, 1.0):
        far = _far(fit, reach, sign)
        found = far(shapes)
        places = {int(np.argmax(found))}
        if len(fit.shape) > 1:
            # what is accepted may be two valleys: the farther end need not lie where the best tried shape does
            places |= {int(np.argmax(found[: len(close)])), len(close) + int(np.argmax(found[len(close) :]))}
        end = sign * max(_refined(far, shapes, place, float(found[place])) for place in places)
        edge = _at_edge(fit, shapes[int(np.argmax(found))])
        ends.append(None if edge or not _in_sight(fit, end) else end)
    return Interval(ends[0], ends[1])


def _in_sight(fit: Fit, end: float) -> bool:
    y = fit.course.y
    return abs(end - float(y[-1])) <= OUT_OF_SIGHT * float(np.ptp(y))


def accepted(fit: Fit, level: float = LEVEL) -> Array:
    """Every tried shape that fits well enough, (g, q)."""
    shapes = np.concatenate([_near(fit), grid(fit.law, fit.course)])
    scan = Scan.of(fit.law, fit.course, shapes, held=fit.held)
    return np.asarray(shapes[scan.least <= fit.squares + growth(fit, level)])


def growth(fit: Fit, level: float = LEVEL) -> float:
    """How much the sum of squares may grow before an end value is no longer accepted."""
    scattered = fit.scatter * float(f.ppf(level, 1, fit.dof))
    return scattered if fit.course.covariance is None else max(float(chi2.ppf(level, 1)), scattered)


def _far(fit: Fit, reach: float, sign: float) -> Callable[[Array], Array]:
    """For shapes (g, q): sign x the farthest end value that is accepted with each; minus infinity where none is."""

    def far(shapes: Array) -> Array:
        scan = Scan.of(fit.law, fit.course, shapes, held=fit.held)
        spare = reach - scan.least
        with np.errstate(divide="ignore", invalid="ignore"):
            found = sign * scan.best + np.sqrt(np.maximum(spare, 0.0) / scan.weight)
        return np.where((spare >= 0) & np.isfinite(found), found, -np.inf)

    return far


def _near(fit: Fit) -> Array:
    """Shapes around the best one, in steps of its own standard deviations along its covariance's axes.

    At a bound there is no such deviation: there, in small steps each way.
    """
    size = len(fit.shape)
    ends = np.log(limits(fit.law, fit.course))
    if fit.at_bound:
        return _around(fit, np.diag(np.full(size, _STEP)), ends)
    own = fit.covariance[-size:, -size:] / np.outer(fit.shape, fit.shape)  # of the logarithms
    values, axes = np.linalg.eigh(own)
    return _around(fit, np.sqrt(np.maximum(values, 0.0))[:, None] * axes.T, ends)


def _around(fit: Fit, axes: Array, ends: Array) -> Array:
    """Shapes in a grid of steps along these axes (of logarithms), no farther than the ends."""
    size = len(fit.shape)
    steps = np.meshgrid(*[_AROUND if size == 1 else _COARSER] * size, indexing="ij")
    moved = np.stack([step.ravel() for step in steps], axis=-1) @ axes
    return np.asarray(np.exp(np.clip(np.log(fit.shape) + moved, ends[:, 0], ends[:, 1])))


def _at_edge(fit: Fit, shape: Array) -> bool:
    """Whether a shape is where the law is a straight line for all that the readings can tell."""
    return any(value > 0.99 * high for value, (_, high) in zip(shape, limits(fit.law, fit.course), strict=True))


def _refined(far: Callable[[Array], Array], shapes: Array, place: int, found: float) -> float:
    """The farthest end value, looked for between the tried shapes."""
    logs = np.log(shapes)

    def down(log: Array) -> float:
        value = float(far(np.exp(np.atleast_2d(log)))[0])
        return -value if np.isfinite(value) else 1e300

    if logs.shape[1] == 1:
        line = np.unique(logs[:, 0])
        at = int(np.searchsorted(line, logs[place, 0]))
        low, high = line[max(at - 1, 0)], line[min(at + 1, len(line) - 1)]
        return max(found, -float(minimize_scalar(down, bounds=(low, high), method="bounded").fun))
    better = minimize(down, logs[place], method="Nelder-Mead", options={"xatol": 1e-4, "fatol": 1e-6, "maxfev": 200})
    return max(found, -float(better.fun))
