"""At rest by the route's rule: three conditions, each with its uncertainty."""

from __future__ import annotations

from decimal import Decimal

import pytest
from msgspec.structs import replace

from fieldtui.movement.interval import Interval
from fieldtui.movement.stability import Moving, judge_rest, share_reached
from fieldtui.route import Stability

RULE = Stability(Decimal("0.2"), Decimal("0.9"))
QUIET = Moving(19.0, 0.2, 0.05, 0.1, 0.8, 0.05, False)
END = Interval(19.2, 20.5)


def test_all_three_make_rest() -> None:
    told = judge_rest(QUIET, [END], RULE)
    assert (told.rate, told.falling, told.share) == ("yes", "yes", "yes")
    assert told.told == "yes"


@pytest.mark.parametrize(
    ("rate", "u", "told"),
    [(0.05, 0.1, "yes"), (0.15, 0.1, "cannot tell"), (0.35, 0.1, "no"), (-0.35, 0.1, "no"), (0.25, 0.1, "cannot tell")],
)
def test_the_rate_is_compared_with_its_uncertainty(rate: float, u: float, told: str) -> None:
    assert judge_rest(replace(QUIET, rate=rate, rate_u=u), [END], RULE).rate == told


def test_without_a_rate_nobody_can_tell() -> None:
    told = judge_rest(replace(QUIET, rate=None), [END], RULE)
    assert (told.rate, told.falling, told.told) == ("cannot tell", "cannot tell", "cannot tell")


def test_without_a_movement_since_the_baseline_no_share_is_denied() -> None:
    """As where nothing could be carried into the newest segment."""
    assert share_reached(replace(QUIET, closing=None, closing_u=0.0), END, 0.9) == "cannot tell"


def test_a_rate_as_fast_as_ever_is_not_falling() -> None:
    assert judge_rest(replace(QUIET, fastest=0.05), [END], RULE).falling == "cannot tell"
    assert judge_rest(replace(QUIET, fastest=-0.8), [END], RULE).falling == "yes", "it opened then"
    assert judge_rest(replace(QUIET, fastest=None), [END], RULE).falling == "cannot tell"
    assert judge_rest(replace(QUIET, fastest=0.2, fastest_u=0.1), [END], RULE).falling == "yes"
    assert judge_rest(replace(QUIET, fastest=0.19, fastest_u=0.1), [END], RULE).falling == "cannot tell"


def test_speeding_up_is_not_falling_however_slow_it_is() -> None:
    told = judge_rest(replace(QUIET, speeding_up=True), [END], RULE)
    assert told.falling == "no"
    assert told.told == "no"


@pytest.mark.parametrize(
    ("closing", "end", "told"),
    [
        (19.0, Interval(19.2, 20.5), "yes"),
        (19.0, Interval(19.2, 21.5), "cannot tell"),
        (18.5, Interval(19.2, 20.5), "cannot tell"),
        (15.0, Interval(19.2, 21.5), "no"),
        (19.0, Interval(19.2, None), "cannot tell"),
        (-19.0, Interval(-20.5, -19.2), "yes"),
        (-15.0, Interval(-21.5, -19.2), "no"),
        (0.1, Interval(-0.2, 0.1), "cannot tell"),
    ],
)
def test_the_share_by_the_end_value_s_interval(closing: float, end: Interval, told: str) -> None:
    assert share_reached(replace(QUIET, closing=closing), end, 0.9) == told


def test_laws_that_disagree_do_not_make_rest() -> None:
    assert judge_rest(QUIET, [END, Interval(25.0, 30.0)], RULE).share == "no"
    assert judge_rest(QUIET, [END, Interval(20.0, 30.0)], RULE).share == "cannot tell"
    assert judge_rest(QUIET, [], RULE).share == "cannot tell"
