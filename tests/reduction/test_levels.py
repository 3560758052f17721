"""Trigger levels: below, cannot tell, above."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal, localcontext

import pytest

from fieldtui.reduction import Overall, Quantity, Rate, Source, judge_levels, overall, to_tell
from fieldtui.route.model import Level

TWO = Decimal(2)


def moved(value: str, u: float = 0.0) -> Quantity:
    return Quantity(Decimal(value), (Source("any", ("any",), u),))


def moving(value: str, u: float = 0.0) -> Rate:
    return Rate(Decimal(value), (Source("any", ("any",), u),), datetime(2031, 5, 1, tzinfo=UTC), Decimal(24))


def level(name: str = "amber", **figures: str) -> Level:
    told = {what: Decimal(figures[what]) if what in figures else None for what in ("closing", "opening", "rate")}
    return Level(name, **told, response="look again", tell=("engineer",))


def state(value: str, u: float = 0.0, **figures: str) -> str:
    (one,) = judge_levels(moved(value, u), None, [level(**figures)], TWO)
    return one.state


def test_closing_is_counted_positive():
    assert state("-6", closing="5") == "above"
    assert state("6", closing="5") == "below"
    assert state("6", opening="5") == "above"
    assert state("-6", opening="5") == "below"


def test_exactly_at_the_limit_without_uncertainty_is_above():
    assert state("-5", closing="5") == "above"
    assert state("-4.9999", closing="5") == "below"


@pytest.mark.parametrize(
    ("value", "expected"),
    [("-4.59", "below"), ("-4.61", "cannot tell"), ("-5", "cannot tell"), ("-5.39", "cannot tell"), ("-5.41", "above")],
)
def test_the_expanded_uncertainty_decides_what_can_be_told(value, expected):
    assert state(value, 0.2, closing="5") == expected


def test_just_the_uncertainty_short_of_the_limit_cannot_be_told():
    assert state("-4.5", 0.25, closing="5") == "cannot tell"
    assert state("-5.5", 0.25, closing="5") == "above"


def test_the_coverage_factor_is_the_route_s():
    (one,) = judge_levels(moved("-4.5", 0.2), None, [level(closing="5")], Decimal(3))
    assert (one.state, one.expanded) == ("cannot tell", pytest.approx(0.6))


def test_a_rate_level_is_of_closing():
    (one,) = judge_levels(None, moving("-2.5", 0.1), [level(rate="2")], TWO)
    assert (one.what, one.value, one.state) == ("rate", Decimal("2.5"), "above")
    (one,) = judge_levels(None, moving("-2.5", 0.3), [level(rate="2")], TWO)
    assert (one.expanded, one.state) == (pytest.approx(0.6), "cannot tell")
    (one,) = judge_levels(None, moving("2.5", 0.1), [level(rate="2")], TWO)
    assert one.state == "below"


def test_only_what_there_is_a_value_for_is_judged():
    both = [level(closing="5", opening="5", rate="2")]
    assert [one.what for one in judge_levels(moved("0"), None, both, TWO)] == ["closing", "opening"]
    assert [one.what for one in judge_levels(None, moving("0"), both, TWO)] == ["rate"]
    assert judge_levels(None, None, both, TWO) == ()


def judged(value: str, u: float, *limits: str):
    names = ("green", "amber", "red")
    levels = [level(name, closing=limit) for name, limit in zip(names, limits, strict=False)]
    return judge_levels(moved(value, u), None, levels, TWO)


def test_over_all_the_most_severe_that_is_above():
    assert overall(judged("-20", 0.1, "5", "10", "15")) == Overall("above", "red")
    assert overall(judged("-12", 0.1, "5", "10", "15")) == Overall("above", "amber")


def test_over_all_else_the_most_severe_that_cannot_be_told():
    assert overall(judged("-5", 3.0, "5", "10", "15")) == Overall("cannot tell", "amber")


def test_over_all_else_below():
    assert overall(judged("-1", 0.1, "5", "10", "15")) == Overall("below", None)


def test_nothing_to_judge_is_not_below():
    assert overall(()) is None


def test_a_level_that_cannot_be_told_is_told_though_a_milder_one_is_above():
    states = judged("-9.9", 0.1, "5", "10", "15")
    assert overall(states) == Overall("above", "green")
    assert [(one.level, one.state) for one in to_tell(states)] == [("amber", "cannot tell"), ("green", "above")]


def test_the_thread_s_own_decimal_context_changes_nothing():
    with localcontext() as context:
        context.prec = 3
        (one,) = judge_levels(moved("-10.9996", 3.0), None, [level(closing="4.9998")], TWO)
    assert one.value == Decimal("10.9996")
    assert one.state == "cannot tell", "5.9998 over the limit, and 6 uncertain"
