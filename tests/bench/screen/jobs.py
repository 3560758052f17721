"""Jobs with years of surveys behind, laid once in a folder and found there again."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from fieldtui.job import job_to_walk
from harness.many import a_route, lay_surveys


def job(folder: Path, chords: int, surveys: int) -> Path:
    """The route file of a job of daily surveys up to now, laid where it is not there yet, its index up to date."""
    place = folder / f"{surveys}x{chords}"
    path = place / "heading.toml"
    if not (place / "laid").exists():
        start = datetime.now(UTC).replace(microsecond=0) - timedelta(days=surveys + 1)
        lay_surveys(a_route(place, chords), place / "logs", surveys, start=start)
        (place / "laid").touch()
        time.sleep(2.5)  # a file that is younger than that is held against its bytes once more
    for _ in range(2):
        job_to_walk(path)
    return path


@contextmanager
def as_it_was(path: Path) -> Iterator[None]:
    """Take away the logs that are begun meanwhile."""
    logs = path.parent / "logs"
    before = set(logs.iterdir())
    try:
        yield
    finally:
        for one in set(logs.iterdir()) - before:
            if not one.name.startswith("."):  # what is worked out from the logs
                one.unlink()
