"""Every key given to another action: each screen of the walk names the keys that work, and none that did before."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from fieldtui.job import Job, Walk, accept, load_job, logs_folder
from fieldtui.plain.talk import run_plain
from fieldtui.route import load_route
from fieldtui.settings import parse_settings
from fieldtui.survey.actions import USUAL
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.lines import text_of
from harness.jobs import CALM, Ticking, answer_start, begin, lay, with_past

MOVED = """
[keys]
correct = ["/", "b", "f11"]
unread = ["+", "d"]
unsafe = ["f"]
jump = ["g"]
note = ["h"]
again = ["i"]
keep = ["l"]
call = ["o"]
strike = ["p"]
end = ["r"]
more = ["*", "s", "f12"]
leave = ["v", "f10"]
help = ["y"]
"""
SETTINGS = parse_settings(MOVED, "settings.toml")
BOARD = SETTINGS.keyboard
NAMES = {"+": "plus", "*": "asterisk", "/": "slash"}
SIZES = ((80, 24), (60, 20), (200, 60))
VERBS = r"corrects|reads|keeps|strikes|and 0|, then|leaves|opens"


def press(desk: WalkDesk, key: str) -> None:
    desk.press(NAMES.get(key, key.lower() if len(key) > 1 else key), key if len(key) == 1 else None)


def old_keys_named(text: str) -> list[str]:
    """What a text says of keys as they are in the usual table and are not here."""
    found = re.findall(r"\bF[1-9]\b", text)
    for usual in USUAL.actions:
        for key in {usual.pad, usual.letter} - {"", *BOARD.of(usual.id).all_keys}:
            said = rf"(?<![\w“]){re.escape(key)} (?:{re.escape(usual.label)}\b|{VERBS})"
            found += [one for one in re.findall(said, text) if key not in NAMES or usual.id in one]
    return found


def looked_at(desk: WalkDesk) -> str:
    """All sizes of a screen; the keys that its last line names do what stands beside them."""
    for width, height in SIZES:
        text = text_of(draw_walk(desk, width, height))
        assert old_keys_named(text) == [], text
        assert "to be told: w" not in text
        if desk.mode.name != "help":
            foot = text.splitlines()[-1]
            for action in BOARD.actions:
                named = re.search(rf"(\S+) {re.escape(action.label)}(?:  |$)", foot)
                if named is not None:
                    assert does(desk, named[1]) == action.id, foot
    return text_of(draw_walk(desk, 200, 60))


def does(desk: WalkDesk, key: str) -> str | None:
    """What a key does on a screen; nothing is done."""
    done: list[str] = []
    kept = desk.act
    desk.act = done.append  # type: ignore[method-assign]
    try:
        press(desk, key)
    finally:
        desk.act = kept  # type: ignore[method-assign]
    return done[0] if done else None


def prompts(desk: WalkDesk, figures: Callable[[str, str], str]) -> Iterator[str]:
    """Every prompt up to the survey's end, with the screen looked at; each gone on from by Enter."""
    while desk.step.kind not in ("end", "closed"):
        name = desk.step.what if desk.step.kind in ("say", "figure") else desk.step.kind
        yield name
        chord = desk.target.chord if desk.target is not None and desk.target.is_chord else ""
        for sign in figures(name, chord):
            desk.press(sign, sign)
        desk.ticks = lambda: 1e9  # nobody is in a hurry
        desk.arrived_at = 0.0
        desk.press("enter", None)
        if desk.mode.menu is not None:
            looked_at(desk)
            desk.press("2", "2")
            desk.press("enter", None)
            if desk.mode.name != "step":
                desk.press("escape", None)
                return


def calm(name: str, chord: str) -> str:
    if name in ("hole", "hole_again"):
        return CALM["A", "L-K"] if chord == "L-K" else CALM["A", "L-R"]
    if name.startswith("dial"):
        return "12.31"
    return {"reader": "AB", "tape": "1", "extensometer": "1", "zero": "0.00", "temperature": "12.0"}.get(name, "")


def moved(name: str, chord: str) -> str:
    """The first chord a good deal shorter."""
    return "6.5" if name.startswith("dial") else calm(name, chord)


def misread(name: str, chord: str) -> str:
    """The hole of the first chord misread by one."""
    return "321" if name in ("hole", "hole_again") else calm(name, chord)


