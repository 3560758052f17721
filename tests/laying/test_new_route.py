"""A route laid by questions is the route that was answered, readable, marked, and in order."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from fieldtui.laying.desk import LayDesk, WriteDesk
from fieldtui.laying.opening import open_laying
from fieldtui.route import Route, load_route
from fieldtui.route.advice import advice
from fieldtui.route.check import check
from fieldtui.tui.lines import text_of
from fieldtui.tui.start import StartDesk, drawing
from harness.laying import DRIFT, answer, lay_out, press, written


@pytest.fixture
def route(tmp_path: Path) -> Route:
    return load_route(written(tmp_path / "drift.toml"))


def test_twenty_stations_at_their_spacing(route: Route) -> None:
    assert [one.name for one in route.stations][:3] == ["S01", "S02", "S03"]
    assert len(route.stations) == 20
    assert [one.chainage for one in route.stations][-1] == Decimal("1675")
    assert {tuple(chord.name for chord in one.chords) for one in route.stations} == {("L-R", "L-K", "R-K")}


def test_every_figure_comes_out_as_it_was_typed(route: Route) -> None:
    (tape,), (body,), (frame,) = route.tapes, route.extensometers, route.controls
    assert (tape.serial, tape.pitch, tape.first_hole_distance, tape.holes) == ("T-1", 25, 25, 600)
    assert (tape.expansion, tape.expansion_uncertainty) == (Decimal("11.6e-6"), Decimal("0.5e-6"))
    assert (body.serial, body.dial_range, body.dial) == ("X-1", (0, 50), "adds")
    assert (frame.length, frame.correct, frame.limit) == (4000, False, Decimal("0.15"))
    assert route.excavated_width == 9
    assert (route.standing_reach, route.pole) == (Decimal("2.3"), Decimal("1.5"))
    (level,) = route.levels
    assert (level.closing, level.rate, level.tell) == (5, None, ("shift engineer", "site manager"))
    assert [(one.within, one.rate_above, one.every_hours) for one in route.frequencies][:2] == [
        (1, None, 12),
        (2, None, 24),
    ]
    assert len(route.frequencies) == 7
    assert route.faces[0].advances == "up"
    assert {one.face for one in route.stations} == {"east"}


def test_what_is_only_a_start_is_marked_so(route: Route) -> None:
    assert route.text.count("a start, the job's to change") == 5  # uncertainties, reach, how often, rest, care


def test_the_file_can_be_read_by_a_person(route: Route) -> None:
    lines = route.text.split("\n")
    assert max(len(line) for line in lines) <= 110
    assert '    { name = "L", across = -4.50, up = 1.50, kind = "grouted" },' in lines
    assert lines[0].startswith("# ")


def test_the_last_page_says_what_check_says(tmp_path: Path) -> None:
    desk = lay_out(tmp_path / "drift.toml")
    shown = text_of(drawing(desk)(80, 24))
    assert "beyond reach and pole" in shown
    written_to = written(tmp_path / "other.toml")
    told = {problem.what for problem in advice(load_route(written_to))}
    assert told == {"is 7.00 m up, beyond reach and pole (3.8 m)"}
    assert check(written_to)[0] == 1


def test_it_is_opened_at_once(tmp_path: Path) -> None:
    desk = press(lay_out(tmp_path / "drift.toml"), "1")
    assert isinstance(press(desk, "1"), StartDesk)


def test_nothing_is_written_before_the_last_page_says_so(tmp_path: Path) -> None:
    path = tmp_path / "drift.toml"
    desk = lay_out(path)
    assert isinstance(desk, WriteDesk)
    assert not path.exists()
    assert isinstance(press(desk, ""), LayDesk)  # Enter alone leads back
    assert not path.exists()


def test_a_route_in_feet_and_inches(tmp_path: Path) -> None:
    answers = {
        **DRIFT, "units": "2", "tape.0.pitch": "1", "frame.length": "150", "group0.width": "30", "group0.height": "24",
        "level.0.closing": "0.2",
    }  # fmt: skip
    route = load_route(written(tmp_path / "drift.toml", answers))
    assert route.units.name == "US"
    assert route.tapes[0].expansion == Decimal("6.45e-6")
    assert route.tapes[0].reference_temperature == 68
    assert [one.rate_above for one in route.frequencies if one.rate_above] == [
        Decimal("0.2"), Decimal("0.04"), Decimal("0.02"),
    ]  # fmt: skip


def test_own_anchors_and_chords(tmp_path: Path) -> None:
    answers = {
        **DRIFT, "group0.layout": "6", "group0.count": "1",
        "group0.anchor.0.name": "A", "group0.anchor.0.across": "-3", "group0.anchor.0.up": "1,2",
        "group0.anchor.1.name": "B", "group0.anchor.1.across": "3", "group0.anchor.1.up": "1.4",
        "group0.anchor.2.name": "C", "group0.anchor.2.across": "0", "group0.anchor.2.up": "4",
        "group0.chord.0": "C-A", "group0.chord.1": "B-C",
    }  # fmt: skip
    (station,) = load_route(written(tmp_path / "drift.toml", answers)).stations
    assert [(one.name, one.across, one.up) for one in station.anchors][1] == ("B", 3, Decimal("1.4"))
    assert [chord.name for chord in station.chords] == ["C-A", "B-C"]


def test_places_set_one_by_one_and_two_groups(tmp_path: Path) -> None:
    answers = {
        **DRIFT, "group0.layout": "1", "group0.places": "2", "group0.at.R.up": "1.62", "group0.count": "3",
        "group0.more": "2", "group1.shape": "3", "group1.width": "5", "group1.height": "4", "group1.layout": "2",
        "group1.first": "X1", "group1.chainage": "1500", "group1.count": "2", "group1.spacing": "-10",
        "group1.caution": "Look up.",
    }  # fmt: skip
    route = load_route(written(tmp_path / "drift.toml", answers))
    assert [one.name for one in route.stations] == ["S01", "S02", "S03", "X1", "X2"]
    assert route.stations[0].anchor("R").up == Decimal("1.62")
    assert route.stations[0].anchor("L").up == Decimal("1.50")
    assert route.stations[4].chainage == 1490
    assert route.stations[4].caution == "Look up."
    assert route.stations[3].anchor("K").up == 4


def test_care_frequency_and_plant_of_the_jobs_own(tmp_path: Path) -> None:
    answers = {
        **DRIFT, "care": "2", "care.0.what": "tension proven", "care.0.days": "7", "frequency": "2", "within.0": "8",
        "plant.0.what": "the sprayer", "plant.0.left": "-1", "plant.0.right": "1", "plant.0.top": "2", "rest": "2",
        "tape.0.certificate_until": "2031-01-31",
    }  # fmt: skip
    route = load_route(written(tmp_path / "drift.toml", answers))
    assert [(one.what, one.every_days) for one in route.care] == [("tension proven", 7)]
    assert route.frequencies[0].every_hours == 8
    assert route.plant[0].top == 2
    assert route.stability is None
    assert any("crosses where the sprayer will stand" in one.what for one in advice(route))


def test_a_second_tape_a_second_level(tmp_path: Path) -> None:
    answers = {
        **DRIFT, "tape.1.serial": "T-2", "tape.1.pitch": "20", "tape.1.holes": "500", "extensometer.1.serial": "X-2",
        "extensometer.1.dial_serial": "D-2", "extensometer.1.dial": "2", "level.1.name": "act", "level.1.closing": "9",
        "level.1.response": "Stop.", "level.1.tell": "site manager",
    }  # fmt: skip
    route = load_route(written(tmp_path / "drift.toml", answers))
    assert [one.serial for one in route.tapes] == ["T-1", "T-2"]
    assert route.extensometers[1].dial == "subtracts"
    assert [one.name for one in route.levels] == ["watch", "act"]


def test_a_circle_is_no_higher_than_wide(tmp_path: Path) -> None:
    desk = lay_out(tmp_path / "drift.toml", {**DRIFT, "group0.shape": "2"}, "group0.height")
    same = press(desk, "9.5")
    assert same is desk
    assert "between 0 and 9.0, as the circle is wide" in desk.message
    assert press(desk, "9") is not desk


@pytest.mark.parametrize(
    ("key", "typed", "words"),
    [
        ("name", "", "cannot stay empty"),
        ("name", "x" * 61, "60 letters"),
        ("time_zone", "Mars/Base", "is no time zone"),
        ("shift_start", "25:00", "no time of day"),
        ("shift_start", "", "To begin with: 06:00."),
        ("baseline_sets", "0", "1 or more"),
        ("baseline_sets", "1.5", "whole number"),
        ("tape.0.pitch", "-25", "more than 0"),
        ("tape.0.pitch", "1.2.3", "two decimal points"),
        ("tape.0.first_hole", "-1", "0 or more"),
        ("tape.0.expansion", "116", "as of steel"),
        ("tape.0.reference_temperature", "200", "between -40 and 60"),
        ("tape.0.certificate_until", "31.1.2031", "is no date"),
        ("extensometer.0.high", "20", "falls between two holes"),
        ("extensometer.0.resolution", "5", "smallest step"),
        ("uncertainty.hole", "-1", "0 or more"),
        ("group0.count", "501", "too many"),
        ("group0.spacing", "0", "above or below 0"),
        ("level.0.tell", ",", "Name each role once"),
        ("level.0.tell", "geologist, geologist", "Name each role once"),
    ],
)
def test_an_answer_that_cannot_be_is_refused_in_words(tmp_path: Path, key: str, typed: str, words: str) -> None:
    desk = lay_out(tmp_path / "drift.toml", DRIFT, key)
    if not typed:
        desk.field = type(desk.field)()
    same = press(desk, typed)
    assert same is desk
    assert words in desk.message
    assert desk.bell
    assert desk.refused


@pytest.mark.parametrize(
    ("answers", "key", "typed", "words"),
    [
        ({}, "group0.anchor.1.name", "A", "is there already"),
        ({}, "group0.anchor.0.name", "A-1", "has a dash"),
        ({"group0.anchor.1.across": "-3"}, "group0.anchor.1.up", "1.2", "that very spot"),
        ({}, "group0.chord.0", "A", "two ends"),
        ({}, "group0.chord.0", "A-Z", "no anchor “Z”"),
        ({}, "group0.chord.1", "B-A", "is there already"),
        ({"tape.1.serial": "T-2"}, "tape.1.serial", "T-1", "is there already"),
        ({"level.0.closing": "", "level.0.opening": ""}, "level.0.rate", "", "cannot stay empty"),
        ({"level.1.name": "act"}, "level.1.closing", "4", "as of the milder level"),
        ({"plant.0.what": "a mixer", "plant.0.left": "1"}, "plant.0.right", "0.5", "more than its left side"),
        ({"group0.more": "2", "group1.first": "S05"}, "group1.count", "1", "“S05” is there already"),
    ],
)
def test_an_answer_that_does_not_go_with_the_others(
    tmp_path: Path, answers: dict[str, str], key: str, typed: str, words: str
) -> None:
    own = {
        "group0.layout": "6",
        "group0.anchor.0.name": "A", "group0.anchor.0.across": "-3", "group0.anchor.0.up": "1.2",
        "group0.anchor.1.name": "B", "group0.anchor.1.across": "3", "group0.anchor.1.up": "1.2",
        "group0.anchor.2.name": "C", "group0.anchor.2.across": "0", "group0.anchor.2.up": "4",
        "group0.chord.0": "A-B", "group1.layout": "1", "group1.width": "9", "group1.height": "7",
        "group1.chainage": "2000",
    }  # fmt: skip
    desk = lay_out(tmp_path / "drift.toml", {**DRIFT, **own, **answers}, key)
    assert isinstance(desk, LayDesk)
    assert desk.ask.key == key
    if not typed:
        desk.field = type(desk.field)()
    assert press(desk, typed) is desk
    assert words in desk.message


def test_a_number_that_is_not_in_the_list(tmp_path: Path) -> None:
    desk = lay_out(tmp_path / "drift.toml", DRIFT, "units")
    assert press(desk, "3") is desk
    assert "is not in the list" in desk.message


def test_every_question_is_put_in_a_part_and_drawn_whole(tmp_path: Path) -> None:
    desk = open_laying(tmp_path / "drift.toml")
    seen = 0
    while isinstance(desk, LayDesk):
        for width, height in ((80, 24), (132, 43)):
            lines = drawing(desk)(width, height)
            assert len(lines) == height
            assert {sum(len(text) for text, _ in line) for line in lines} == {width}
            # however its question is folded, its last words and its last choice stand there
            words = desk.menu.items[-1].text if desk.menu.items else desk.ask.text
            assert words.split()[-1] in text_of(lines), desk.ask.key
        seen += 1
        desk = press(desk, DRIFT.get(desk.ask.key, ""))
    assert seen > 55


def test_what_was_refused_is_typed_over(tmp_path: Path) -> None:
    desk = lay_out(tmp_path / "drift.toml", DRIFT, "group0.chainage")
    for sign in "1+0":
        desk.press(sign, sign)
    desk.press("enter", None)
    assert desk.refused
    assert desk.field.text == "1+0"
    for sign in "1+00":
        desk.press(sign, sign)
    assert desk.field.text == "1+00"


def test_the_last_page_names_a_certificate_that_has_run_out(tmp_path: Path) -> None:
    answers = {**DRIFT, "tape.0.certificate_until": "2031-05-03"}
    for today, told in ((date(2031, 5, 3), False), (date(2031, 5, 4), True)):
        desk = answer(open_laying(tmp_path / f"{today}.toml", today), answers)
        assert ("ran out on 2031-05-03" in text_of(drawing(desk)(80, 24))) is told
