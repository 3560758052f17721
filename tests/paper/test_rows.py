"""One line of a sheet to what it books, or to everything that is wrong with it."""

from __future__ import annotations

from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from fieldtui.paper.rows import OPTIONAL, REQUIRED, BadRow, Row, read_row
from fieldtui.paper.table import read_table
from fieldtui.route import Route, load_route
from harness.jobs import lay


@pytest.fixture
def route(tmp_path: Path) -> Route:
    return load_route(lay(tmp_path, control=True))


def one(route: Route, **cells: str) -> Row | BadRow:
    filled = {
        "survey": "s1",
        "time": "2031-05-04T02:00:00Z",
        "station": "A",
        "chord": "L-R",
        "hole": "319",
        "dial_1": "24.34",
        "dial_2": "24.36",
        "dial_3": "24.35",
        "temperature": "12.0",
        **cells,
    }
    text = ",".join(filled) + "\n" + ",".join(f'"{cell}"' for cell in filled.values()) + "\n"
    return read_row(read_table(text, "s.csv", REQUIRED, OPTIONAL).lines[0], route, ZoneInfo("Etc/UTC"))


def wrong(route: Route, **cells: str) -> dict[str, str]:
    bad = one(route, **cells)
    assert isinstance(bad, BadRow)
    assert all(problem.todo for problem in bad.wrong)
    return {problem.column: problem.what for problem in bad.wrong}


def test_figures_stay_as_they_were_written(route: Route) -> None:
    row = one(route, hole="0319", dial_2="24,360", temperature="-3.50")
    assert isinstance(row, Row)
    assert row.slots == {
        "hole": "0319",
        "dial_1": "24.34",
        "dial_2": "24,360",
        "dial_3": "24.35",
        "temperature": "-3.50",
    }


def test_the_other_ends_name_is_the_same_chord(route: Route) -> None:
    row = one(route, chord="R-L")
    assert isinstance(row, Row)
    assert (row.chord, row.written) == ("L-R", "R-L")


def test_the_frame_and_the_zero_have_no_station(route: Route) -> None:
    frame = one(route, chord="frame")
    zero = one(route, chord="zero", hole="", dial_1="0.02", dial_2="", dial_3="", temperature="")
    assert isinstance(frame, Row)
    assert isinstance(zero, Row)
    assert (frame.station, frame.chord) == ("", "frame")
    assert zero.slots == {"zero": "0.02"}


def test_a_planned_repeat_that_is_not_there_was_not_taken(route: Route) -> None:
    row = one(route, dial_2="", dial_3="", dial_4="24.30")
    assert isinstance(row, Row)
    assert {slot: row.slots[slot] for slot in row.slots if slot.startswith("dial")} == {
        "dial_1": "24.34",
        "dial_2": "",
        "dial_3": "",
        "dial_4": "24.30",
    }


@pytest.mark.parametrize("outcome", ["blocked", "lost", "buried", "unsafe", "other"])
def test_a_chord_that_was_not_read_has_a_reason_and_no_figures(route: Route, outcome: str) -> None:
    empty = dict.fromkeys(("hole", "dial_1", "dial_2", "dial_3", "temperature"), "")
    row = one(route, outcome=outcome.upper(), **empty)
    assert isinstance(row, Row)
    assert (row.outcome, row.slots) == (outcome, {})
    assert "figures" in wrong(route, outcome=outcome)["outcome"]


def test_what_cannot_be_is_still_taken_as_written(route: Route) -> None:
    row = one(route, hole="9999", dial_1="99.99", temperature="120")
    assert isinstance(row, Row)
    assert row.slots["hole"] == "9999"


@pytest.mark.parametrize(
    ("cells", "column", "word"),
    [
        ({"survey": ""}, "survey", "no label"),
        ({"survey": "x" * 81}, "survey", "too many"),
        ({"time": "yesterday"}, "time", "not a time"),
        ({"station": "C"}, "station", "no station"),
        ({"chord": "L-X"}, "chord", "no chord"),
        ({"hole": "31.5"}, "hole", "whole number"),
        ({"hole": ""}, "hole", "missing"),
        ({"dial_1": ""}, "dial_1", "missing"),
        ({"dial_2": "12.3.4"}, "dial_2", "two decimal points"),
        ({"temperature": ""}, "temperature", "missing"),
        ({"temperature": "warm"}, "temperature", "not a number"),
        ({"tape": "T9"}, "tape", "no tape"),
        ({"extensometer": "X9"}, "extensometer", "no extensometer"),
        ({"face_chainage": "near"}, "face_chainage", "not a number"),
        ({"outcome": "tired"}, "outcome", "no outcome"),
        ({"chord": "zero"}, "dial_1", "one figure"),
    ],
)
def test_what_is_no_figure_or_names_nothing_is_refused(
    route: Route, cells: dict[str, str], column: str, word: str
) -> None:
    assert word in wrong(route, **cells)[column]


def test_everything_wrong_with_a_row_is_said_together(route: Route) -> None:
    assert set(wrong(route, time="", station="C", dial_2="x")) == {"time", "station", "dial_2"}


def test_a_row_that_nobody_filled_in_says_so(route: Route) -> None:
    empty = dict.fromkeys(("hole", "dial_1", "dial_2", "dial_3", "temperature"), "")
    assert "nothing in it" in wrong(route, **empty)[""]


def test_a_frame_on_a_route_without_one_is_refused(tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    assert "no control frame" in wrong(load_route(lay(tmp_path / "other")), chord="frame")["chord"]


def test_more_cells_than_columns_are_refused(route: Route) -> None:
    text = "survey,time,station,chord,hole,dial_1,dial_2,dial_3,temperature\n"
    text += "s1,2031-05-04T02:00:00Z,A,L-R,319,24,34,24.36,24.35,12.0\n"
    bad = read_row(read_table(text, "s.csv", REQUIRED, OPTIONAL).lines[0], route, ZoneInfo("Etc/UTC"))
    assert isinstance(bad, BadRow)
    assert "more cells than columns" in bad.wrong[0].what


def test_control_characters_of_a_note_are_spaces(route: Route) -> None:
    row = one(route, note="hook\x1b[31m bent\nlook again")
    assert isinstance(row, Row)
    assert row.note == "hook [31m bent look again"


def test_a_label_is_one_line_that_can_do_nothing_to_a_terminal(route: Route) -> None:
    row = one(route, survey="s\x1b[31m\x07 one\nmore\u202e")
    assert isinstance(row, Row)
    assert row.survey == "s [31m one more"
    formula = one(route, survey="=1+1")
    assert isinstance(formula, Row)
    assert formula.survey == "=1+1"
    assert wrong(route, survey="\x07\u200b") == {"survey": "there is no label"}
