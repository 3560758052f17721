"""The real program in a real terminal of 80 x 24: killed while a route is laid, gone on with, written, opened."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldtui.cli import main
from fieldtui.route import load_route
from harness.laying import DRIFT, lay_out
from harness.terminal import Terminal


def test_a_kill_in_the_middle_loses_nothing_that_was_answered(tmp_path: Path) -> None:
    with Terminal("lay", "drift.toml", cwd=tmp_path) as terminal:
        terminal.wait_for("What is the route called")
        terminal.type("Lower drift (invented)\n\n\n\n\n")
        terminal.wait_for("The tape's serial")
        terminal.type("T-1\n25\nha")
        terminal.wait_for("The number of its first hole")
        terminal.kill()
    with Terminal("lay", "drift.toml", cwd=tmp_path) as terminal:
        terminal.wait_for("A draft with 7 answers")
        terminal.type("1\n")
        terminal.wait_for("The number of its first hole")
        assert "Its pitch: from hole to hole, mm: 25" in terminal.text()


def test_the_last_pages_in_a_burst_of_keys(tmp_path: Path) -> None:
    lay_out(tmp_path / "drift.toml", DRIFT, "group0.first")
    with Terminal("lay", "drift.toml", cwd=tmp_path) as terminal:
        terminal.wait_for("A draft with")
        terminal.type("1\nS01\n1200\n20\n25\n\n\n\n\nwatch\n5\n\n\nRead again.\nshift engineer\n\n\n\n\n\n\n")
        terminal.wait_for("20 stations, 60 chords to read")
        terminal.type("1\n1\n")
        terminal.wait_for("start a new survey")
        terminal.type(b"\x1b")
        assert terminal.ended() == 0
        assert terminal.is_clean()
    assert len(load_route(tmp_path / "drift.toml").stations) == 20


def test_without_a_terminal_it_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lay", "drift.toml"]) == 2
    assert "needs a terminal" in capsys.readouterr().err
