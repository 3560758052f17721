"""A booking that is killed in the middle, and run again: everything is there once."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from harness.jobs import lay
from harness.sheets import answers, job_of, log_files, row, sheet

SURVEYS = 40


def long_sheet() -> str:
    chords = (("A", "L-R", "319"), ("A", "L-K", "240"), ("B", "L-R", "319"))
    return sheet(
        *(
            row(f"s{day}", minutes=1440 * day + 5 * place, station=station, chord=chord, hole=hole)
            for day in range(SURVEYS)
            for place, (station, chord, hole) in enumerate(chords)
        )
    )


def booked(path: Path) -> list[tuple[str, str, str, int]]:
    return sorted(
        (survey.label, target.station, target.chord, target.reading)
        for survey in job_of(path).surveys
        for target, booking in survey.state.bookings.items()
        if booking.was_read
    )


@pytest.mark.parametrize("after", [1, 7, 23])
def test_killed_after_so_many_logs_and_run_again(tmp_path: Path, after: int) -> None:
    path = lay(tmp_path)
    file = tmp_path / "sheet.csv"
    file.write_text(long_sheet())
    command = [sys.executable, "-m", "fieldtui", "book", str(path), str(file), "--json"]
    program = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    deadline = time.monotonic() + 60
    while len(log_files(path)) < after and time.monotonic() < deadline and program.poll() is None:
        time.sleep(0.001)
    os.kill(program.pid, signal.SIGKILL)
    output, _ = program.communicate()
    # nothing was said to be booked that is not there
    there = set(booked(path))
    for line in output.splitlines():
        answer = json.loads(line)
        assert (answer["survey"], answer["station"], answer["chord"], 1) in there
    again = subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)
    done = [json.loads(line)["done"] for line in again.stdout.splitlines()]
    assert len(done) == 3 * SURVEYS
    assert set(done) <= {"booked", "already booked"}
    assert len(booked(path)) == 3 * SURVEYS
    assert all(reading == 1 for *_, reading in booked(path))


@pytest.mark.parametrize("share", [0.1, 0.3, 0.55, 0.8, 0.97, 0.999])
def test_a_log_cut_short_is_completed_without_doubling(tmp_path: Path, share: float) -> None:
    path = lay(tmp_path)
    rows = sheet(row(), row(minutes=5, chord="L-K", hole="240"), row(minutes=9, station="B", hole="319"))
    answers(path, rows)
    (log,) = log_files(path)
    whole = log.read_bytes()
    log.write_bytes(whole[: int(len(whole) * share)])
    answers(path, rows)
    assert booked(path) == [("s1", "A", "L-K", 1), ("s1", "A", "L-R", 1), ("s1", "B", "L-R", 1)]
    assert {one["done"] for one in answers(path, rows)} == {"already booked"}
