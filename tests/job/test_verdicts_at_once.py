"""Verdicts asked for by the page and by the work behind it at one time are those that one of them alone would get."""

from __future__ import annotations

import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import pytest

from fieldtui.job import Walk
from fieldtui.job.verdicts import Verdicts
from fieldtui.reduction import Length, Verdict
from fieldtui.survey import State, Target
from harness.jobs import CALM, answer_start, begin, book_chord, lay, resume, with_past


def test_two_that_ask_for_verdicts_at_once_take_note_of_each_booking_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk = begun(tmp_path)
    judge, ready = Verdicts.of, Barrier(2)

    def slowly(verdicts: Verdicts, state: State, target: Target, *read: Length) -> Verdict:
        time.sleep(0.05)
        return judge(verdicts, state, target, *read)

    def ask() -> None:
        ready.wait()
        _ = walk.verdicts

    monkeypatch.setattr(Verdicts, "of", slowly)
    with ThreadPoolExecutor(2) as two:
        for asked in [two.submit(ask) for _ in range(2)]:
            asked.result()
    assert [one.booking.target.key for one in walk.verdicts.judged] == list(CALM)


def test_what_is_booked_while_verdicts_are_worked_out_is_taken_note_of(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk = begun(tmp_path)
    follow = Verdicts.follow
    target = Target("A", "L-K", 2)

    def overtaken(verdicts: Verdicts, *asked: object) -> None:
        monkeypatch.undo()
        follow(verdicts, *asked)  # type: ignore[arg-type]
        walk.go(target)
        book_chord(walk, CALM[target.key], "12.30", "12.32", "12.31")

    monkeypatch.setattr(Verdicts, "follow", overtaken)
    _ = walk.verdicts
    assert walk.verdicts.booked(target) is not None


def begun(folder: Path) -> Walk:
    """A survey of three chords that was left, and is taken up again."""
    path = with_past(lay(folder))
    walk = begin(path)
    answer_start(walk)
    for hole in CALM.values():
        book_chord(walk, hole, "12.30", "12.32", "12.31")
    walk.leave()
    return resume(path)
