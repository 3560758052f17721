"""What every law says of a chord, and the plain statements where the readings cannot tell."""

from __future__ import annotations

from decimal import Decimal
from math import log

import numpy as np
import pytest
from msgspec.structs import replace

from fieldtui.movement.answer import Answer, answers
from fieldtui.movement.course import Course
from fieldtui.movement.fit import fit
from fieldtui.movement.interval import end_interval
from fieldtui.movement.laws import EXPONENTIAL, FACE_ADVANCE, FACE_AND_TIME, HYPERBOLIC, LAWS, Law
from fieldtui.movement.rest import rest
from fieldtui.route import METRIC, US, Stability

T = np.array([0.5, 1, 2, 3, 4, 6, 8, 10, 13, 16, 20, 25, 30])
X = np.array([1.0, 3, 7, 9, 13, 18, 24, 30, 38, 46, 58, 70, 85])
RULE = Stability(Decimal("0.2"), Decimal("0.9"))
NOISE = np.random.default_rng(2).normal(0, 0.1, len(T))


def course(y: np.ndarray, count: int = len(T), *, known: bool = True, x: np.ndarray = X) -> Course:
    return Course.of((y + NOISE)[:count], T[:count], x[:count], 0.1, known=known)


SLOWING = 22 * (1 - np.exp(-T / 5)) - 2.1


def by(law: Law, one: Course, **rest: object) -> Answer:
    (answer,) = answers(one, laws=(law,), **rest)  # type: ignore[arg-type]
    return answer


def test_the_laws_stand_side_by_side_and_disagree() -> None:
    told = answers(course(SLOWING))
    assert [one.law for one in told] == list(LAWS)
    exponential, hyperbolic = told[0], told[1]
    assert exponential.end == end_interval(fit(EXPONENTIAL, course(SLOWING)))
    assert exponential.end is not None
    assert hyperbolic.end is not None
    assert (exponential.end.high or 0) < (hyperbolic.end.low or 0)


def test_a_law_that_does_not_fit_says_so() -> None:
    (remark,) = [one for one in by(HYPERBOLIC, course(SLOWING)).remarks if "scatter" in one]
    assert "times as widely" in remark
    assert not any("scatter" in one for one in by(EXPONENTIAL, course(SLOWING)).remarks)


def test_what_was_lost_before_the_baseline_is_said_where_the_origin_is_known() -> None:
    answer = by(EXPONENTIAL, course(SLOWING))
    assert answer.fit is not None
    assert answer.fit.baseline == pytest.approx(-2.1, abs=0.2)
    assert answer.remarks == (f"Before the baseline, by this law: {-answer.fit.baseline:.1f} mm of closing.",)
    (inches,) = answers(course(SLOWING), units=US, laws=(EXPONENTIAL,))
    lost = f"{-answer.fit.baseline:.{US.decimals - 1}f} in of closing."
    assert US.decimals > METRIC.decimals
    assert inches.remarks == (f"Before the baseline, by this law: {lost}",)


def test_readings_of_one_time_are_refused_in_words() -> None:
    at_once = Course.of(np.arange(8.0), np.ones(8), u=0.1)
    assert by(EXPONENTIAL, at_once).refusal.startswith("All these readings are of one time")


def test_rest_without_the_face_s_pace_is_said_to_be_that_of_a_face_that_stands() -> None:
    x = np.linspace(1.0, 60.0, 20)
    faced = Course.of(12 * (1 - (8 / (8 + x)) ** 2), np.arange(20.0), x, u=0.1)
    rule = Stability(Decimal("0.2"), Decimal("0.9"))
    for pace, said in ((None, True), (2.0, False)):
        (answer,) = answers(faced, rule=rule, pace=pace, laws=(FACE_ADVANCE,))
        assert answer.rest is not None
        assert any("as if it stood still" in one for one in answer.remarks) is said


def test_an_unknown_time_origin_is_said_and_the_end_value_is_the_same() -> None:
    """A exp(-t0/T) is all that the readings know of A; the end value they know."""
    known = by(EXPONENTIAL, course(SLOWING))
    shifted = replace(course(SLOWING, known=False), t=T - T[0])
    unknown = by(EXPONENTIAL, shifted)
    assert any("When the face passed is not known" in one for one in unknown.remarks)
    assert not any("Before the baseline" in one for one in unknown.remarks)
    assert unknown.end is not None
    assert known.end is not None
    assert (unknown.end.low, unknown.end.high) == pytest.approx((known.end.low, known.end.high), rel=1e-4)
    assert unknown.fit is not None
    assert known.fit is not None
    assert unknown.fit.figures["A"][0] == pytest.approx(known.fit.figures["A"][0] * np.exp(-0.5 / known.fit.shape[0]))


def test_no_forecast_while_the_rate_is_rising() -> None:
    rising = 0.2 * T + 0.02 * T**2
    assert {one.refusal for one in answers(course(rising))} == {"The rate is rising: no forecast."}
    assert all(one.fit is None for one in answers(course(rising)))


