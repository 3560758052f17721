"""Three repeats: do they agree, which is the odd one, should another be taken, what is the value."""

from __future__ import annotations

from decimal import Decimal
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtui.reduction import judge_repeats
from fieldtui.reduction.repeats import MEDIAN_VARIANCE, repeatability_of_value

S_R = Decimal("0.05")
FINE = Decimal("0.01")


def judged(*dials: str):
    return judge_repeats(tuple(map(Decimal, dials)), S_R)


def test_one_figure_is_no_verdict():
    repeats = judged("12.34")
    assert (repeats.agree, repeats.critical_range, repeats.odd, repeats.wanted) == (None, None, None, False)
    assert repeats.value == Decimal("12.34")


def test_a_range_of_just_the_critical_range_agrees():
    # 3.314 x 0.05 = 0.1657
    repeats = judged("12.0000", "12.1000", "12.1657")
    assert repeats.agree
    assert repeats.critical_range == Decimal("0.16570")
    assert not judged("12.0000", "12.1000", "12.1658").agree


def test_figures_that_agree_give_their_mean():
    repeats = judged("12.00", "12.03", "12.06")
    assert (repeats.value, repeats.centre, repeats.range) == (Decimal("12.03"), "mean", Decimal("0.06"))
    assert not repeats.wanted


def test_the_odd_one_is_the_farthest_from_the_median():
    assert judged("12.00", "13.02", "12.04").odd == 1
    assert judged("11.02", "12.00", "12.04").odd == 0
    assert judged("12.00", "12.04", "12.02", "12.40").odd == 3


def test_no_odd_one_is_named_where_two_are_equally_far():
    assert judged("12.00", "12.40").odd is None
    assert judged("12.00", "12.40", "12.80").odd is None


def test_three_that_fail_ask_for_a_fourth_and_a_fourth_for_a_fifth():
    assert judged("12.00", "12.02", "12.40").wanted
    assert judged("12.00", "12.02", "12.40", "12.01").wanted
    assert not judged("12.00", "12.02", "12.40", "12.01", "12.03").wanted


def test_a_fourth_is_judged_with_its_own_factor():
    # 0.17 is beyond 3.314 x 0.05 = 0.1657 and within 3.633 x 0.05 = 0.1817
    assert not judged("12.00", "12.05", "12.17").agree
    assert judged("12.00", "12.05", "12.17", "12.06").agree


def test_figures_that_do_not_agree_give_the_median():
    assert judged("12.00", "12.02", "12.40").value == Decimal("12.02")
    five = judged("12.00", "12.02", "12.40", "12.01", "12.03")
    assert (five.value, five.centre, five.agree) == (Decimal("12.02"), "median", False)


@pytest.mark.parametrize("dials", [(), ("1",) * 6])
def test_none_or_more_than_five_are_refused(dials):
    with pytest.raises(ValueError, match="one to 5"):
        judged(*dials)


@pytest.mark.parametrize(("n", "expected"), [(1, 0.05), (2, 0.05 / sqrt(2)), (3, 0.05 / sqrt(3)), (5, 0.05 / sqrt(5))])
def test_the_mean_gains_from_repeats(n, expected):
    assert repeatability_of_value(judged(*["12.00"] * n), S_R, FINE) == pytest.approx(expected, rel=1e-12)


def test_the_median_loses_against_the_mean():
    failing = judged("12.00", "12.02", "12.40", "12.01", "12.03")
    assert repeatability_of_value(failing, S_R, FINE) == pytest.approx(0.05 * sqrt(MEDIAN_VARIANCE[5]), rel=1e-12)


def test_two_that_do_not_agree_are_uncertain_by_half_their_range():
    assert repeatability_of_value(judged("12.00", "13.00"), S_R, FINE) == pytest.approx(0.5)


def test_a_coarse_dial_sets_the_least_uncertainty():
    coarse = Decimal("0.5")
    assert repeatability_of_value(judged("12.0", "12.0", "12.0"), S_R, coarse) == pytest.approx(0.5 / sqrt(12))


@given(st.lists(st.decimals(0, 50, places=2), min_size=1, max_size=5))
def test_order_does_not_matter_and_the_value_lies_among_the_figures(dials):
    forward, backward = judge_repeats(dials, S_R), judge_repeats(dials[::-1], S_R)
    assert (forward.value, forward.agree) == (backward.value, backward.agree)
    assert min(dials) <= forward.value <= max(dials)
