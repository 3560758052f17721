"""Appending: beside SQLite with a full sync after each entry, and the program's own part.

    python -m tests.bench.log.append [FOLDER] [ENTRIES]

SQLite is the measure because it keeps the same promise: durable when it says so. Runs of 100 entries are taken in
turns, each side going on in its own file.
"""

from __future__ import annotations

import json
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

from fieldtui.log import LogWriter, OsCalls
from tests.bench.figure import Figure, told
from tests.bench.log.measure import in_turns, machine

ENTRY = {"station": "S12", "chord": "L-R", "dial": "12.34", "unit": "mm", "read_at": "2031-05-03T06:00:00Z"}
TURN = 100


class NoDisk(OsCalls):
    """Calls that cost nothing, so that the program's own part is left."""

    size = 0

    def write(self, fd: int, data: bytes) -> int:
        self.size += len(data)
        return len(data)

    def size_and_links(self, fd: int) -> tuple[int, int]:
        return self.size, 1

    def fsync(self, fd: int) -> None:
        return


def now() -> datetime:
    return datetime.now(UTC)


def a_log(folder: Path, calls: OsCalls) -> LogWriter:
    return LogWriter.create(folder, survey="s", label="", scope="", after=[], clock=now, calls=calls)


def a_database(path: Path, mode: str) -> Callable[[], None]:
    base = sqlite3.connect(path, isolation_level=None)
    base.execute(f"PRAGMA journal_mode={mode}")
    base.execute("PRAGMA synchronous=FULL")
    base.execute("CREATE TABLE entry (seq INTEGER PRIMARY KEY, at TEXT, kind TEXT, data TEXT)")

    def turn() -> None:
        for _ in range(TURN):
            row = (now().isoformat(), "dial", json.dumps(ENTRY))
            base.execute("INSERT INTO entry (at, kind, data) VALUES (?, ?, ?)", row)

    return turn


def figures(quick: bool) -> Iterator[Figure]:
    with tempfile.TemporaryDirectory(dir=Path.cwd()) as name:
        yield from measured(Path(name), 500 if quick else 3000)


def measured(folder: Path, entries: int) -> Iterator[Figure]:
    writer = a_log(folder, OsCalls())

    def log_turn() -> None:
        for _ in range(TURN):
            writer.append("dial", ENTRY)

    medians = in_turns(
        {
            "log": log_turn,
            "WAL": a_database(folder / "wal.db", "WAL"),
            "DELETE": a_database(folder / "delete.db", "DELETE"),
        },
        entries // TURN,
    )
    print(f"append, {entries} entries each on {folder}; {machine()}")
    for name, seconds in medians.items():
        print(f"  {name:7} {seconds / TURN * 1e6:8.0f} us an entry")
    yield Figure("append beside SQLite WAL, synchronous=FULL", medians["log"] / medians["WAL"], 1.25)
    yield Figure("append beside SQLite DELETE, synchronous=FULL", medians["log"] / medians["DELETE"], 0.35)
    free = a_log(folder, NoDisk())
    best = min(_timed(lambda: free.append("dial", ENTRY)) for _ in range(20))
    yield Figure("the program's own part of an append", best * 1e6, 15, "us")


def _timed(act: Callable[[], object], times: int = 2000) -> float:
    start = time.perf_counter()
    for _ in range(times):
        act()
    return (time.perf_counter() - start) / times


if __name__ == "__main__":
    place = Path(sys.argv[1]) if len(sys.argv) > 1 else Path.cwd()
    with tempfile.TemporaryDirectory(dir=place) as name:
        list(told(measured(Path(name), int(sys.argv[2]) if len(sys.argv) > 2 else 3000)))
