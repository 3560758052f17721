"""Changes, baselines and rates, and what they share."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal, localcontext
from fractions import Fraction
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from fieldtui.reduction import Quantity, Source, change, combine, covariance, rate, since_baseline

quantities = st.builds(
    Quantity,
    st.decimals(-10000, 10000, places=4),
    st.lists(st.builds(Source, st.just("any"), st.tuples(st.sampled_from("abcdef")), st.floats(-1, 1)), max_size=4).map(
        tuple
    ),
)
weights = st.integers(-50, 50) | st.fractions(-3, 3, max_denominator=12)


def correlation(one: Quantity, other: Quantity) -> float:
    return covariance(one.sources, other.sources) / (one.u * other.u)


def test_a_change_is_later_minus_earlier_so_closing_is_negative(book):
    assert change(book(319, "20.00"), book(319, "20.52")).value == Decimal("-0.52")


def test_two_successive_changes_are_correlated_by_minus_a_half(book):
    first, second, third = (book(319, "20") for _ in range(3))
    assert correlation(change(second, first), change(third, second)) == pytest.approx(-0.5)


def test_changes_from_one_baseline_share_its_error(book):
    baseline, second, third = (book(319, "20") for _ in range(3))
    assert correlation(change(second, baseline), change(third, baseline)) == pytest.approx(0.5)


def test_successive_changes_add_up_to_the_change_over_all(book):
    first, second, third = book(319, "20.1", "14"), book(320, "3.2", "15"), book(318, "41.7", "19")
    added = combine([(1, change(second, first)), (1, change(third, second))])
    over_all = change(third, first)
    assert added.value == over_all.value
    assert added.u == pytest.approx(over_all.u, rel=1e-12)


def test_the_same_hole_cancels_and_another_does_not(book):
    assert change(book(319, "20"), book(319, "21")).terms["hole position"] == 0
    assert change(book(319, "1"), book(318, "26")).terms["hole position"] == pytest.approx(0.03 * sqrt(2))


def test_the_same_hole_of_another_tape_does_not_cancel(book, tape):
    terms = change(book(319, "20"), book(319, "20", tape=replace(tape, serial="T2"))).terms
    assert terms["hole position"] == pytest.approx(0.03 * sqrt(2))


def test_the_steel_counts_with_the_difference_of_the_temperatures(book):
    assert change(book(319, "25", "14"), book(319, "25", "10")).terms["expansion"] == pytest.approx(8000 * 4 * 0.5e-6)
    assert change(book(319, "25", "14"), book(319, "25", "14")).terms["expansion"] == 0


def test_a_reading_against_itself_has_neither_change_nor_uncertainty(book):
    length = book(319, "20.11", "12")
    assert change(length, length).value == 0
    assert change(length, length).u == 0


def test_a_baseline_of_several_sets_is_their_mean(book):
    sets = [book(319, "20.00"), book(319, "20.03"), book(319, "20.03")]
    moved = since_baseline(book(319, "19.02"), sets)
    assert moved.value == Decimal("-1")
    assert moved.terms["reproducibility"] == pytest.approx(0.08 * sqrt(1 + 1 / 3))


def test_a_reading_that_is_one_of_the_sets_shares_its_own_error(book):
    sets = [book(319, "20.00") for _ in range(3)]
    assert since_baseline(sets[0], sets).terms["reproducibility"] == pytest.approx(0.08 * sqrt(2 / 3))
    assert since_baseline(sets[0], sets[:1]).u == 0


def test_a_baseline_without_sets_is_refused(book):
    with pytest.raises(ValueError, match="at least one set"):
        since_baseline(book(319, "20"), [])


def test_thirds_are_divided_once_at_the_end(book):
    third = Fraction(1, 3)
    length = book(319, "20.11")
    assert combine([(third, length)] * 3).value == length.value


@given(st.lists(st.tuples(weights, quantities), max_size=5), st.lists(st.tuples(weights, quantities), max_size=5))
def test_combining_is_linear(some, others):
    apart = combine([(1, combine(some)), (2, combine(others))])
    together = combine(some + [(2 * weight, quantity) for weight, quantity in others])
    assert abs(apart.value - together.value) < Decimal("1e-30")
    assert apart.u == pytest.approx(together.u, abs=1e-9)


@given(st.lists(st.tuples(st.integers(-1000, 1000), quantities), max_size=6))
def test_whole_weights_are_exact(parts):
    expected = sum((Fraction(weight) * Fraction(quantity.value) for weight, quantity in parts), Fraction(0))
    assert Fraction(combine(parts).value) == expected


@given(quantities, quantities)
def test_a_change_turned_round_changes_only_its_sign(one, other):
    there, back = change(one, other), change(other, one)
    assert there.value == -back.value
    assert there.u == pytest.approx(back.u, abs=1e-15)


@given(quantities, quantities)
def test_the_budget_makes_up_the_whole(one, other):
    moved = change(one, other)
    assert moved.u == pytest.approx(sqrt(sum(term**2 for term in moved.terms.values())), abs=1e-12)


class TestRate:
    def test_the_slope_is_per_day_from_the_newest_reading_old_enough(self, book, start):
        history = [(start + timedelta(hours=h), book(319, dial)) for h, dial in ((0, "22"), (12, "21"), (30, "20"))]
        slope = rate(book(319, "19"), start + timedelta(hours=48), history, Decimal(24))
        assert slope.since == start + timedelta(hours=12)
        assert slope.hours == 36
        assert float(slope.value) == pytest.approx(-2 / 36 * 24, rel=1e-15)

    def test_just_old_enough_counts(self, book, start):
        history = [(start, book(319, "20"))]
        assert rate(book(319, "19"), start + timedelta(hours=24), history, Decimal(24)).value == -1
        just_short = start + timedelta(hours=24) - timedelta(microseconds=1)
        assert rate(book(319, "19"), just_short, history, Decimal(24)) is None

    def test_its_uncertainty_is_the_change_s_over_the_days(self, book, start):
        earlier, later = book(319, "20", "11"), book(320, "0", "15")
        slope = rate(later, start + timedelta(hours=72), [(start, earlier)], Decimal(24))
        assert slope.u == pytest.approx(change(later, earlier).u / 3, rel=1e-12)

    def test_no_rate_from_a_reading_at_the_same_time_or_later(self, book, start):
        history = [(start, book(319, "20")), (start + timedelta(hours=1), book(319, "20"))]
        assert rate(book(319, "19"), start, history, Decimal(0)) is None


def test_the_thread_s_own_decimal_context_changes_nothing(book, start):
    later, earlier = book(319, "20.10 20.13 20.11", "11.37"), book(320, "1.73", "12.91")

    def worked_out():
        history = [(start, earlier)]
        return (
            since_baseline(later, [earlier, later, earlier]),
            rate(later, start + timedelta(hours=23.47), history, Decimal("23.47")),
        )

    usual = worked_out()
    with localcontext() as context:
        context.prec = 3
        assert worked_out() == usual
