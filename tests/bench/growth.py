"""How the time of a command grows with the surveys of a route, and with its chords: 10, 100, 1,000 of each.

    python -m tests.bench.growth [--quick]

A route of 24 chords with so many daily surveys; a route of so many chords with 10 surveys. Each step is timed in a
process as a command has it, the libraries loaded. The slope is the power of the size that the time grows with: 1 is in
proportion. What goes through every reading cannot be below 1 for long; nothing may be above it by more than chance.
"""

from __future__ import annotations

import gc
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from fieldtui.history import tables
from fieldtui.job import load_job
from fieldtui.movement.glance import glance
from harness.many import START, a_route, lay_surveys
from tests.bench.figure import Figure, slope, told

SIZES = (10, 100, 1000)
CHORDS, SURVEYS = 24, 10
LINEAR = 1.1
"""A slope of 1, and what a disk and a machine with other work add to it."""


def figures(quick: bool) -> Iterator[Figure]:
    sizes = SIZES[:2] if quick else SIZES
    yield from _grown("surveys", {size: (CHORDS, size) for size in sizes})
    yield from _grown("chords", {size: (size, SURVEYS) for size in sizes})


def _grown(what: str, jobs: dict[int, tuple[int, int]]) -> Iterator[Figure]:
    taken: dict[str, dict[int, float]] = {}
    for size, (chords, surveys) in jobs.items():
        for step, seconds in _steps(chords, surveys).items():
            taken.setdefault(step, {})[size] = seconds
    for step, times in taken.items():
        each = ", ".join(f"{1000 * seconds:.0f}" for seconds in times.values())
        sizes = ", ".join(f"{size:,}" for size in times)
        yield Figure(f"{step}, {sizes} {what}: {each} ms; slope", slope(times), LINEAR)


def _steps(chords: int, surveys: int) -> dict[str, float]:
    """Seconds of each step on one job, the best of three turns."""
    with tempfile.TemporaryDirectory() as name:
        route, folder = a_route(Path(name), chords), Path(name) / "logs"
        lay_surveys(route, folder, surveys)
        time.sleep(2.5)  # a file that is younger than that is held against its bytes once more
        load_job(route, folder)
        steps: dict[str, Callable[[], object]] = {
            "open a job": lambda: load_job(route, folder).surveys[-1].state.closed,
            "what a survey begins with": lambda: load_job(route, folder).ground(),
            "history": lambda: tables(load_job(route, folder)),
            "what has moved": lambda: glance(load_job(route, folder), START + timedelta(days=surveys)),
        }
        turns = 3 if chords * surveys < 10_000 else 1
        return {step: min(_timed(act) for _ in range(turns)) for step, act in steps.items()}


def _timed(act: Callable[[], object]) -> float:
    gc.collect()
    start = time.perf_counter()
    act()
    return time.perf_counter() - start


if __name__ == "__main__":
    list(told(figures("--quick" in sys.argv)))
