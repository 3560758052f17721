"""From the command to the walk's first prompt, with years of surveys behind, beside an empty app of the same library.

    python -m tests.bench.screen.start [FOLDER]

Jobs of 10, 100 and 1,000 daily surveys of 24 and of 100 chords; those that are in FOLDER already are not laid again,
which takes minutes. A round starts each of them in turn, the empty app before each, in a pseudo-terminal of 80 x 24:
the start page, `start a new survey`, the first question. Medians. Memory is the most that was resident: by the first
question, and for the largest job once all is there that is worked out behind the prompts.
"""

from __future__ import annotations

import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.bench.figure import Figure, slope, told
from tests.bench.screen.jobs import as_it_was, job
from tests.bench.screen.keys import to_first_question
from tests.bench.screen.line import Line

SURVEYS, CHORDS = (10, 100, 1000), (24, 100)
ROUNDS = 21
EMPTY = Path(__file__).parent / "empty_app.py"
LIMIT, GROWTH, MEGABYTES = 1.7, 1.0, 80.0
Size = tuple[int, int]


def empty() -> tuple[float, float]:
    """Seconds to the first line of an empty app, and the memory by then."""
    with Line([EMPTY]) as line:
        return line.until("ready") - line.started, line.megabytes()


def walk(path: Path) -> tuple[float, float]:
    """Seconds to the first question of a new survey, and the memory by then."""
    with as_it_was(path), Line(["-m", "fieldtui", "walk", path]) as line:
        line.until("What now")
        line.type("1\n")
        return line.until("Who reads") - line.started, line.megabytes()


def settled(path: Path) -> float:
    """The memory once everything is there that is worked out behind the prompts."""
    with as_it_was(path), Line(["-m", "fieldtui", "walk", path]) as line:
        to_first_question(line)
        return line.megabytes()


def figures(quick: bool) -> Iterator[Figure]:
    with tempfile.TemporaryDirectory(dir=Path.cwd()) as name:
        yield from measured(Path(name), SURVEYS[:2] if quick else SURVEYS)


def measured(folder: Path, surveys: tuple[int, ...] = SURVEYS) -> Iterator[Figure]:
    jobs = {(chords, many): job(folder, chords, many) for chords in CHORDS for many in surveys}
    seconds: dict[Size, list[float]] = defaultdict(list)
    memory: dict[Size, list[float]] = defaultdict(list)
    for number in range(ROUNDS + 1):
        for size, path in jobs.items():
            for what, taken in (((0, 0), empty()), (size, walk(path))):
                if number:  # the first round finds byte-code and files cold
                    seconds[what].append(taken[0])
                    memory[what].append(taken[1])
    alone = median(seconds[0, 0])
    yield Figure("an empty app", alone * 1e3, unit="ms")
    yield Figure("an empty app, memory", median(memory[0, 0]), unit="MB")
    for chords, many in jobs:
        what, taken = f"{many:,} surveys of {chords} chords", median(seconds[chords, many])
        yield Figure(f"{what}: {taken * 1e3:.0f} ms, beside the empty app", taken / alone, LIMIT)
    for chords in CHORDS:
        times = {many: median(seconds[chords, many]) for many in surveys}
        yield Figure(f"{chords} chords: growth with the surveys, slope", slope(times), GROWTH)
    largest = (CHORDS[-1], surveys[-1])
    yield Figure(f"{largest[1]:,} surveys of {largest[0]} chords, memory by then", median(memory[largest]), unit="MB")
    yield Figure("the same once all is worked out", settled(jobs[largest]), MEGABYTES, "MB")


if __name__ == "__main__":
    list(told(measured(Path(sys.argv[1])) if len(sys.argv) > 1 else figures(quick=False)))
