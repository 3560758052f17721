"""The monkey by one command, from the project's root:

    python -m tests.monkey [--events 100000] [--real 3000] [--seed 1] [--job NAME]

Prints what happened, by kind, and what was reached. Exit status 1 where something did not hold.
"""

from __future__ import annotations

import argparse
import sys
import time
import traceback
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1])]

from tests.monkey.jobs import JOBS  # noqa: E402
from tests.monkey.run import LAST, Failed, Told, cut_down, live  # noqa: E402

LIFE = 2_500
"""Events of one life."""
WEIGHTS = {"small": 3, "adit": 3, "two tapes": 3, "us-cavern": 2, "highway": 2, "laid": 2, "demo": 1}


def main() -> int:
    """Run lives until there were so many events."""
    parser = argparse.ArgumentParser(prog="python -m tests.monkey", description=__doc__)
    parser.add_argument("--events", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--job", choices=tuple(JOBS))
    parser.add_argument("--real", type=int, default=3_000, help="of them so many in a real terminal")
    parser.add_argument("--life", type=int, default=LIFE)
    arguments = parser.parse_args()
    jobs = [arguments.job] if arguments.job else [job for turn in range(3) for job, w in WEIGHTS.items() if turn < w]
    told, failures, began = Told(), 0, time.monotonic()
    lives = -(-arguments.events // arguments.life)
    for number in range(lives):
        job, seed = jobs[number % len(jobs)], f"{arguments.seed}-{number}"
        try:
            live(job, seed, min(arguments.life, arguments.events - number * arguments.life), told)
        except Failed as failed:
            failures += 1
            _tell(job, seed, failed)
        done = sum(told.events.values())
        print(f"{job:<10} life {seed:<8} {done:>8,} events {time.monotonic() - began:7.0f} s", flush=True)
    print(f"\n{sum(told.events.values()):,} events in {lives} lives, {time.monotonic() - began:.0f} s:")
    print(", ".join(f"{kind} {count:,}" for kind, count in told.events.most_common()))
    print(
        f"{told.looked:,} looks at disk and screen, {told.compared:,} pages compared with a fresh start; "
        f"{told.entries:,} entries in the logs, {told.surveys} of them closed"
    )
    print(told.visited)
    print(f"failures: {failures}")
    return 1 if failures else 0


def _tell(job: str, seed: str, failed: Failed) -> None:
    print(f"\nFAILED: job {job}, seed {seed}, step {len(failed.events)}: {failed}")
    traceback.print_exception(failed.error)
    print(failed.screen)
    print(f"the last {LAST} events:", *(str(event) for event in failed.events[-LAST:]), sep="\n  ")
    fewer = cut_down(job, failed)
    print(
        f"{len(fewer)} events bring it about as well:", *(str(event) for event in fewer[-LAST:]), sep="\n  ", flush=True
    )


if __name__ == "__main__":
    sys.exit(main())
