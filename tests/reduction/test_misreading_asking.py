"""When the hole is asked for twice, when a reading is doubted, and the five standard uncertainties, at their edges."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from math import exp, sqrt

import pytest
from msgspec.structs import replace
from reduction.adit import START, WARM, Adit, figures

from fieldtui.reduction import Event, Evidence, Known, Priors
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


@pytest.mark.parametrize(("probability", "doubted"), [(0.945, True), (0.955, False)])
def test_what_is_right_with_less_than_95_in_100_is_doubted(probability, doubted):
    """So far the benchmark lets it go: clean readings doubted less than one in 200, misreadings caught 99 in 100."""
    right = replace(ADIT.judged(ADIT.today()), explanations=stated(probability))
    assert (right.agrees, right.doubted) == (True, doubted)


@pytest.mark.parametrize(
    ("cause", "off", "doubted"),
    [
        ("seating", 0.3, False),
        ("one repeat", -1.9, False),
        ("seating", 2.1, True),
        ("dial", 0.3, True),
        ("real movement", 0.3, True),
    ],
)
def test_repeats_that_scatter_ask_for_a_further_one_and_for_no_more_where_the_length_is_as_expected(
    cause, off, doubted
):
    right = replace(ADIT.judged(ADIT.today()), off=off, explanations=stated(0.7, cause))
    assert (right.agrees, right.doubted) == (True, doubted)


def test_what_looks_rather_like_a_caught_tape_is_doubted_wherever_its_length_is():
    caught = replace(ADIT.judged(ADIT.today()), off=0.3, explanations=stated(0.4, "seating")[::-1])
    assert caught.doubted


def test_where_the_length_is_as_expected_the_scatter_alone_gives_nothing_to_look_at():
    today = ADIT.today()
    wide = [dial + Decimal(by) for dial, by in zip(today.dials, ("0.15", "-0.14", "0.01"), strict=True)]
    scattered = ADIT.judged(replace(today, dials=tuple(wide)))
    assert abs(scattered.off) < 2
    assert scattered.agrees
    assert scattered.probability("as booked") < DOUBT_BELOW
    assert (scattered.doubted, scattered.look_at) == (False, "")


def stated(probability, cause="real movement"):
    right = ADIT.judged(ADIT.today()).explanations[0]
    return replace(right, probability=probability), replace(right, cause=cause, probability=1 - probability)


def test_in_calm_ground_the_hole_is_asked_for_once():
    assert not ADIT.judged(ADIT.today()).hole_twice


def test_on_one_earlier_reading_it_is_asked_for_twice():
    young = Adit(since=9)
    assert young.judged(young.today()).hole_twice


def test_after_a_new_stage_it_is_asked_for_twice_after_a_blast_by_the_spread():
    stage, blast = (Event(START + timedelta(days=9.6), kind, "B") for kind in ("stage", "blast"))
    assert ADIT.judged(ADIT.today(), Evidence(temperatures=(WARM,), events=(stage,))).hole_twice
    after = ADIT.judged(ADIT.today(), Evidence(temperatures=(WARM,), events=(blast,)))
    spread = after.expectation.alone_spread
    assert spread > 4 * ADIT.judged(ADIT.today()).expectation.alone_spread
    assert after.hole_twice == (5 * 3.9 * spread >= 25)


def test_a_stage_that_is_known_already_counts_though_the_reading_claims_to_be_older():
    """A wrong date would hide it: then the hole would pass for what the stage has moved."""
    stage, blast, before = (
        Event(START + timedelta(days=days), kind, "B") for days, kind in ((12, "stage"), (12, "blast"), (8, "stage"))
    )
    for event, asked in ((stage, True), (blast, False), (before, False)):
        known = ADIT.known()
        known = Known(known.route, replace(known.ground, events=(event,)))
        assert ADIT.judged(ADIT.today(), known=known).hole_twice == asked


@pytest.mark.parametrize(("readings", "times"), [(2, 14.78), (3, 8.22), (5, 5.44), (10, 3.9), (40, 2.75)])
def test_the_spread_may_be_wider_than_so_few_readings_show(readings, times):
    """Asked from a fifth of the pitch on; the margin is wide on few readings, and never less than two."""
    expected = replace(ADIT.judged(ADIT.today()).expectation, readings=readings)
    edge = 25 / 5 / times
    assert ask_twice(replace(expected, alone_spread=1.01 * edge), 25.0)
    assert not ask_twice(replace(expected, alone_spread=0.99 * edge), 25.0)


def test_whether_the_hole_is_asked_twice_does_not_hang_on_the_neighbours():
    """It is asked before the figures are in, and must be the same afterwards: both look at the chord's own readings."""
    alike = Adit(wobble=(0.3, -0.3, 0.0), days=20)
    known = alike.known()
    others = tuple(alike.other(known, "B", chord, off=0.4) for chord in ("L-K", "R-K"))
    with_them = alike.judged(alike.today(), Evidence(others, (WARM, WARM)), known).expectation
    assert with_them.spread < 0.98 * with_them.alone_spread
    edge = 5 * with_them.alone_spread * 2 * exp(2 / sqrt(19))
    assert ask_twice(with_them, 0.99 * edge)
    assert not ask_twice(with_them, 1.01 * edge)


def test_where_two_fifths_of_the_pitch_are_expected_to_have_moved_it_is_asked_for_twice():
    expected = ADIT.judged(ADIT.today()).expectation
    unheeded = replace(expected, alone=float(expected.value))
    assert ask_twice(replace(unheeded, moving=-10.01), 25.0)
    assert not ask_twice(replace(unheeded, moving=-9.99), 25.0)
    assert ask_twice(replace(unheeded, moving=-6.0, alone=float(expected.value) - 4.01), 25.0)
    fast = Adit(rate=-20.0)
    assert fast.judged(fast.today()).hole_twice


def test_months_later_the_hole_can_no_longer_be_told():
    late = ADIT.judged(ADIT.today(), at=ADIT.now + timedelta(days=300))
    assert late.expectation.spread > 25 / 10
    assert late.hole_twice
