"""A chainage as it stands on a drawing, a figure or a station."""

from __future__ import annotations

import pytest

from fieldtui.laying.checks import chainage
from fieldtui.survey import EntryRefused

# stations of 100 and kilometres by the count of figures after the plus: common practice, from memory
WRITTEN = [
    ("m", "1234.5", "1234.5"),
    ("m", "-20", "-20"),
    ("m", "1+00", "100"),
    ("m", "1+000", "1000"),
    ("m", "12+345,60", "12345.60"),
    ("m", "0+07.5", "7.5"),
    ("ft", "1+00", "100"),
    ("ft", "12+34.56", "1234.56"),
]
NEITHER = [("m", "1+0"), ("m", "1+0000"), ("m", "1+00+5"), ("m", "-1+00"), ("ft", "1+000")]


@pytest.mark.parametrize(("large", "typed", "kept"), WRITTEN)
def test_a_station_is_so_many_from_the_start(large: str, typed: str, kept: str) -> None:
    assert chainage(large)(typed) == kept


@pytest.mark.parametrize(("large", "typed"), NEITHER)
def test_what_could_be_either_is_refused_with_what_to_type(large: str, typed: str) -> None:
    with pytest.raises(EntryRefused, match=r"Type it in \w+, such as 1234\.5, or as a station, such as 1\+00"):
        chainage(large)(typed)
