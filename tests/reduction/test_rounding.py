"""How figures are shown."""

from __future__ import annotations

from decimal import Decimal, localcontext

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from fieldtui.reduction import show_change, show_length, show_u
from fieldtui.route.units import METRIC, US


@pytest.mark.parametrize(
    ("value", "shown"),
    [("7995.1133", "7995.11"), ("7995.115", "7995.12"), ("7995.125", "7995.12"), ("8000", "8000.00")],
)
def test_a_length_is_rounded_half_to_even(value, shown):
    assert show_length(Decimal(value), METRIC) == shown


def test_inches_have_four_decimals():
    assert show_length(Decimal("314.75"), US) == "314.7500"
    assert show_change(Decimal("-0.00125"), US) == "-0.0012"
    assert show_u(0.00123, US) == "0.0013"


@pytest.mark.parametrize(
    ("value", "shown"),
    [("0.124", "+0.12"), ("-0.34", "-0.34"), ("0", "+0.00"), ("-0.004", "+0.00"), ("-0", "+0.00"), ("-12", "-12.00")],
)
def test_a_change_always_has_its_sign_and_nil_is_never_negative(value, shown):
    assert show_change(Decimal(value), METRIC) == shown


@pytest.mark.parametrize(
    ("u", "shown"),
    [
        (0.2431, "0.25"),
        (0.25, "0.25"),
        (0.2501, "0.25"),
        (1.234, "1.3"),
        (0.996, "1.0"),
        (9.97, "10"),
        (123.4, "130"),
        (99.7, "100"),
        (3.0, "3.0"),
        (0.5, "0.50"),
        (100.0, "100"),
    ],
)
def test_an_uncertainty_has_at_most_two_digits_and_no_more_decimals_than_the_value(u, shown):
    assert show_u(u, METRIC) == shown


@pytest.mark.parametrize(("u", "shown"), [(0.0, "0.00"), (1e-9, "0.01"), (0.0004, "0.01"), (0.0101, "0.01")])
def test_an_uncertainty_is_shown_as_nil_only_where_it_is(u, shown):
    assert show_u(u, METRIC) == shown


def test_the_thread_s_own_decimal_context_changes_nothing():
    """At a decimal place that no other test asks for: what belongs to a place is kept."""
    finer = replace(METRIC, decimals=9)
    with localcontext() as context:
        context.prec = 2
        assert show_u(2.505005e-8, finer) == "0.000000025"


@given(st.floats(1e-6, 1e5))
def test_an_uncertainty_is_never_shown_much_smaller_than_it_is(u):
    shown = float(show_u(u, METRIC))
    assert shown >= u * 0.994
    assert shown <= max(u * 1.1, u + 0.01) + 1e-12


@given(st.decimals(-1000, 1000, places=6))
def test_a_shown_change_is_within_half_its_last_digit(value):
    shown = show_change(value, METRIC)
    assert abs(Decimal(shown) - value) <= Decimal("0.005")
    assert shown != "-0.00"
