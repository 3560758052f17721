"""From a key to the screen at a chord of the walk, with years of surveys behind, beside a page with nothing behind it.

    python -m tests.bench.screen.keys [FOLDER]

The page beside it has the same widgets and themes, the figure that is typed in its field and in large digits, and a
result that stays the same. Both stand in pseudo-terminals of 80 x 24 and get the same keys in turn: a dial reading
typed figure by figure, and taken back. A time is from the key to the first bytes that are drawn for it. Both are
started five times, since one start is a few parts in a hundred quicker than another. Besides: which files are opened
from the first question of a survey until its first chord is booked.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.bench.figure import Figure, told
from tests.bench.screen.jobs import as_it_was, job
from tests.bench.screen.line import Line

HERE = Path(__file__).parent
SURVEYS, CHORDS = 1000, 24
LIMIT = 1.2
STARTS, TURNS = 5, 24
TYPED = ("21.34", "17.82", "33.49", "24.61")
"""Dial readings in turn, so that no figure is the one before; each is taken back sign by sign."""
START = ("\n",) * 6 + ("0.00\n", "199\n", "20.0\n", "20.0\n", "20.1\n", "14\n", "\n")
CHORD = ("310\n", "21.0\n", "21.0\n", "21.0\n", "14\n")


def to_first_question(line: Line) -> None:
    """Begin a survey, and wait at its first question until everything behind the prompts is there."""
    line.until("What now")
    line.type("1\n")
    line.until("Who reads")
    while b"earlier surveys" in line.quiet(6):
        line.type("")  # nothing: what was drawn before is done with


def to_first_chord(line: Line) -> None:
    """Answer the questions of a survey, read zero and frame."""
    to_first_question(line)
    for keys in START:
        line.type(keys)
        line.quiet()


def key(line: Line, typed: str) -> float:
    """Seconds from a key to the first bytes drawn for it."""
    start = line.type(typed)
    line.drawn_anything()
    taken = time.perf_counter() - start
    line.quiet(0.05)
    return taken


def typed_in_turns(path: Path, turns: int) -> tuple[list[float], list[float]]:
    """Seconds of each key in the walk, and on the page with nothing behind it."""
    with as_it_was(path), Line(["-m", "fieldtui", "walk", path]) as walk, Line([HERE / "constant_app.py"]) as page:
        page.until("constant")
        page.quiet()
        to_first_chord(walk)
        for keys in ("\n", *CHORD[:2]):
            walk.type(keys)
            walk.quiet()
        taken: dict[Line, list[float]] = {walk: [], page: []}
        for turn in range(turns):
            reading = TYPED[turn % len(TYPED)]
            for typed in (*reading, *("\x7f" * len(reading))):
                for line, times in taken.items():
                    times.append(key(line, typed))
        return taken[walk], taken[page]


def opened_while_booking(path: Path, folder: Path) -> list[str]:
    """The files opened from the first question to the acceptance of the first chord and the prompt after that."""
    told_in = folder / "opened"
    with as_it_was(path), Line([HERE / "watched.py", told_in, "walk", path]) as line:
        to_first_question(line)
        before = len(told_in.read_text(encoding="utf-8").splitlines())
        for keys in (*START, "\n", *CHORD, "\n", "\n"):
            line.type(keys)
            line.quiet()
        return told_in.read_text(encoding="utf-8").splitlines()[before:]


def figures(quick: bool) -> Iterator[Figure]:
    with tempfile.TemporaryDirectory(dir=Path.cwd()) as name:
        yield from measured(Path(name), 100 if quick else SURVEYS)


def measured(folder: Path, surveys: int = SURVEYS) -> Iterator[Figure]:
    path = job(folder, CHORDS, surveys)
    starts = [typed_in_turns(path, TURNS) for _ in range(STARTS)]
    walk, page = (median(chain.from_iterable(times)) for times in zip(*starts, strict=True))
    behind = f"{surveys:,} surveys of {CHORDS} chords behind"
    yield Figure("a key to the screen, nothing behind", page * 1e3, unit="ms")
    yield Figure(f"the same, {behind}", walk * 1e3, unit="ms")
    yield Figure("one beside the other", walk / page, LIMIT)
    opened = opened_while_booking(path, folder)
    for name in opened:
        print(f"opened: {name}")
    yield Figure("files opened from the first question to a chord booked, the log's append apart", len(opened), 0)


if __name__ == "__main__":
    list(told(measured(Path(sys.argv[1])) if len(sys.argv) > 1 else figures(quick=False)))
