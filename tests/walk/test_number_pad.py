"""A whole survey by the number pad alone, in a real terminal of 80 x 24: on the screen, and line by line.

Slow, so asked for by `pytest -m slow tests/walk/test_number_pad.py -s`, which prints keys and seconds.
"""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldtui.job import load_job, logs_folder
from fieldtui.log.verify import verify
from fieldtui.route import load_route
from fieldtui.survey import State
from harness.jobs import CALM, lay, with_past
from harness.tmux import Pane, is_there
from tests.monkey.shown import fields_shown

pytestmark = [pytest.mark.slow, pytest.mark.skipif(not is_there(), reason="no tmux")]
DIALS = {"dial_1": "12.33", "dial_2": "12.36", "dial_3": "12.34", "dial_4": "12.34", "dial_5": "12.34"}
SPOKEN = {"dial 1": "12.33", "dial 2": "12.36", "dial 3": "12.34", "dial zero": "0.00", "tape temp": "12.4"}


@pytest.fixture
def route(tmp_path: Path) -> Path:
    return with_past(lay(tmp_path))


@pytest.fixture
def screen(route: Path) -> Iterator[Pane]:
    pane = Pane("walk", str(route))
    yield pane
    pane.close()


@pytest.fixture
def lines(route: Path) -> Iterator[Pane]:
    pane = Pane("walk", "--plain", str(route))
    yield pane
    pane.close()


def state(route: Path) -> State:
    loaded = load_route(route)
    job = load_job(loaded, logs_folder(loaded))
    assert not verify([job.folder]).needs_attention
    return job.surveys[-1].state


class Surveyor:
    """Answers what stands on the screen. Once each: a correction, a reading again, a chord not read, a zero check."""

    def __init__(self) -> None:
        self.done: set[str] = set()

    def once(self, what: str) -> bool:
        new = what not in self.done
        self.done.add(what)
        return new

    def keys(self, text: str) -> str:
        """What to press now."""
        page = text.splitlines()
        chord = re.match(r" chord (\S+?)(, reading \d+)? at (\S+?),", page[1])
        key = (chord[3], chord[1]) if chord else ("A", "L-R")
        form = next((place for place, line in enumerate(page) if re.match(r"  (hole|dial) ", line)), None)
        if "Number, then Enter" in text or "What now" in text:
            return self._chosen(text)
        if key == ("A", "L-K") and self.once("not read"):
            return "/"
        if form is not None and "[" in page[form + 1]:
            return self._figure(fields_shown(page[form], page[form + 1]), key) + "\n"
        if "unhook" in text:
            return self._result(key)
        if re.search(r"(Tape|Extensometer) in use", text) and re.search(r"\[ +\]", text):
            return "1\n"
        return "\n"

    def _figure(self, fields: dict[str, str], key: tuple[str, str]) -> str:
        slot = next(slot for slot, said in fields.items() if said.startswith("["))
        if slot in ("hole", "hole_again"):
            return CALM[key]
        return DIALS.get(slot, "0.00" if slot == "zero" else "12.4")

    def _result(self, key: tuple[str, str]) -> str:
        if key == ("A", "L-R") and self.once("corrected"):
            return "*12.1\n"
        if key == ("A", "L-R") and self.once("read again"):
            return "+"
        return "\n"

    def _chosen(self, text: str) -> str:
        """The first of these that stands in the list."""
        for words in ("start a new survey", "blocked", "read again", "close the survey", "yes, ", "leave"):
            found = re.search(rf"(\d+) ([a-z ]*{words})", text)
            if found and (words != "read again" or self.once("from the list")):
                return f"{found[1]}\n"
        return "0\n"


def test_a_survey_on_the_screen(screen: Pane, route: Path) -> None:
    surveyor, began = Surveyor(), time.monotonic()
    text = screen.changed("")
    while "The survey is closed" not in text:
        assert screen.keys < 600, text
        screen.press(surveyor.keys(text))
        text = screen.changed(text)
    print(f"\non the screen: {screen.keys} keys of the number pad, {time.monotonic() - began:.0f} s")
    told = state(route)
    assert told.closed
    readings = told.readings(("A", "L-R"))
    assert [one.outcome for one in readings] == ["read", "read"]
    assert readings[0].slots["temperature"].typed == "12.1"
    assert told.readings(("A", "L-K"))[0].outcome == "blocked"
    assert told.readings(("B", "L-R"))[0].was_read


def test_a_survey_line_by_line(lines: Pane, route: Path) -> None:
    began = time.monotonic()
    text = lines.changed("")
    done: set[str] = set()
    while "Copy the log" not in text:
        assert lines.keys < 600, text
        lines.press(line_for(text.rstrip().splitlines()[-1], done))
        text = lines.changed(text)
    print(f"\nline by line: {lines.keys} keys of the number pad, {time.monotonic() - began:.0f} s")
    told = state(route)
    assert told.closed
    assert told.readings(("A", "L-R"))[0].slots["temperature"].typed == "12.1"
    assert told.readings(("A", "L-K"))[0].outcome == "blocked"
    assert told.readings(("B", "L-R"))[0].was_read


def line_for(prompt: str, done: set[str]) -> str:
    """What to type at a prompt, Enter and all."""
    if "A L-K" in prompt and "/" not in done:
        done.add("/")
        return "/\n"
    if "figures are in" in prompt and "*" not in done:
        done.add("*")
        return "*\n"
    if "right is" in prompt:
        return "12.1\n"
    answers = {"What now": "3", "Number": "1", "End of the survey": "1", "in use": "1", "1 and Enter when there": "1"}
    for words, answer in answers.items():
        if words in prompt and not prompt.rstrip().endswith("]:"):
            return answer + "\n"
    for place, holes in CALM.items():
        if prompt.startswith(" ".join(place)) and "hole" in prompt:
            return f"{holes}\n"
    return next((f"{figure}\n" for words, figure in SPOKEN.items() if words in prompt), "\n")