def job_at(path: Path) -> Job:
    route = load_route(path)
    return load_job(route, logs_folder(route))


def desk_of(path: Path, clock: Ticking) -> WalkDesk:
    desk = WalkDesk(begin(path, clock), job_at(path))
    desk.take(SETTINGS)
    return desk


@pytest.fixture
def clock() -> Ticking:
    return Ticking()


@pytest.fixture
def path(tmp_path: Path, clock: Ticking) -> Path:
    return with_past(lay(tmp_path), before=clock.now)


def test_every_key_is_another_one() -> None:
    assert SETTINGS.problems == ()
    for usual in USUAL.actions:
        assert set(usual.all_keys) & set(BOARD.of(usual.id).all_keys) <= {"f10"}, usual.id


@pytest.mark.parametrize("figures", [calm, moved, misread])
def test_each_prompt_names_the_keys_that_work(path: Path, clock: Ticking, figures: Callable[[str, str], str]) -> None:
    desk = desk_of(path, clock)
    seen = []
    for name in prompts(desk, figures):
        seen.append(name)
        looked_at(desk)
        for action in BOARD.actions:
            if action.id in ("leave", "unsafe", "again"):
                continue
            desk.act(action.id)
            looked_at(desk)
            desk.press("escape", None)
            desk.press("escape", None)
            assert desk.mode.name == "step"
    assert {"reader", "zero", "arrive", "hole", "dial_3", "temperature", "result"} <= set(seen)
    if figures is calm:
        assert desk.step.kind == "end"
        looked_at(desk)
        for key in ("enter", "1", "enter", "1", "enter"):
            desk.press(key, key if len(key) == 1 else None)
            looked_at(desk)
        assert desk.step.kind == "closed"


def test_no_letter_pad_or_function_key_of_before_does_what_it_did(path: Path, clock: Ticking) -> None:
    desk = desk_of(path, clock)
    for _ in prompts(desk, calm):
        for usual in USUAL.actions:
            for key in usual.all_keys:
                if key != "f10":
                    assert does(desk, key) != usual.id, key
        desk.press("escape", None)


def test_what_is_refused_or_said_names_the_keys_as_they_are(path: Path, clock: Ticking) -> None:
    desk = desk_of(path, clock)
    said = []
    for name in prompts(desk, calm):
        if name in ("arrive", "result"):
            for sign in ("7", "enter"):
                desk.press(sign, sign if len(sign) == 1 else None)
            said.append(desk.message)
            looked_at(desk)
            desk.press("escape", None)
    assert any("i reads it again" in one for one in said)


def test_an_action_without_a_key_is_named_by_the_list(path: Path, clock: Ticking) -> None:
    desk = desk_of(path, clock)
    desk.take(parse_settings("[keys]\nagain = []\n", "settings.toml"))
    for name in prompts(desk, calm):
        if name == "result":
            desk.press("7", "7")
            desk.press("enter", None)
            assert desk.message.endswith("Enter alone goes on, + reads it again.")
            return
    raise AssertionError("no result was reached")


def test_the_key_for_who_was_told_stands_only_where_it_works(path: Path, clock: Ticking) -> None:
    desk = desk_of(path, clock)
    answer_start(desk.walk)
    for typed in ("", "319", "28.10", "28.13", "28.11", "12"):
        desk.walk.book(typed)
    accept(desk.walk, outcome="kept", reason="seen")
    desk.to_step()

    def shown() -> str:
        return text_of(draw_walk(desk, 80, 24))

    assert "to be told: o" in shown()
    for asked in ("note", "more"):
        desk.act(asked)
        assert "to be told" in shown()
        assert "to be told: o" not in shown()
        desk.press("escape", None)
    assert "to be told: o" in shown()


def test_line_by_line_the_orders_are_named_as_they_are(path: Path, clock: Ticking) -> None:
    lines = iter(
        ("y", "AB", "", "1", "1", "", "", "0.00", "1", "321", "12.3", "12.3", "12.3", "321", "9.5", "7", "s", "0")
    )
    written: list[str] = []

    def read(prompt: str) -> str:
        written.append(prompt)
        line = next(lines, None)
        if line is None:
            raise EOFError
        return line

    walk: Walk = begin(path, clock)
    run_plain(walk, read, written.append, job=job_at(path), settings=SETTINGS)
    text = "\n".join(written)
    assert old_keys_named(text) == []
    assert "i reads again, b corrects" in text
