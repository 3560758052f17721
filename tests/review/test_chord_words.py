"""What laws and rules say of a chord, in words that can be held to: intervals, refusals, the rule's conditions."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest
from msgspec.structs import replace

from fieldtui.movement.acceleration import Bend, speeding_up
from fieldtui.movement.answer import Answer, answers
from fieldtui.movement.chord import ChordCourse
from fieldtui.movement.course import Course
from fieldtui.movement.interval import Interval
from fieldtui.movement.laws import EXPONENTIAL, FACE_ADVANCE, HYPERBOLIC, LAWS
from fieldtui.movement.rest import Rest
from fieldtui.movement.review import Review
from fieldtui.movement.stability import Moving, Resting
from fieldtui.review.chord_words import NO_GROUND, law_lines, rest_lines
from fieldtui.review.study import Study
from fieldtui.route import Route, Stability
from fieldtui.tui.lines import text_of, width_of


@pytest.fixture(scope="session")
def route(study: Study) -> Route:
    return study.job.route


def told(study: Study, key: tuple[str, str]) -> Review:
    study.compute(key)
    found = study.review_of(key)
    assert found is not None
    return found


def made(course: Course, rule: Stability) -> Review:
    """A review of invented readings."""
    bend = speeding_up(course)
    moving = Moving(float(course.y[-1]), 0.2, 0.1, 0.05, 2.0, 0.1, False)
    return Review(
        ChordCourse(("A", "L-R"), course, (datetime(2031, 5, 4, tzinfo=UTC),) * len(course), (), ()),
        answers(course, rule=rule, pace=0.0),
        bend,
        moving,
        Resting("yes", "yes", "cannot tell"),
        (),
    )


def words(review: Review, route: Route, width: int = 100) -> str:
    return " ".join(text_of(law_lines(review, route, width)).split())


def test_each_law_says_its_end_value_closing_negative_and_how_much_of_it_is_reached(study: Study, route: Route) -> None:
    review = told(study, ("S09", "L-R"))
    lines = text_of(law_lines(review, route, 100)).splitlines()
    for answer in review.answers:
        line = next(one for one in lines if one.startswith(answer.law.name))
        if answer.answers and answer.end is not None and answer.end.low is not None and answer.end.high is not None:
            assert f"{-answer.end.high:.1f} to {-answer.end.low:.1f}" in line
            share = sorted(100 * review.moving.closing / end for end in (answer.end.low, answer.end.high))
            assert f"{share[0]:.0f} to {share[1]:.0f} %" in line or f"{share[0]:.0f} %" in line
        else:
            assert answer.refusal[:40] in " ".join(" ".join(lines).split())
    assert "None of them is the truth." in words(review, route)
    assert "A 10." in words(review, route)


def test_a_law_that_does_not_fit_has_no_say_in_rest(study: Study, route: Route) -> None:
    review = told(study, ("S02", "L-R"))
    poor = [one for one in review.answers if one.answers and not one.fits]
    assert poor
    assert words(review, route).count("no say: it does not fit") == len(poor)
    lines = law_lines(review, route, 100)
    marked = " ".join("".join(text for text, _ in line) for line in lines if any(role == "notice" for _, role in line))
    assert "scatter about it" in marked
    assert "Before the baseline" not in marked


def test_time_to_rest_is_said_with_its_span_in_days_or_years(route: Route) -> None:
    t = np.linspace(0.5, 60, 20)
    course = Course.of(12 * -np.expm1(-t / 15), t, u=0.1)
    review = made(course, Stability(route.stability.rate_below, route.stability.share_of_end))  # type: ignore[union-attr]
    own = next(one for one in review.answers if one.law is EXPONENTIAL)

    def with_rest(rest: Rest) -> str:
        return words(replace(review, answers=(replace(own, rest=rest),)), route)

    assert "in 21 d (14 d to 27 d), face at 80 m" in with_rest(Rest(21.2, 13.9, 27.3, 80.1))
    assert "in 3.4 d" in with_rest(Rest(3.41, 3.41, 3.41, None))
    assert "in 8 years (5 years to over 100 years)" in with_rest(Rest(3000.0, 2000.0, None, None))
    assert "now, by its figures" in with_rest(Rest(0.0, 0.0, 0.0, None))
    assert "now; at the latest in 12 d" in with_rest(Rest(0.0, 0.0, 12.0, None))
    assert "not within a hundred years" in with_rest(Rest(None, None, None, None))


@pytest.mark.parametrize(
    ("course", "why"),
    [
        (Course.of([0, 1, 2.0], [0, 1, 2.0], u=0.1), "Too few readings: 3, and this law needs 6."),
        (Course.of(np.exp(np.arange(12) / 4), np.arange(12.0), u=0.1), "The rate is rising: no forecast."),
        (Course.of(0.3 * np.arange(12), np.arange(12.0), u=0.1), "is a straight line"),
        (Course.of(0.02 * (-1.0) ** np.arange(12), np.arange(12.0), u=0.1), "No movement beyond the uncertainty"),
        (Course.of(np.arange(12) / 9, np.arange(12.0), u=0.1), "The face's chainage was not booked."),
    ],
)
def test_where_the_data_cannot_tell_it_is_said_plainly(route: Route, course: Course, why: str) -> None:
    rule = route.stability
    assert rule is not None
    told_words = words(made(course, rule), route)
    assert why in told_words or ("straight line" in why and "straight line" in told_words)
    assert "▲ The readings cannot tell where this ends: no law answers." in told_words


def test_an_unknown_time_origin_is_said(route: Route) -> None:
    rule = route.stability
    assert rule is not None
    t = np.linspace(0, 60, 20)
    course = Course.of(12 * -np.expm1(-t / 15), t, u=0.1, known=False)
    told_words = words(made(course, rule), route)
    assert "time from the first reading (when the face passed is not known)" in told_words
    assert "When the face passed is not known" in told_words
    assert "time from the face passing" in words(made(Course.of(12 * -np.expm1(-t / 15), t, u=0.1), rule), route)


def test_a_share_that_has_no_sign_is_not_told(study: Study, route: Route) -> None:
    review = told(study, ("S09", "L-R"))
    own = next(one for one in review.answers if one.answers)
    for closing, low, high in ((3.0, -2.0, 5.0), (-3.0, -5.0, 2.0), (-3.0, -5.0, 0.0), (3.0, -5.0, -2.0)):
        moving = replace(review.moving, closing=closing)
        both = replace(own, end=Interval(low, high), rest=None)
        line = next(
            text
            for text in text_of(law_lines(replace(review, answers=(both,), moving=moving), route, 100)).splitlines()
            if text.startswith(own.law.name)
        )
        assert "cannot tell" in line


def test_without_a_rule_nothing_is_said_of_rest(study: Study, route: Route) -> None:
    bare = replace(route, stability=None)
    review = told(study, ("S09", "L-R"))
    none = replace(review, resting=None, answers=tuple(replace(one, rest=None) for one in review.answers))
    assert "the route has no rule" in words(none, bare)
    assert "states no rule of rest" in text_of(rest_lines(none, bare, 80))


def test_rest_is_told_condition_by_condition(study: Study, route: Route) -> None:
    review = told(study, ("S09", "L-R"))
    lines = rest_lines(review, route, 100)
    text = text_of(lines)
    rate = next(line for line in text.splitlines() if line.startswith("rate"))
    assert rate.split()[1:5] == ["cannot", "tell", "-0.09", "±"] or rate.split()[1] in ("yes", "no")
    assert f"less than {route.stability.rate_below}" in rate  # type: ignore[union-attr]
    assert review.resting is not None
    for told_word, says in (("yes", "all three hold"), ("no", "not at rest"), ("cannot tell", "Together: cannot tell")):
        resting = Resting(told_word, told_word, told_word)  # type: ignore[arg-type]
        assert says in text_of(rest_lines(replace(review, resting=resting), route, 100))
    assert lines[-1][0][0] == NO_GROUND
    assert text_of(lines).count("safe") == 0


def test_speeding_up_is_said_with_its_figures_and_its_absence_is_no_all_clear(study: Study, route: Route) -> None:
    review = told(study, ("S09", "L-R"))
    noticed = replace(review, bend=Bend(8, 0.5, 0.01, 0.02, 0.004))
    text = " ".join(text_of(rest_lines(noticed, route, 100)).split())
    assert "▲ Yes: by its last readings it moves faster and faster." in text
    assert "Last 8 readings: rate now -0.50 ± 0.02 mm/d" in text
    assert "+0.020 ± 0.008 mm/d each day, 5.0 standard uncertainties." in text
    quiet = " ".join(text_of(rest_lines(replace(review, bend=Bend(8, 0.5, 0.01, 0.002, 0.004)), route, 100)).split())
    assert "Not noticed: what shows is less than 3 standard uncertainties." in quiet
    none = text_of(rest_lines(replace(review, bend=None), route, 100))
    assert "Cannot tell: it takes five readings" in none


@pytest.mark.parametrize("width", [30, 57, 78, 118])
def test_no_line_is_wider_than_its_room(study: Study, route: Route, width: int) -> None:
    for key in (("S09", "L-R"), ("S08", "L-R"), ("S06", "L1-R1")):
        review = told(study, key)
        for line in rest_lines(review, route, width):
            assert width_of(line) <= max(width, 44)
        if width >= 50:
            assert max(width_of(line) for line in law_lines(review, route, width)) <= width


def test_all_laws_are_there_in_their_order(study: Study, route: Route) -> None:
    lines = text_of(law_lines(told(study, ("S09", "L-R")), route, 100)).splitlines()
    names = [law.name for law in LAWS]
    assert [name for line in lines for name in names if line.startswith(name)] == names
    assert FACE_ADVANCE.name in names
    assert HYPERBOLIC.name in names
    assert isinstance(told(study, ("S09", "L-R")).answers[0], Answer)