def test_too_few_readings() -> None:
    assert by(EXPONENTIAL, course(SLOWING, 5)).refusal == "Too few readings: 5, and this law needs 6."
    assert by(EXPONENTIAL, course(SLOWING, 8)).answers
    assert "this law needs 8" in by(FACE_AND_TIME, course(SLOWING, 7)).refusal


def test_no_movement_is_nothing_to_fit() -> None:
    assert by(EXPONENTIAL, course(np.zeros(len(T)))).refusal.startswith("No movement beyond the uncertainty")
    assert "No movement" not in by(EXPONENTIAL, course(0.03 * T)).refusal


def test_a_straight_line_has_no_end() -> None:
    exact = by(EXPONENTIAL, Course.of(0.5 * T, T, X, 0.1))
    assert exact.refusal.startswith("A bound is reached, T = 3e+05 days")
    noisy = by(EXPONENTIAL, course(0.5 * T)).refusal
    assert "A bound is reached" in noisy or "set no bound" in noisy


def test_early_readings_that_a_straight_line_fits_set_no_bound() -> None:
    early = by(HYPERBOLIC, course(22 * T / (40 + T), 7))
    assert "set no bound to the end value" in early.refusal or "A bound is reached" in early.refusal
    assert early.fit is not None


def test_a_face_that_was_not_booked_or_stood_still() -> None:
    assert by(FACE_ADVANCE, course(SLOWING, x=np.full(len(T), np.nan))).refusal == "The face's chainage was not booked."
    assert "stood still" in by(FACE_ADVANCE, course(SLOWING, x=np.full(len(T), 30.0))).refusal
    some = np.where(np.arange(len(T)) < 4, X, np.nan)
    assert "with the face's chainage: 4" in by(FACE_ADVANCE, course(SLOWING, x=some)).refusal


def test_parts_that_work_against_each_other_are_refused() -> None:
    """Closing with the face and opening again with time is no law of creep."""
    y = FACE_AND_TIME.columns((10.0, 3.0), T, X) @ np.array([20.0, -4.0])
    answer = by(FACE_AND_TIME, course(y))
    assert answer.fit is not None
    assert not answer.fit.distinct
    assert answer.refusal == "The part of the face and the part of time cannot be told apart by these readings."


def test_a_step_runs_to_the_lower_bound_and_has_an_end() -> None:
    """All of it closed before the second reading: T is as small as you like, the end value is known."""
    step = by(EXPONENTIAL, Course.of([0.0, 5.4, 5.1, 4.9, 5.0, 5.1, 4.95], [0, 1, 2, 3, 4, 5, 6], u=0.1))
    assert step.answers
    assert step.end is not None
    assert any("cannot be told from each other" in one for one in step.remarks)
    assert step.end.low == pytest.approx(5.0, abs=0.35)
    assert step.end.high == pytest.approx(5.0, abs=0.35)


def test_rest_by_the_exponential_law() -> None:
    """Rate A/T exp(-t/T) = 0.2 at t = T ln(A/(0.2 T)); 90 % of the end value from the baseline comes before that."""
    answer = by(EXPONENTIAL, course(SLOWING, 8), rule=RULE)
    assert answer.rest is not None
    assert answer.fit is not None
    amplitude, tau = answer.fit.amplitudes[0], answer.fit.shape[0]
    assert answer.rest.days == pytest.approx(tau * log(amplitude / (0.2 * tau)) - T[7], rel=0.05)
    assert answer.rest.earliest is not None
    assert answer.rest.latest is not None
    assert answer.rest.earliest < (answer.rest.days or 0) < answer.rest.latest


def test_rest_waits_for_the_share_too() -> None:
    found = fit(HYPERBOLIC, course(22 * T / (6 + T)))
    soon = rest(found, Stability(Decimal("0.2"), Decimal("0.5")))
    late = rest(found, Stability(Decimal("0.2"), Decimal("0.99")))
    assert (soon.days or 0) < (late.days or 0)
    # hyperbolic: the share s of A comes at t = T s/(1 - s), wherever the baseline is near nothing
    tau = found.shape[0]
    assert late.days == pytest.approx(tau * 99 - T[-1], rel=0.2)


def test_a_face_that_stands_never_brings_the_share() -> None:
    found = fit(FACE_ADVANCE, course(FACE_ADVANCE.columns((30.0,), T, X) @ np.array([25.0]), 9))
    assert rest(found, RULE, pace=0.0).days is None
    going = rest(found, RULE, pace=3.0)
    assert going.days is not None
    assert going.at_face == pytest.approx(X[8] + 3 * going.days)


def test_what_the_intervals_of_the_face_and_time_law_take_as_known_is_said() -> None:
    """And how often its time to rest begins too late, as measured."""
    t, x = np.linspace(1, 150, 30), np.linspace(1, 150, 30)
    y = FACE_AND_TIME.columns((10.0, 3.0), t, x) @ np.array([20.0, 15.0])
    answer = by(FACE_AND_TIME, Course.of(y, t, x, 0.001))
    assert answer.answers
    assert any("n = 0.3" in remark and "one chord in ten" in remark for remark in answer.remarks)
    assert not any(
        "n = 0.3" in remark for law in (EXPONENTIAL, HYPERBOLIC) for remark in by(law, course(SLOWING)).remarks
    )
