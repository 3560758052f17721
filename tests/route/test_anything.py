"""Whatever is put where in a route file: it is read, or refused in words; never anything else."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldtui.route import Problem, Route, RouteRefused, parse_route
from fieldtui.route.advice import advice
from fieldtui.route.locate import lines_of
from fieldtui.route.section import draw_section


def written(value: Any) -> str:
    """A value in TOML, tables inline."""
    if isinstance(value, dict):
        return "{" + ", ".join(f'"{key}" = {written(one)}' for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(written(one) for one in value) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + "".join(f"\\U{ord(sign):08x}" for sign in value) + '"'
    return str(value)


def document(values: dict[str, Any]) -> str:
    return "".join(f'"{key}" = {written(value)}\n' for key, value in values.items())


STRANGE = st.recursive(
    st.one_of(
        st.booleans(),
        st.integers(-(10**20), 10**20),
        st.sampled_from(["1.5", "nan", "-inf", "0.0", "1e-3"]).map(Decimal),
        st.text(st.characters(codec="utf-8"), max_size=6),
        st.dates(),
        st.times().map(lambda time: time.replace(microsecond=0)),
        st.sampled_from(["adds", "up", "L", "R", "S1", "watch", "T-1", "metric", "US"]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(st.sampled_from(["name", "from", "to", "level", "anchor", "x"]), inner, max_size=3),
    ),
    max_leaves=5,
)


def places_in(value: Any, at: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [at, *(place for key, one in inner for place in places_in(one, (*at, key)))]


def read_or_refused(text: str) -> Route | RouteRefused:
    try:
        return parse_route(text, {}, name="road.toml")
    except RouteRefused as refused:
        return refused


@given(st.data())
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_anything_anywhere_is_read_or_refused_in_words(sound: str, data: st.DataObject) -> None:
    values = copy.deepcopy(tomllib.loads(sound, parse_float=Decimal))
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.sampled_from(places_in(values)[1:]))
        around = values
        for step in place[:-1]:
            around = around[step]
        what = data.draw(st.sampled_from(["put", "take out", "rename"]))
        if what == "put" or isinstance(around, list):
            around[place[-1]] = data.draw(STRANGE)
        elif what == "take out":
            del around[place[-1]]
        else:
            around[f"{place[-1]}s"] = around.pop(place[-1])
        if not values:
            break
    text = document(values)
    answer = read_or_refused(text)
    if isinstance(answer, RouteRefused):
        assert answer.problems
        assert all(one.what and 1 <= one.line <= text.count("\n") + 1 for one in answer.problems)
        assert not any(word in str(answer) for word in ("Decimal(", "Input should", "pydantic"))
    else:
        advice(answer)
        for station in answer.stations:
            draw_section(station, station.chords[0] if station.chords else None, 36, 11)


@given(st.text(st.sampled_from("ab=[]{}\",.#\n\r\\'1 -:T\u00e9\ufeff"), max_size=40))
@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_text_is_refused_in_words_with_a_line(problems_of: Callable[..., tuple[Problem, ...]], text: str) -> None:
    assert all(1 <= problem.line <= text.count("\n") + 1 for problem in problems_of(text))


@given(st.text(st.sampled_from("ab=[]{}\",.#\n\\'1 -:T"), max_size=40))
@settings(max_examples=300, deadline=None)
def test_the_scan_for_lines_follows_whatever_the_parser_accepts(text: str) -> None:
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    assert set(places_in(values)) - {()} == set(lines_of(text))
