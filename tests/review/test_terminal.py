"""The review in a real pseudo-terminal: opened by its command and from the start page, by digits and Enter alone."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from harness.jobs import lay, with_past
from harness.terminal import Terminal


@pytest.fixture(scope="module")
def laid(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return with_past(lay(tmp_path_factory.mktemp("laid")))


def test_by_its_command_at_80_by_24_and_larger(laid: Path) -> None:
    with Terminal("review", str(laid)) as terminal:
        terminal.wait_for("Computing")
        told = terminal.wait_for("what there is to say")
        assert "L-R" in told
        terminal.type("1\n")
        terminal.wait_for("by date; closing downwards")
        terminal.type("4\n")
        terminal.wait_for("at rest by the rule")
        terminal.resize(120, 40)
        terminal.wait_for("by date; closing downwards")
        terminal.resize(60, 20)
        terminal.wait_without("by date; closing downwards")
        terminal.type("10\n")
        terminal.wait_for("station A")
        terminal.type("0\n0\n0\n")
        assert terminal.ended() == 0
        assert terminal.is_clean()


def test_a_burst_from_the_start_page_reaches_the_pages_in_order(laid: Path, tmp_path: Path) -> None:
    """One write: the review, its first chord, the readings; keys wait while the history is read."""
    shutil.copytree(laid.parent, tmp_path / "job")
    with Terminal("walk", str(tmp_path / "job" / laid.name)) as terminal:
        told = terminal.wait_for("look at what has moved")
        number = next(line.split()[0].lstrip(">") or line.split()[1] for line in told.splitlines() if "look at" in line)
        terminal.type(f"{number}\n1\n3\n")
        terminal.wait_for("Closed surveys")
        terminal.type("0\n0\n")
        terminal.wait_for("start a new survey")
        terminal.type("\x1b[21~")
        assert terminal.ended() == 0


def test_without_a_terminal_it_says_what_to_do_instead(laid: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from fieldtui.cli import main

    assert main(["review", str(laid)]) == 2
    assert "fieldtui history" in capsys.readouterr().err
