"""Advice: what deserves a word in a route that is not refused."""

from __future__ import annotations

from datetime import date

import pytest

from fieldtui.route import Problem, parse_route
from fieldtui.route.advice import advice

TODAY = date(2030, 1, 2)


def advice_on(text: str, files: dict[str, str] | None = None) -> tuple[Problem, ...]:
    return advice(parse_route(text, files or {}, name="road.toml"), TODAY)


def test_a_sound_route_needs_none(sound: str) -> None:
    assert advice_on(sound) == ()


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        ("length = 4.0", "length = 4.81 #!", "station[1].chord[1].length", "the anchors are 4.00 m apart"),
        ("length = 4.0", "length = 3.19 #!", "station[1].chord[1].length", "the anchors are 4.00 m apart"),
        (
            "length = 4.0",
            "level = [{name = 'a', closing = 4, rate = 3, response = 'Look.', tell = ['crew']}, 'hard'] #!",
            "station[1].chord[1].level",
            'has level "a" count as more severe than "hard", and one of its figures is lower',
        ),
        ("length = 3000.0", "length = 10050.1 #!", "control[1].length", "beyond every tape (10050.0 mm)"),
        ("holes = 400", "holes = 400\ncertificate_until = 2030-01-01 #!", "tape[1].certificate_until", "ran out"),
        (
            'dial = "adds"',
            'dial = "adds"\ncertificate_until = 2030-01-01 #!',
            "extensometer[1].certificate_until",
            "ran",
        ),
        ("rate_above = 1.0", "within = 1.0 #!", "frequency[1].within", "no width is given"),
        ("[uncertainty]", "pole = 1.5 #!\n[uncertainty]", "pole", "nothing without standing_reach"),
        ("up = 3.5", "up = 3.9 #!", "station[1].anchor[3].up", "beyond reach and pole (3.8 m)"),
    ],
)
def test_a_word_at_its_line(sound: str, old: str, new: str, key: str, words: str) -> None:
    text = sound.replace(old, new, 1)
    if "hard" in words:
        hard = 'name = "hard"\nclosing = 20\nrate = 1\nresponse = "Stop."\ntell = ["crew"]'
        text = text.replace("[[frequency]]", f"[[level]]\n{hard}\n[[frequency]]", 1)
    if "reach" in words and "pole" not in key:
        text = text.replace("[uncertainty]", "pole = 1.5\nstanding_reach = 2.3\n[uncertainty]")
    (problem,) = advice_on(text)
    line = next(number for number, one in enumerate(text.split("\n"), 1) if "#!" in one)
    assert (problem.line, problem.key) == (line, key)
    assert words in problem.what
    assert problem.todo


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("length = 4.0", "length = 4.80"),
        ("length = 4.0", "length = 3.20"),
        ("length = 3000.0", "length = 10050.0"),
        ("holes = 400", "holes = 400\ncertificate_until = 2030-01-02"),
        ("[uncertainty]", "pole = 1.5\nstanding_reach = 2.0\n[uncertainty]"),
        ("[uncertainty]", "excavated_width = 4.0\n[uncertainty]"),
    ],
)
def test_what_lies_just_within_its_limit_gets_no_word(sound: str, old: str, new: str) -> None:
    assert advice_on(sound.replace(old, new, 1)) == ()


def test_reach_as_the_trade_reckons_it(sound: str) -> None:
    """2.3 m standing and a pole of 1.5 m reach an anchor 3.8 m up, and none above."""
    text = sound.replace("[uncertainty]", "pole = 1.5\nstanding_reach = 2.3\n[uncertainty]")
    assert advice_on(text.replace("up = 3.5", "up = 3.8")) == ()
    assert len(advice_on(text.replace("up = 3.5", "up = 3.81"))) == 1
    without_pole = text.replace("pole = 1.5\n", "")
    assert advice_on(without_pole.replace("up = 3.5", "up = 2.3")) == ()
    assert len(advice_on(without_pole.replace("up = 3.5", "up = 2.31"))) == 1


def test_a_chord_beyond_the_tape(sound: str) -> None:
    short = sound.replace("holes = 400", "holes = 166").replace("length = 3000.0", "length = 2000.0")
    assert advice_on(short) == ()  # 166 holes of 25 mm and a dial of 50 mm: 4.20 m, as S2 needs
    found = advice_on(short.replace("holes = 166", "holes = 150"))
    assert [problem.key for problem in found] == ["station[1].chord[1]", "station[2].chord[1]"]
    assert "is 4.00 m long, beyond every tape of this route (3.80 m)" in found[0].what


def test_a_dial_that_subtracts_does_not_lengthen_the_tape(sound: str) -> None:
    text = sound.replace("length = 3000.0", "length = 10000.1").replace('dial = "adds"', 'dial = "subtracts"')
    (problem,) = advice_on(text)
    assert "beyond every tape (10000.0 mm)" in problem.what


def test_a_route_without_frame_or_levels(sound: str) -> None:
    frame = sound[sound.index("[[control]]") : sound.index("[[level]]")]
    levels = sound[sound.index("[[level]]") : sound.index("[[frequency]]")]
    bare = sound.replace(frame, "").replace(levels, "")
    assert [problem.key for problem in advice_on(bare)] == ["control", "level"]
    own = 'level = [{name = "own", closing = 2.0, response = "Look.", tell = ["geologist"]}]'
    found = advice_on(bare.replace("length = 4.0", f"length = 4.0\n{own}"))
    assert [problem.key for problem in found] == ["control"]


def test_a_route_that_is_closed_throughout(sound: str) -> None:
    text = sound.replace("chainage =", 'closed = true\nnote = "Buried."\nchainage =')
    (problem,) = advice_on(text)
    assert "nothing to walk" in problem.what


def test_a_table_that_leaves_holes_out(sound: str) -> None:
    table = "hole,distance\n" + "".join(f"{hole},{25 * hole}\n" for hole in range(1, 400))
    (problem,) = advice_on(sound.replace("holes = 400", 'holes = 400\ncalibration = "t.csv"'), {"t.csv": table})
    assert problem.key == "tape[1].calibration"
    assert "has 399 of the tape's 400 holes" in problem.what
    whole = {"t.csv": table + "400,10000\n"}
    assert advice_on(sound.replace("holes = 400", 'holes = 400\ncalibration = "t.csv"'), whole) == ()


def test_without_a_date_certificates_are_not_looked_at(sound: str) -> None:
    text = sound.replace("holes = 400", "holes = 400\ncertificate_until = 1999-01-01")
    assert advice(parse_route(text, {}, name="road.toml")) == ()
