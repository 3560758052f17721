"""Opening a route with many surveys, with the index of its logs and without.

    python -m tests.bench.log.opening [FOLDER] [CHORDS]

Jobs of 10, 100 and 1,000 daily surveys as the walk writes them. `open`: the surveys of the job and their states, as far
as they are asked for. `start page`: that, and everything the start page says of it (problems, warnings, questions,
calls), which goes through every reading and is not kept in the index: working the readings out is most of it, with the
index and without, and the index must not make it longer.
"""

from __future__ import annotations

import gc
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from fieldtui.job import Job, load_job
from fieldtui.job.job import job_of
from fieldtui.log import read_folder
from fieldtui.log.index import NAME
from fieldtui.route import Route
from harness.many import a_route, lay_surveys
from tests.bench.figure import Figure, told
from tests.bench.log.measure import in_turns, machine

SURVEYS = (10, 100, 1000)


def without_index(route: Route, folder: Path) -> Job:
    return job_of(route, folder, read_folder(folder))


def start_page(job: Job) -> object:
    return (job.problems, job.warnings, job.questions(), job.open_calls(), job.last_answers(), job.unclosed)


def figures(quick: bool) -> Iterator[Figure]:
    gc.disable()  # as the command does
    with tempfile.TemporaryDirectory(dir=Path.cwd()) as name:
        yield from measured(Path(name), 24, (10, 100) if quick else SURVEYS)


def measured(place: Path, chords: int, sizes: Sequence[int] = SURVEYS) -> Iterator[Figure]:
    print(f"opening a route of {chords} chords; {machine()}")
    route, folder, tip, laid = a_route(place, chords), place / "logs", [], 0
    opened: dict[int, float] = {}
    for surveys in sizes:
        tip = lay_surveys(route, folder, surveys - laid, first=laid, tip=tip)
        laid = surveys
        time.sleep(2.5)  # a file that is younger than that is held against its bytes once more
        load_job(route, folder)
        assert load_job(route, folder).surveys[-1].state.closed
        ways: dict[str, Callable[[], object]] = {
            "index": lambda: load_job(route, folder),
            "logs": lambda: without_index(route, folder),
        }
        times = in_turns(ways, 3 if surveys < 1000 else 1)
        opened[surveys] = times["index"]
        size = (folder / NAME).stat().st_size / sum(path.stat().st_size for path in folder.glob("*.jsonl"))
        print(
            f"{surveys:5} surveys: open {times['index'] * 1e3:.0f} ms, without the index {times['logs'] * 1e3:.0f} ms"
        )
        yield Figure(f"{surveys:5} surveys: open with the index beside without", times["index"] / times["logs"], 0.2)
        yield Figure(f"{surveys:5} surveys: the index beside its logs, bytes", size, 0.3)
        if surveys <= 100:
            pages = {
                "index": lambda: start_page(load_job(route, folder)),
                "logs": lambda: start_page(without_index(route, folder)),
            }
            both = in_turns(pages, 3)
            yield Figure(
                f"{surveys:5} surveys: start page with the index beside without", both["index"] / both["logs"], 1.0
            )
    more = sizes[-1] // sizes[0]
    what = f"{more} times as many surveys take, of {more} times the time"
    yield Figure(what, opened[sizes[-1]] / opened[sizes[0]] / more, 1.0)


if __name__ == "__main__":
    gc.disable()  # as the command does
    where = Path(sys.argv[1]) if len(sys.argv) > 1 else Path.cwd()
    with tempfile.TemporaryDirectory(dir=where) as name:
        list(told(measured(Path(name), int(sys.argv[2]) if len(sys.argv) > 2 else 24)))
