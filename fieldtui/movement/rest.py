"""When a chord would be at rest by the route's rule, if a law went on: time and face distance, with the earliest and
latest that the readings allow.

The rule: the law's rate below the route's `rate_below`, and the route's `share_of_end` of the end value reached. The
face goes on at the pace given; where it stands (pace 0) a law of the face stands still with it, and the share then
says how far the face has yet to go.

Earliest and latest are the extremes over every shape that fits well enough (the acceptance of `interval`), each with
the amplitudes that fit best with it: narrower than a full profile. Measured by `tests/bench/movement`: for laws with
one figure in their shape it covers as much as the end value's interval does; for the face-and-time law 90 %, nearly all
of the others at rest sooner than its earliest, so `answer` says so.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from fieldtui.movement.fit import Fit
from fieldtui.movement.interval import accepted
from fieldtui.movement.laws import Array
from fieldtui.movement.scan import amplitudes
from fieldtui.route import Stability

_DAYS = np.concatenate([[0.0], np.geomspace(0.05, 36_500.0, 400)])
"""Looked ahead from the last reading: a hundred years, in steps of 3.4 %."""
_SHAPES = 60


class Rest(Struct, frozen=True):
    """Days from the last reading; None: not within a hundred years. `at_face`: the face's distance by then."""

    days: float | None
    earliest: float | None
    latest: float | None
    at_face: float | None


def rest(fit: Fit, rule: Stability, pace: float | None = None) -> Rest:
    """`pace` is how fast the face goes on, large units a day; None where no law needs it."""
    own = days_to_rest(fit, fit.baseline, np.asarray(fit.amplitudes), fit.shape, rule, pace or 0.0)
    shapes = accepted(fit)
    chosen = shapes[np.linspace(0, len(shapes) - 1, min(len(shapes), _SHAPES)).astype(int)] if len(shapes) else shapes
    found = [own]
    for shape in chosen:
        linear = amplitudes(fit.law, fit.course, shape, held=fit.held)
        found.append(days_to_rest(fit, float(linear[0]), linear[1:], tuple(shape), rule, pace or 0.0))
    known = [days for days in found if days is not None]
    at_face = float(fit.course.x[-1] + (pace or 0.0) * own) if fit.law.uses_face and own is not None else None
    latest = None if None in found else max(known)
    return Rest(own, min(known, default=None), latest, at_face)


def days_to_rest(
    fit: Fit, baseline: float, linear: Array, shape: tuple[float, ...], rule: Stability, pace: float
) -> float | None:
    """Days from the last reading until a law with these figures is at rest by the rule; None: not in a hundred years.

    `fit` gives the law and the last reading. Small units; `pace` in large units a day.
    """
    t = fit.course.t[-1] + _DAYS
    x = fit.course.x[-1] + pace * _DAYS
    by_t, by_x = fit.law.paces(shape, t, x)
    rate = np.abs((by_t + pace * by_x) @ linear)
    end = baseline + float(np.sum(linear))
    if end == 0:
        return None
    share = (baseline + fit.law.columns(shape, t, x) @ linear) / end
    resting = (rate < float(rule.rate_below)) & (share >= float(rule.share_of_end))
    # once both hold they go on holding: every law slows down
    return float(_DAYS[int(np.argmax(resting))]) if resting.any() else None
