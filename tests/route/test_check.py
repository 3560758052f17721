"""What the command `check` answers: text and exit status for a person, a plain dict for a program."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from fieldtui.places import shipped
from fieldtui.route.check import as_json, check, checked

TODAY = date(2026, 1, 1)
ROUTES = shipped("routes")


@pytest.mark.parametrize("name", ["adit", "highway", "us-cavern"])
def test_the_invented_routes_are_in_order(name: str) -> None:
    status, text = check(ROUTES / name / f"{name}.toml", TODAY)
    assert status == 0
    assert text.count("\n") == 0
    assert text.startswith(f"{name}.toml: in order. ")


def test_what_a_route_holds_is_counted() -> None:
    _, text = check(ROUTES / "highway" / "highway.toml", TODAY)
    assert text == (
        "highway.toml: in order. 8 stations (1 closed), 49 chords to read, 2 tapes, 2 extensometers, 3 levels."
    )


def test_advice_is_status_1(tmp_path: Path, sound: str) -> None:
    path = tmp_path / "road.toml"
    path.write_text(sound.replace("length = 4.0", "length = 8.0"), encoding="utf-8")
    status, text = check(path, TODAY)
    assert status == 1
    first, last = text.split("\n")
    assert first.startswith("road.toml:84: station[1].chord[1].length: is 8.0 m")
    assert (
        last == "road.toml: in order, 1 word of advice. 2 stations, 3 chords to read, 1 tape, 1 extensometer, 2 levels."
    )


def test_mistakes_are_status_2_and_all_told(tmp_path: Path, sound: str) -> None:
    path = tmp_path / "road.toml"
    path.write_text(sound.replace("limit = 0.15", "limit = 0").replace("pitch = 25.0", "pich = 25"), encoding="utf-8")
    status, text = check(path, TODAY)
    assert status == 2
    assert text.split("\n")[-1] == "road.toml: refused, 2 mistakes."
    assert len(text.split("\n")) == 3


def test_the_answer_for_a_program(tmp_path: Path, sound: str) -> None:
    path = tmp_path / "road.toml"
    path.write_text(sound.replace("limit = 0.15", "limit = 0"), encoding="utf-8")
    answer = json.loads(json.dumps(as_json(checked(path, TODAY))))
    line = sound.split("\n").index("limit = 0.15") + 1
    assert answer == {
        "route": str(path),
        "name": None,
        "status": 2,
        "refused": True,
        "problems": [
            {
                "file": "road.toml",
                "line": line,
                "key": "control[1].limit",
                "what": "must be more than 0, not 0",
                "todo": "look at the sign and the figure",
            }
        ],
    }
    gone = as_json(checked(tmp_path / "gone.toml", TODAY))
    assert (gone["status"], gone["problems"][0]["line"], gone["problems"][0]["key"]) == (2, None, None)
    fine = as_json(checked(ROUTES / "adit" / "adit.toml", TODAY))
    assert (fine["status"], fine["refused"], fine["problems"]) == (0, False, [])
