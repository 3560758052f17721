"""What people type, and the number it says."""

from __future__ import annotations

import contextlib
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtui.survey import EntryRefused, number, whole

FIGURES = st.decimals(min_value=-9999, max_value=99999, allow_nan=False, allow_infinity=False, places=3)


@given(FIGURES, st.sampled_from([".", ","]), st.sampled_from(["", " ", "  "]))
def test_a_figure_is_the_number_that_was_written(value, point, space):
    assert number(f"{space}{value:f}{space}".replace(".", point)) == value


@given(st.text(max_size=15))
def test_any_text_is_a_plain_number_or_is_refused_with_words(text):
    plain = text.strip().replace(",", ".")
    with contextlib.suppress(EntryRefused):
        assert number(text) == Decimal(plain)
        assert set(plain) <= set("+-.0123456789")


@pytest.mark.parametrize(
    "text", ["1_0", "1e3", "１２", "NaN", "inf", "0x10", "1 2", "1.2.3", "1,2.3", "", "-", ".", "٣"]
)
def test_what_a_looser_reading_would_take_is_refused(text):
    with pytest.raises(EntryRefused):
        number(text)


@pytest.mark.parametrize(
    ("text", "value"), [("12,5", "12.5"), (".5", "0.5"), ("5.", "5"), ("+3", "3"), ("-0,1", "-0.1")]
)
def test_short_ways_of_writing(text, value):
    assert number(text) == Decimal(value)


def test_a_figure_has_twelve_characters_at_most():
    assert number("123456789.01") == Decimal("123456789.01")
    with pytest.raises(EntryRefused, match="13 characters"):
        number("123456789.012")


def test_a_hole_is_whole():
    assert whole("142.0") == 142
    with pytest.raises(EntryRefused, match="whole number"):
        whole("142,5")
