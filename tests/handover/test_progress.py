"""How far a long export is, on a terminal and nowhere else; and Ctrl+C in the middle of one."""

from __future__ import annotations

import os
import pty
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest

from fieldtui.handover.export import export
from fieldtui.handover.part import part_of
from fieldtui.job import load_job
from harness.jobs import lay
from harness.many import a_route, lay_surveys


@pytest.fixture(scope="module")
def long_job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """1,260 readings."""
    folder = tmp_path_factory.mktemp("long")
    route = a_route(folder, 60)
    lay_surveys(route, folder / "logs", 20)
    return folder / "heading.toml"


def exporting(path: Path, to: str, error: int | None = None) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "fieldtui", "export", str(path), "--to", to]
    return subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=error or subprocess.PIPE,
        text=True,
        # a suite that runs in the background has Ctrl+C ignored, and so would what it starts
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )


def test_it_says_what_it_is_doing_and_leaves_an_empty_line(long_job: Path) -> None:
    ours, theirs = pty.openpty()
    told = b""
    with exporting(long_job, "xlsx", theirs) as running:
        os.close(theirs)
        # the terminal's other end is closed when the program has ended
        with suppress(OSError):
            while piece := os.read(ours, 4096):
                told += piece
    os.close(ours)
    assert running.returncode == 0
    assert told.startswith(b"\rreading the logs ...")
    assert b"working out the figures ..." in told
    assert b"writing readings: " in told
    assert told.split(b"\r")[-2].strip() == b""


def test_working_out_the_figures_is_told_chord_by_chord(tmp_path: Path) -> None:
    route = a_route(tmp_path, 5)
    lay_surveys(route, tmp_path / "logs", 2)
    told: list[tuple[str, int, int]] = []
    part = part_of(load_job(route, tmp_path / "logs"))
    out = tmp_path / "out"
    export("csv", part, out, print, progress=lambda *one: told.append(one))
    working = [(done, whole) for what, done, whole in told if what == "working out the figures"]
    assert working == [(0, 0), *((place, 5) for place in range(5))]


def test_without_a_terminal_it_says_nothing(tmp_path: Path) -> None:
    running = exporting(lay(tmp_path), "csv")
    assert running.communicate(timeout=60)[1] == ""


@pytest.mark.parametrize("to", ["csv", "xlsx", "ags", "parquet"])
def test_stopped_by_ctrl_c_it_leaves_nothing(long_job: Path, to: str) -> None:
    folder = long_job.parent
    before = {one.name for one in folder.iterdir()}
    running = exporting(long_job, to)
    deadline = time.monotonic() + 60
    while {one.name for one in folder.iterdir()} == before and time.monotonic() < deadline:
        time.sleep(0.005)
    time.sleep(0.02)
    running.send_signal(signal.SIGINT)
    told = running.communicate(timeout=60)[1]
    assert {one.name for one in folder.iterdir()} == before
    assert told.startswith("Stopped.")
    assert running.returncode == 2
