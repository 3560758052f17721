"""No key waits for a file: what the prompts ask of earlier surveys is there before them."""

from __future__ import annotations

import builtins
import io
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from fieldtui.job import Walk, job_to_walk
from fieldtui.survey import Target
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from harness.jobs import Ticking, lay, with_past

LR = Target("A", "L-R")
QUESTIONS = {"reader": "AB", "tape": "1", "extensometer": "1", "cautions": "1", "zero": "0.00", "temperature": "12.0"}
FRAME = {"hole": "199", "hole_again": "199", "dial_1": "18.40", "dial_2": "18.41", "dial_3": "18.40"}
CHORD = {"hole": "320", "hole_again": "320", "dial_1": "12.3", "dial_2": "12.3", "dial_3": "12.3"}


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The files that have been opened."""
    names: list[str] = []
    plainly = io.open

    def told(file: Any, *more: Any, **named: Any) -> Any:
        names.append(str(file))
        return plainly(file, *more, **named)

    for module in (io, builtins):
        monkeypatch.setattr(module, "open", told)
    return names


@pytest.mark.parametrize("at_once", [1000, 0], ids=["few readings behind", "years of them"])
def test_from_the_first_question_to_a_chord_no_file_is_opened(
    tmp_path: Path, opened: list[str], monkeypatch: pytest.MonkeyPatch, at_once: int
) -> None:
    monkeypatch.setattr("fieldtui.job.job.AT_ONCE", at_once)
    path = with_past(lay(tmp_path, control=True), before=Ticking().now)
    job_to_walk(path)
    job = job_to_walk(path)
    walk = Walk.begin(job, clock=Ticking())
    desk = WalkDesk(walk, job)
    desk.ticks = count(0.0, 10.0).__next__  # nobody types faster than that
    draw_walk(desk, 80, 24)
    work = desk.work()
    assert work is not None
    assert opened
    work()
    opened.clear()
    while not (booking := walk.state.bookings.get(LR)) or not booking.was_read:
        figures = CHORD if desk.target == LR else FRAME
        for key in (*{**QUESTIONS, **figures}.get(desk.step.what, ""), "enter"):
            desk.press(key, key if len(key) == 1 else None)
            draw_walk(desk, 80, 24)
        assert opened == [], desk.step
    assert walk.step.target != LR
