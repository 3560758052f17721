"""Small sheets to book in tests: the route of `harness.jobs.lay`, three chords in two stations."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from fieldtui.job import Job, load_job, logs_folder
from fieldtui.paper.book import book, book_table
from fieldtui.paper.rows import OPTIONAL, REQUIRED
from fieldtui.paper.table import read_table
from fieldtui.route import load_route

HEADER = ",".join(REQUIRED)
NOW = datetime(2031, 6, 1, 9, 0, tzinfo=UTC)
DAY = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)


def row(
    survey: str = "s1",
    minutes: float = 0,
    station: str = "A",
    chord: str = "L-R",
    hole: str = "319",
    dials: Sequence[str] = ("24.34", "24.36", "24.35"),
    temperature: str = "12.0",
) -> str:
    """One line of a sheet, so many minutes after the day's start."""
    at = f"{DAY + timedelta(minutes=minutes):%Y-%m-%dT%H:%M:%SZ}"
    three = [*dials, "", "", ""][:3]
    return ",".join([survey, at, station, chord, hole, *three, temperature])


def sheet(*lines: str, header: str = HEADER) -> str:
    return "\n".join([header, *lines]) + "\n"


def job_of(path: Path) -> Job:
    route = load_route(path)
    return load_job(route, logs_folder(route))


def answers(path: Path, text: str, clock: Any = lambda: NOW) -> list[Mapping[str, Any]]:
    """Book a text and give the answers as a program reads them."""
    from fieldtui.paper.answer import as_json

    job = job_of(path)
    booked = book_table(job, read_table(text, "sheet.csv", REQUIRED, OPTIONAL), clock=clock)
    return [json.loads(json.dumps(as_json(answer, job.route))) for answer in booked.answers]


def said(path: Path, text: str, *, as_lines: bool = False) -> tuple[int, list[str]]:
    """Book a text from a file as the command does; the status and what it writes."""
    file = path.parent / "sheet.csv"
    file.write_bytes(text.encode())
    lines: list[str] = []
    status = book(job_of(path), file, lines.append, as_lines=as_lines, clock=lambda: NOW)
    return status, lines


def log_files(path: Path) -> list[Path]:
    return sorted((path.parent / "logs").glob("*.jsonl"))


def records(path: Path, kind: str = "") -> list[dict[str, Any]]:
    """The data of all records of a kind (or every record) in all logs of a route, as plain JSON."""
    found = []
    for file in log_files(path):
        for line in file.read_text().splitlines():
            record = json.loads(line)
            if not kind or record["kind"] == kind:
                found.append(record["data"] if kind else record)
    return found
