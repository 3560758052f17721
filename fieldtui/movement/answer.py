"""What every law says of one chord, side by side, and in words where the readings cannot tell.

    Course ── answers ──► Answer, Answer …: fit, end value with its interval, rest; or why there is no answer

No law is the truth: they share the readings and disagree on what comes. No forecast is made while the rate is rising.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from scipy.stats import chi2

from fieldtui.movement.acceleration import Bend, speeding_up
from fieldtui.movement.course import Course, whitened
from fieldtui.movement.fit import Fit, fit
from fieldtui.movement.interval import Interval, end_interval
from fieldtui.movement.laws import LAWS, TIME_POWER, Law
from fieldtui.movement.rest import Rest, rest
from fieldtui.route import METRIC, Stability, Units

MORE = 3
"""So many readings beyond a law's own figures, or it is not fitted [this program's own choice]."""
_NO_MOVEMENT = 0.01
"""Chance at which readings at rest are taken for movement."""
_APART = "The part of the face and the part of time cannot be told apart by these readings."
_TAKEN = (
    f"The intervals take n = {TIME_POWER} as known. Where it is right, one chord in ten was still at rest sooner than "
    "the earliest said here."
)
"""By `tests/bench/movement`; at rest later than the latest was one in 400."""
_POOR = 0.001
"""Chance of so wide a scatter where the law and the uncertainties are right."""


class Answer(Struct, frozen=True):
    """One law's. Either `refusal` says why there is none, or `fit` and `end` are there."""

    law: Law
    fit: Fit | None = None
    end: Interval | None = None
    """Of the end value counted from the booked baseline, 95 %, small units, closing positive."""
    rest: Rest | None = None
    refusal: str = ""
    remarks: tuple[str, ...] = ()

    @property
    def answers(self) -> bool:
        return self.refusal == ""

    @property
    def fits(self) -> bool:
        """Whether the readings scatter about the law no more than their uncertainties and chance allow."""
        return self.fit is not None and not _poor(self.fit)


def answers(
    course: Course,
    *,
    rule: Stability | None = None,
    pace: float | None = None,
    units: Units = METRIC,
    laws: tuple[Law, ...] = LAWS,
) -> tuple[Answer, ...]:
    """Each law fitted to a chord's readings. `pace` is how fast the face goes on, large units a day."""
    bend = speeding_up(course)
    return tuple(_answer(law, course, bend, rule, pace, units) for law in laws)


def _answer(
    law: Law, course: Course, bend: Bend | None, rule: Stability | None, pace: float | None, units: Units
) -> Answer:
    refusal = _before(law, course, bend)
    if refusal:
        return Answer(law, refusal=refusal)
    found = fit(law, course)
    refusal = _after(found, units)
    if refusal:
        return Answer(law, found, refusal=refusal)
    answer = Answer(
        law, found, end_interval(found), remarks=tuple(_remarks(found, units, stands=rule is not None and pace is None))
    )
    if answer.end is not None and not answer.end.bounded:
        return replace(answer, refusal="The readings set no bound to the end value: a straight line fits them as well.")
    return answer if rule is None else replace(answer, rest=rest(found, rule, pace))


def _before(law: Law, course: Course, bend: Bend | None) -> str:
    """Why a law is not fitted at all, or an empty string."""
    if bend is not None and bend.noticed:
        return "The rate is rising: no forecast."
    usable = course.usable(law)
    if law.uses_face and not np.isfinite(course.x).any():
        return "The face's chainage was not booked."
    needed = law.parts + len(law.shape) + 1 + MORE
    if len(usable) < needed:
        of = " with the face's chainage" if law.uses_face else ""
        return f"Too few readings{of}: {len(usable)}, and this law needs {needed}."
    if law.uses_face and np.ptp(usable.x) == 0:
        return "The face has stood still since the baseline: no law of the face can be fitted."
    if law.uses_time and np.ptp(usable.t) == 0:
        return "All these readings are of one time: no law of time can be fitted."
    if not _moved(usable):
        return "No movement beyond the uncertainty of the readings: there is nothing to fit."
    return ""


def _moved(course: Course) -> bool:
    """Whether a constant fits worse than chance: the weighted sum of squares about it against chi-squared, or a
    straight line in time or distance clearly sloping."""
    turn = course.turn(held=False)
    along = course.t if np.isfinite(course.t).all() else course.x
    ones, y = whitened(turn, np.ones(len(course))), whitened(turn, course.y)
    about = y - ones * (ones @ y) / (ones @ ones)
    if float(about @ about) > float(chi2.isf(_NO_MOVEMENT, len(course) - 1)):
        return True
    line = whitened(turn, along - along.mean())
    line = line - ones * (ones @ line) / (ones @ ones)
    return float((line @ y) ** 2 / (line @ line)) > float(chi2.isf(_NO_MOVEMENT, 1))


def _after(found: Fit, units: Units) -> str:
    """Why a fit answers nothing, or an empty string."""
    if not found.straight:
        # bounded or not, an end value made of parts that pull against each other was covered too seldom when measured
        return "" if found.distinct or found.law.parts == 1 else _APART
    values = dict(zip(found.law.names[-len(found.shape) :], found.shape, strict=True))
    figures = [f"{name} = {values[name]:.3g} {_unit(found.law, name, units)}" for name in found.straight]
    return f"A bound is reached, {', '.join(figures)}: the readings are a straight line, and no end is in sight."


def _unit(law: Law, name: str, units: Units) -> str:
    return "days" if dict(law.shape)[name] == "time" else units.large


def _remarks(found: Fit, units: Units, *, stands: bool) -> Iterator[str]:
    """`stands`: rest is asked for, and how fast the face goes on is not known. That of a poor fit comes last."""
    if found.course.origin_known or not found.law.uses_time:
        if found.baseline * sum(found.amplitudes) < 0:
            lost = f"{abs(found.baseline):.{units.decimals - 1}f} {units.small}"
            yield f"Before the baseline, by this law: {lost} of {'closing' if found.baseline < 0 else 'opening'}."
    else:
        yield (
            "When the face passed is not known: what was lost before the first reading, and so the law's own A, "
            "cannot be told. The end value is counted from the baseline."
        )
    if not found.distinct:
        yield "The law's own figures cannot be told from each other; its end value can."
    if found.law.parts > 1:
        yield _TAKEN
    if stands and found.law.uses_face:
        yield "How fast the face goes on is not known: rest is told as if it stood still."
    if _poor(found):
        yield (
            f"The readings scatter about it {found.scatter**0.5:.1f} times as widely as they should: it does not fit, "
            "or their uncertainties are too small. The interval is widened."
        )


def _poor(found: Fit) -> bool:
    return float(chi2.sf(found.squares, found.dof)) < _POOR
