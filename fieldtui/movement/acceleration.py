"""Is a chord speeding up? A test on its last readings, made to be early and to cry wolf seldom.

    last 5, 8 and 12 readings ── parabola by least squares ──► z = bend along the way it moves / its uncertainty

It is noticed where one of the three bends, along the way that the chord moved over that window, is at least `NOTICED`
= 3 standard uncertainties. On ground that moves at a steady rate each z
is a standard normal variable, so one look in at most 3 x 0.00135 = 1 in 250 is a false alarm; on ground that slows
down fewer. Where readings scatter about the parabola more widely than their uncertainties say, the scatter counts.
The windows: five readings are the fewest that leave a check, twelve see a slow bend [this program's own choice]. The
rate of false alarms and the delay are measured by `tests/bench/movement`.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from fieldtui.movement.course import Course, whitened
from fieldtui.movement.laws import Array

WINDOWS = (5, 8, 12)
NOTICED = 3.0


class Bend(Struct, frozen=True):
    """What the last readings say of the rate. Small units and days; closing positive."""

    readings: int
    rate: float
    """At the last reading, by the parabola."""
    rate_u: float
    bend: float
    """Change of the rate a day, along the way it moved over the window: positive is speeding up."""
    bend_u: float

    @property
    def z(self) -> float:
        return self.bend / self.bend_u

    @property
    def noticed(self) -> bool:
        return self.z >= NOTICED


def speeding_up(course: Course, windows: tuple[int, ...] = WINDOWS) -> Bend | None:
    """The clearest bend of the windows that there are readings for. None with fewer than the smallest window.

    `ValueError` for readings without uncertainties: a bend says nothing without.
    """
    if course.covariance is None:
        raise ValueError("a bend is judged by the readings' uncertainties")
    timed = course.only(np.isfinite(course.t))
    found = [_bend(timed.only(np.arange(len(timed) - size, len(timed)))) for size in windows if len(timed) >= size]
    told = [bend for bend in found if bend is not None]
    noticed = [bend for bend in told if bend.noticed]
    return max(noticed or told, key=lambda bend: bend.z, default=None)


def _bend(course: Course) -> Bend | None:
    back = course.t - course.t[-1]
    if len(np.unique(back)) < 4:
        return None
    span = -back[0]
    design = np.stack([np.ones_like(back), back / span, (back / span) ** 2], axis=-1)
    turn = course.turn(held=False)
    made, y = whitened(turn, design), whitened(turn, course.y)
    q, r = np.linalg.qr(made)
    inverse = np.linalg.inv(r)
    figures = inverse @ (q.T @ y)
    scatter = float(np.sum((y - made @ figures) ** 2)) / (len(back) - 3)
    deviations: Array = np.sqrt(max(1.0, scatter) * np.diag(inverse @ inverse.T))
    # a curve that comes to rest overshoots in a parabola: the way is that of the whole window, not of its end
    way = 1.0 if figures[1] >= figures[2] else -1.0
    return Bend(
        len(back),
        float(figures[1] / span),
        float(deviations[1] / span),
        float(2 * way * figures[2] / span**2),
        float(2 * deviations[2] / span**2),
    )
