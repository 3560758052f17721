"""The monkey by one command, from the project's root:

    python -m tests.monkey [--events 100000] [--real 3000] [--lines 6000] [--seed 1] [--job NAME]

Prints what happened, by kind, and what was reached. Exit status 1 where something did not hold.
"""

from __future__ import annotations

import argparse
import sys
import time
import traceback
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1])]

from tests.monkey.jobs import JOBS  # noqa: E402
from tests.monkey.plain import PlainTold, live_by_lines, pipe_bytes  # noqa: E402
from tests.monkey.real import RealTold, live_for_real  # noqa: E402
from tests.monkey.run import LAST, Failed, Told, cut_down, live  # noqa: E402

LIFE = 2_500
"""Events of one life."""
REAL_LIFE, LINES_LIFE, PIPES = 500, 2_000, 4
JOBS_AS_OFTEN = (
    "small", "adit", "two tapes", "us-cavern", "highway", "laid", "demo", "small", "adit", "two tapes", "us-cavern",
    "all but laid", "highway", "small", "adit", "two tapes",
)  # fmt: skip
IN_TERMINAL = ("two tapes", "small", "adit", "us-cavern")


def main() -> int:
    """Run lives until there were so many events."""
    parser = argparse.ArgumentParser(prog="python -m tests.monkey", description=__doc__)
    parser.add_argument("--events", type=int, default=100_000, help="in process, on desks")
    parser.add_argument("--real", type=int, default=3_000, help="so many more in a real terminal")
    parser.add_argument("--lines", type=int, default=6_000, help="so many lines besides, without a screen")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--job", choices=tuple(JOBS))
    parser.add_argument("--life", type=int, default=LIFE)
    arguments = parser.parse_args()
    began = time.monotonic()
    failures = _on_desks(arguments) + _in_terminals(arguments) + _by_lines(arguments)
    print(f"{time.monotonic() - began:.0f} s; failures: {failures}")
    return 1 if failures else 0


def _lives(
    arguments: argparse.Namespace, events: int, length: int, jobs: Sequence[str]
) -> Iterator[tuple[str, str, int]]:
    """So many events, a life each: its job, its seed, and how many of them are its own."""
    for number, begin in enumerate(range(0, events, length)):
        job = arguments.job or jobs[number % len(jobs)]
        yield job, f"{arguments.seed}-{number}", min(length, events - begin)


def _on_desks(arguments: argparse.Namespace) -> int:
    told, failures, began = Told(), 0, time.monotonic()
    for job, seed, count in _lives(arguments, arguments.events, arguments.life, JOBS_AS_OFTEN):
        try:
            live(job, seed, count, told)
        except Failed as failed:
            failures += 1
            _tell(job, seed, failed)
        done = sum(told.events.values())
        print(f"{job:<10} life {seed:<8} {done:>8,} events {time.monotonic() - began:7.0f} s", flush=True)
    if arguments.events:
        print(told)
    return failures


def _in_terminals(arguments: argparse.Namespace) -> int:
    told, failures = RealTold(), 0
    for job, seed, count in _lives(arguments, arguments.real, REAL_LIFE, IN_TERMINAL):
        failures += _told(lambda: live_for_real(job, seed, count, told))  # noqa: B023
        print(f"{job:<10} life {seed:<8} {sum(told.events.values()):>8,} events in a terminal", flush=True)
    if arguments.real:
        print(told, flush=True)
    return failures


def _by_lines(arguments: argparse.Namespace) -> int:
    told, failures = PlainTold(), 0
    for job, seed, count in _lives(arguments, arguments.lines, LINES_LIFE, IN_TERMINAL):
        failures += _told(lambda: live_by_lines(job, seed, count, told))  # noqa: B023
        failures += _told(lambda: pipe_bytes(job, seed, PIPES, told))  # noqa: B023
    if arguments.lines:
        print(told, flush=True)
    return failures


def _told(life: Callable[[], None]) -> bool:
    """Whether a life failed; what is known of it is printed."""
    try:
        life()
    except Exception as error:
        traceback.print_exception(error)
        print("", flush=True)
        return True
    return False


def _tell(job: str, seed: str, failed: Failed) -> None:
    print(f"\nFAILED: job {job}, seed {seed}, step {len(failed.events)}: {failed}")
    traceback.print_exception(failed.error)
    print(failed.screen)
    print(f"the last {LAST} events:", *map(str, failed.events[-LAST:]), sep="\n  ")
    fewer = cut_down(job, failed)
    print(f"{len(fewer)} events bring it about as well:", *map(str, fewer[-LAST:]), sep="\n  ", flush=True)


if __name__ == "__main__":
    sys.exit(main())
