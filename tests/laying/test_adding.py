"""A file that is there is added to at its end, or not at all: what a person wrote in it stays, byte for byte."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest

from fieldtui.errors import FieldError
from fieldtui.laying.opening import open_laying
from fieldtui.route import RouteRefused, load_route
from fieldtui.tui.lines import text_of
from fieldtui.tui.start import drawing
from harness.jobs import TWO_CHORDS
from harness.laying import DRIFT, answer, press

OLD = TWO_CHORDS.replace("{more}", "") + "# a remark of the crew's: K is behind the duct\n"
STATIONS = {key: value for key, value in DRIFT.items() if key.startswith("group0")} | {"group0.count": "3"}
TAPE = {"add": "2", "tape.0.serial": "T-9", "tape.0.pitch": "25", "tape.0.holes": "800"}
LEVEL = {
    "add": "4", "level.0.name": "leave", "level.0.closing": "90", "level.0.response": "Go out.",
    "level.0.tell": "everybody",
}  # fmt: skip
PLANT = {"add": "5", "plant.0.what": "a fan", "plant.0.left": "-1", "plant.0.right": "1", "plant.0.top": "1"}
BODY = {"add": "3", "extensometer.0.serial": "X-9", "extensometer.0.dial_serial": "D-9"}


def add(path: Path, answers: dict[str, str]) -> None:
    assert press(answer(open_laying(path), answers), "1").title == path.name


@pytest.mark.parametrize("answers", [STATIONS, TAPE, BODY, LEVEL, PLANT])
@pytest.mark.parametrize("ending", ["", "\n", "\n\n\n", "   # no line end"])
def test_what_stands_there_stays_byte_for_byte(tmp_path: Path, answers: dict[str, str], ending: str) -> None:
    path = tmp_path / "heading.toml"
    before = (OLD.rstrip("\n") + ending).encode()
    path.write_bytes(before)
    add(path, answers)
    assert path.read_bytes().startswith(before)
    assert len(path.read_bytes()) > len(before)


def test_what_is_added_is_there(tmp_path: Path) -> None:
    path = tmp_path / "heading.toml"
    path.write_text(OLD, encoding="utf-8")
    for answers in (STATIONS, TAPE, BODY, LEVEL, PLANT):
        add(path, answers)
    route = load_route(path)
    assert [one.name for one in route.stations][-3:] == ["S01", "S02", "S03"]
    assert route.tapes[-1].serial == "T-9"
    assert route.extensometers[-1].serial == "X-9"
    assert route.levels[-1].name == "leave"
    assert route.plant[0].what == "a fan"


def test_line_ends_and_a_byte_order_mark_stay_as_they_are(tmp_path: Path) -> None:
    path = tmp_path / "heading.toml"
    before = b"\xef\xbb\xbf" + OLD.replace("\n", "\r\n").encode()
    path.write_bytes(before)
    add(path, STATIONS)
    after = path.read_bytes()
    assert after.startswith(before)
    assert after.count(b"\n") == after.count(b"\r\n")
    assert len(load_route(path).stations) == 5


def test_the_right_to_read_it_stays_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "heading.toml"
    path.write_text(OLD, encoding="utf-8")
    path.chmod(0o664)
    add(path, TAPE)
    assert stat.S_IMODE(path.stat().st_mode) == 0o664
    assert sorted(one.name for one in tmp_path.iterdir()) == ["heading.toml"]


def test_a_file_that_cannot_be_added_to_is_left_alone(tmp_path: Path) -> None:
    """Its stations stand in one closed list: nothing can be put behind it."""
    path = tmp_path / "heading.toml"
    head = OLD[: OLD.index("[[station]]")]
    inline = (
        'station = [{name = "A", chainage = 1.0, anchor = [{name = "L", across = -1, up = 1}, '
        '{name = "R", across = 1, up = 1}], chord = [{from = "L", to = "R"}]}]\n'
    )
    path.write_text(inline + head, encoding="utf-8")
    before = path.read_bytes()
    desk = answer(open_laying(path), STATIONS)
    assert "cannot be written like this" in text_of(drawing(desk)(80, 24))
    assert press(desk, "1") is desk
    assert path.read_bytes() == before


def test_a_file_that_somebody_changed_meanwhile(tmp_path: Path) -> None:
    path = tmp_path / "heading.toml"
    path.write_text(OLD, encoding="utf-8")
    desk = answer(open_laying(path), TAPE)
    path.write_text(OLD + "# changed\n", encoding="utf-8")
    assert press(desk, "1") is desk
    assert "changed by somebody else" in desk.message
    assert path.read_text(encoding="utf-8") == OLD + "# changed\n"


def test_a_new_file_is_never_written_over_another(tmp_path: Path) -> None:
    path = tmp_path / "drift.toml"
    desk = answer(open_laying(path), DRIFT)
    path.write_text("somebody else's", encoding="utf-8")
    assert press(desk, "1") is desk
    assert "is there already" in desk.message
    assert path.read_text(encoding="utf-8") == "somebody else's"


def test_a_route_with_mistakes_is_not_added_to(tmp_path: Path) -> None:
    path = tmp_path / "heading.toml"
    path.write_text(OLD.replace("chainage", "chaining", 1), encoding="utf-8")
    with pytest.raises(RouteRefused, match="chainage"):
        open_laying(path)


def test_a_folder_with_a_route_files_name_is_refused_in_words(tmp_path: Path) -> None:
    (tmp_path / "drift.toml").mkdir()
    with pytest.raises(FieldError, match="cannot be read"):
        open_laying(tmp_path / "drift.toml")


@pytest.mark.parametrize(("name", "words"), [("drift.txt", "ends in .toml"), ("nowhere/drift.toml", "no such folder")])
def test_a_place_that_will_not_do(tmp_path: Path, name: str, words: str) -> None:
    with pytest.raises(FieldError, match=words):
        open_laying(tmp_path / name)


def test_a_name_that_is_taken_in_the_file(tmp_path: Path) -> None:
    path = tmp_path / "heading.toml"
    path.write_text(OLD, encoding="utf-8")
    desk = answer(open_laying(path), {**STATIONS, "group0.first": "A", "group0.count": "1"}, "group0.count")
    assert press(desk, "1") is desk
    assert "“A” is there already" in desk.message
