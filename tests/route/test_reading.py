"""A route file read into a Route: every key, exactly as it is written."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, time
from decimal import Decimal
from pathlib import Path

import pytest
from msgspec.structs import astuple, replace

from fieldtui.places import shipped
from fieldtui.route import METRIC, US, Problem, Route, RouteRefused, load_route, parse_route

ROUTES = shipped("routes")
INVENTED = ("adit", "highway", "us-cavern")


def invented(name: str) -> Route:
    return load_route(ROUTES / name / f"{name}.toml")


@pytest.mark.parametrize("name", INVENTED)
def test_an_invented_route_is_read_and_says_that_it_is_invented(name: str) -> None:
    route = invented(name)
    assert "invented" in route.text.splitlines()[0]
    assert list(route.walk())


@pytest.mark.parametrize("name", INVENTED)
def test_the_texts_that_a_route_keeps_are_enough_to_read_it_again(name: str) -> None:
    route = invented(name)
    assert parse_route(route.text, route.files, name="from the log", path=route.path) == route


@pytest.mark.parametrize("name", INVENTED)
def test_rough_lengths_of_the_invented_routes_fit_their_anchors(name: str) -> None:
    route = invented(name)
    for station in route.stations:
        for chord in station.chords:
            one, other = station.anchor(chord.hook), station.anchor(chord.far)
            apart = ((one.across - other.across) ** 2 + (one.up - other.up) ** 2).sqrt()
            assert chord.length is not None
            assert abs(chord.length - apart) <= Decimal("0.06")


def test_the_highway_has_what_a_large_job_has() -> None:
    route = invented("highway")
    assert [face.name for face in route.faces] == ["east", "west"]
    assert all(len(station.anchors) == 5 and len(station.chords) == 7 for station in route.stations)
    assert len(list(route.walk())) == 7 * 7  # one station is closed
    assert route.shift_start == time(6, 0)
    assert route.tapes[0].table is not None
    assert route.tapes[0].hole_distance(600) == Decimal("15000.91")
    assert route.tapes[1].table is None
    assert route.tapes[1].hole_distance(600) == Decimal("15000.0")
    assert route.tapes[0].certificate_until == date(2031, 1, 1)


def test_the_cavern_is_in_feet_inches_and_degrees_fahrenheit() -> None:
    assert invented("us-cavern").units is US
    assert invented("adit").units is METRIC


def test_numbers_stay_exactly_as_written(sound: str) -> None:
    route = parse_route(sound.replace("chainage = 10.0", "chainage = 10"), {}, name="x")
    assert route.tapes[0].expansion == Decimal("11.6e-6")
    assert str(route.tapes[0].first_hole_distance) == "25.0"
    assert str(route.stations[0].chainage) == "10"
    assert route.extensometers[0].dial_range == (Decimal("0.0"), Decimal("50.0"))


def test_what_is_left_out_gets_the_stated_default(sound: str) -> None:
    route = parse_route(sound.replace('time_zone = "Etc/UTC"\n', ""), {}, name="x")
    assert route.time_zone == "Etc/UTC"
    assert (route.coverage_factor, route.rate_over_hours, route.baseline_sets) == (2, 24, 1)
    assert (route.shift_start, route.excavated_width, route.zero_check_every) == (None, None, None)
    assert (route.pole, route.standing_reach) == (None, None)
    assert route.same_instruments == ()
    assert route.controls[0].correct is False
    assert route.stations[0].closed is False
    assert (route.stations[0].note, route.stations[0].caution) == ("", "")
    assert route.stations[0].anchors[0].kind is None
    assert route.stations[0].chords[1].length is None
    assert route.files == {}


def test_a_shift_may_start_at_a_time_that_is_no_text(sound: str) -> None:
    route = parse_route(sound.replace("[uncertainty]", "shift_start = 06:00:00.25\n[uncertainty]"), {}, name="x")
    assert route.shift_start == time(6, 0)


def test_each_single_key_reaches_the_route(sound: str) -> None:
    top = 'shift_start = "22:30"\ncoverage_factor = 3\nrate_over_hours = 48\nbaseline_sets = 2\n'
    top += "excavated_width = 4.5\nzero_check_every = 5\npole = 1.5\nstanding_reach = 2.3\n"
    top += 'same_instruments = ["../south/south.toml"]\n'
    text = sound.replace("[uncertainty]", top + "\n[uncertainty]")
    text = text.replace("limit = 0.15", "limit = 0.15\ncorrect = true")
    text = text.replace('dial = "adds"', 'dial = "subtracts"\ncertificate_until = 2031-02-03')
    text = text.replace("chainage = 20.0", 'chainage = 20.0\nclosed = true\nnote = "Buried."\ncaution = "Wet."')
    route = parse_route(text, {}, name="x")
    assert route.shift_start == time(22, 30)
    assert (route.coverage_factor, route.rate_over_hours, route.baseline_sets) == (3, 48, 2)
    assert (route.excavated_width, route.zero_check_every) == (Decimal("4.5"), 5)
    assert (route.pole, route.standing_reach) == (Decimal("1.5"), Decimal("2.3"))
    assert route.same_instruments == ("../south/south.toml",)
    assert route.controls[0].correct is True
    assert (route.extensometers[0].dial, route.extensometers[0].certificate_until) == ("subtracts", date(2031, 2, 3))
    assert (route.stations[1].closed, route.stations[1].note, route.stations[1].caution) == (True, "Buried.", "Wet.")
    assert [(level.name, level.closing, level.tell) for level in route.levels] == [
        ("watch", Decimal("5.0"), ("shift engineer",)),
        ("act", Decimal("10.0"), ("shift engineer", "site manager")),
    ]
    assert [astuple(one) for one in route.frequencies] == [(Decimal(24), None, Decimal("1.0"))]
    assert route.stability is not None
    assert (route.stability.rate_below, route.stability.share_of_end) == (Decimal("0.2"), Decimal("0.9"))
    assert [(care.what, care.every_days) for care in route.care] == [("dial battery", 365)]
    assert (route.uncertainty.temperature, route.uncertainty.reproducibility, route.uncertainty.hole) == (
        Decimal("0.5"),
        Decimal("0.08"),
        Decimal("0.03"),
    )
    assert [name for name, _ in ((chord.name, chord) for _, chord in route.walk())] == ["L-R", "L-K"]


OWN = 'response = "Look.", tell = ["geologist"]}'


@pytest.mark.parametrize(
    ("level", "counting"),
    [
        ("", ["watch", "act"]),
        ("level = []", []),
        ('level = ["act"]', ["act"]),
        ('level = ["act", "watch"]', ["watch", "act"]),
        ('level = [{name = "own", opening = 2.0, ' + OWN + "]", ["own"]),
        # its own figures say where a level of one chord stands among those of the route, not where it is written
        ('level = ["act", "watch", {name = "own", closing = 2.0, ' + OWN + "]", ["own", "watch", "act"]),
        ('level = ["act", {name = "own", closing = 7.0, ' + OWN + ', "watch"]', ["watch", "own", "act"]),
        ('level = [{name = "own", closing = 12.0, ' + OWN + ', "act"]', ["act", "own"]),
        ('level = [{name = "own", rate = 1.0, ' + OWN + ', "act"]', ["act", "own"]),
    ],
)
def test_a_chord_counts_the_levels_it_names_or_those_of_the_route(sound: str, level: str, counting: list[str]) -> None:
    route = parse_route(sound.replace("length = 4.0", f"length = 4.0\n{level}"), {}, name="x")
    assert [one.name for one in route.stations[0].chords[0].levels] == counting
    assert [one.name for one in route.stations[0].chords[1].levels] == ["watch", "act"]


@pytest.mark.parametrize("change", [lambda text: "\ufeff" + text, lambda text: text.replace("\n", "\r\n")])
def test_a_byte_order_mark_and_windows_line_ends_change_nothing(sound: str, change: Callable[[str], str]) -> None:
    plain, changed = parse_route(sound, {}, name="x"), parse_route(change(sound), {}, name="x")
    assert replace(changed, text=plain.text) == plain


def test_inline_tables_say_the_same_as_tables_with_headers(sound: str) -> None:
    inline = re.sub(
        r"\[\[station.(anchor)\]\]\nname = (.*)\nacross = (.*)\nup = (.*)\n",
        r"{name = \2, across = \3, up = \4},\n",
        sound,
    )
    inline = re.sub(r"(?<!,\n)(\{name)", r"anchor = [\n\1", inline)
    inline = re.sub(r"(\},\n)(?!\{)", r"\1]\n", inline)
    assert "anchor = [" in inline
    plain = parse_route(sound, {}, name="x")
    assert replace(parse_route(inline, {}, name="x"), text=plain.text) == plain


def test_the_calibration_table_lies_beside_the_route(tmp_path: Path, sound: str) -> None:
    text = sound.replace("holes = 400", 'holes = 3\ncalibration = "tapes/t.csv"')
    (tmp_path / "tapes").mkdir()
    (tmp_path / "tapes" / "t.csv").write_bytes(b"\xef\xbb\xbfhole,distance\r\n1,25.02\r\n2,50.03\r\n3,75.01\r\n")
    (tmp_path / "road.toml").write_text(text, encoding="utf-8")
    route = load_route(tmp_path / "road.toml")
    assert route.tapes[0].table == {1: Decimal("25.02"), 2: Decimal("50.03"), 3: Decimal("75.01")}
    assert route.files == {"tapes/t.csv": "hole,distance\r\n1,25.02\r\n2,50.03\r\n3,75.01\r\n"}
    assert route.path == tmp_path / "road.toml"


def test_a_calibration_table_that_is_not_there_is_told_at_its_key(
    tmp_path: Path, sound: str, problems_of: Callable[..., tuple[Problem, ...]]
) -> None:
    text = sound.replace("holes = 400", 'holes = 3\ncalibration = "t.csv"')
    (tmp_path / "road.toml").write_text(text, encoding="utf-8")
    with pytest.raises(RouteRefused) as refused:
        load_route(tmp_path / "road.toml")
    (from_disk,) = refused.value.problems
    (from_texts,) = problems_of(text)
    line = text.split("\n").index('calibration = "t.csv"') + 1
    assert (from_disk.line, from_disk.key) == (from_texts.line, from_texts.key) == (line, "tape[1].calibration")
    assert 'there is no file "t.csv"' in from_disk.what
