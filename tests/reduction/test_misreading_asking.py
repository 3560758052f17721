"""When the hole is asked for twice, when a reading is doubted, and the five standard uncertainties, at their edges."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from reduction.adit import START, WARM, Adit, figures

from fieldtui.reduction import Event, Evidence, Priors
from fieldtui.reduction.misreading import DOUBT_BELOW, ask_twice

ADIT = Adit()
RIGHT = ADIT.true(("B", "L-R"), ADIT.days)
SURE = Priors({"as booked": 1.0, "real movement": 1e-12})
"""Whoever trusts every figure: without the rule he would never doubt."""


def spreads_off(spreads):
    """Figures so many spreads from what is expected."""
    expected = ADIT.judged(ADIT.today()).expectation
    return figures(float(expected.value) + spreads * expected.spread)


@pytest.mark.parametrize(("spreads", "agrees"), [(4.6, True), (-4.6, True), (5.4, False), (-5.4, False), (7.0, False)])
def test_more_than_five_standard_uncertainties_off_is_never_as_booked(spreads, agrees):
    """Even where the odds would have it so: then it is movement."""
    verdict = ADIT.judged(spreads_off(spreads), Evidence(temperatures=(WARM, WARM)), priors=SURE)
    assert abs(verdict.off) == pytest.approx(abs(spreads), abs=0.1)
    assert verdict.agrees == agrees
    assert (verdict.probability("as booked") == 0) != agrees
    if not agrees:
        assert verdict.explanations[0].cause == "real movement"


def test_a_reading_is_doubted_though_right_is_still_the_likeliest():
    doubted = [ADIT.judged(spreads_off(spreads / 10)) for spreads in range(20, 50)]
    between = [one for one in doubted if one.agrees and one.doubted]
    assert between
    for verdict in between:
        assert verdict.probability("as booked") < DOUBT_BELOW
        assert verdict.look_at
    assert not doubted[0].doubted
    assert doubted[-1].doubted


def test_in_calm_ground_the_hole_is_asked_for_once():
    assert not ADIT.judged(ADIT.today()).hole_twice


def test_on_one_earlier_reading_it_is_asked_for_twice():
    young = Adit(since=9)
    assert young.judged(young.today()).hole_twice


def test_after_a_new_stage_it_is_asked_for_twice_after_a_blast_by_the_spread():
    stage, blast = (Event(START + timedelta(days=9.6), kind, "B") for kind in ("stage", "blast"))
    assert ADIT.judged(ADIT.today(), Evidence(temperatures=(WARM,), events=(stage,))).hole_twice
    after = ADIT.judged(ADIT.today(), Evidence(temperatures=(WARM,), events=(blast,)))
    assert after.hole_twice == (after.expectation.spread >= 25 / 10)


def test_where_the_spread_is_a_tenth_of_the_pitch_it_is_asked_for_twice():
    expected = ADIT.judged(ADIT.today()).expectation
    assert ask_twice(replace(expected, spread=25 / 10), 25.0)
    assert not ask_twice(replace(expected, spread=25 / 10 - 0.01), 25.0)


def test_where_two_fifths_of_the_pitch_are_expected_to_have_moved_it_is_asked_for_twice():
    expected = ADIT.judged(ADIT.today()).expectation
    assert ask_twice(replace(expected, moving=-10.0), 25.0)
    assert not ask_twice(replace(expected, moving=-9.9), 25.0)
    fast = Adit(rate=-20.0)
    assert fast.judged(fast.today()).hole_twice


def test_months_later_the_hole_can_no_longer_be_told():
    late = ADIT.judged(ADIT.today(), at=ADIT.now + timedelta(days=300))
    assert late.expectation.spread > 25 / 10
    assert late.hole_twice
