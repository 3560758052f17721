"""A checked route kept as a text is the very same route again."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from pathlib import Path
from types import MappingProxyType

import pytest
from msgspec.structs import replace

from fieldtui.places import shipped
from fieldtui.route import Plant, load_route, parse_route
from fieldtui.route.checked_text import checked_route, checked_text

SHIPPED = (*sorted(shipped("routes").glob("*/*.toml")), shipped("demo") / "demo.toml")


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_every_shipped_route_comes_back(path: Path) -> None:
    route = load_route(path)
    again = checked_route(checked_text(route))
    assert again == replace(route, path=None)
    assert repr(again) == repr(replace(route, path=None)), "numbers as they are written, and every kind as it was"
    assert again.units is route.units


def test_what_few_routes_have_comes_back(sound: str) -> None:
    route = parse_route(sound, {}, name="road.toml")
    tape = replace(
        route.tapes[0],
        calibration="t.csv",
        table=MappingProxyType({1: Decimal("25.00"), 2: Decimal("50.010")}),
        certificate_until=date(2031, 1, 1),
    )
    odd = replace(
        route,
        tapes=(tape,),
        shift_start=time(6),
        files=MappingProxyType({"t.csv": "hole,distance\n1,25.00\n2,50.010\n"}),
        same_instruments=("../other/road.toml",),
        plant=(Plant("belt", Decimal(-1), Decimal(1), Decimal(0), Decimal("1.20"), ("S1",)),),
        text='is = "Decimal" # “signs” \u2028 of every kind',
    )
    assert checked_route(checked_text(odd)) == odd


def test_chords_share_their_levels_as_they_do_when_a_route_is_read(sound: str) -> None:
    again = checked_route(checked_text(parse_route(sound, {}, name="road.toml")))
    held = {id(level) for _, chord in again.walk() for level in chord.levels} | {id(level) for level in again.levels}
    assert len(held) == len(set(again.levels))


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"is":"Level"}', '{"is":"Decimal","of":"1"}', '{"is":"os.system","of":"x"}']
)
def test_what_is_no_route_is_not_taken_for_one(text: str) -> None:
    with pytest.raises((ValueError, KeyError, TypeError)):
        checked_route(text)
