"""All benchmarks by one command, into one table.

    python -m tests.bench [--quick] [--only NAME …]

Each runs in a process of its own, one after the other, in the order of the table; what it says besides goes to the
error stream. All of them take the better part of an hour on two cores, `--quick` a few minutes: small jobs, whose
figures are for a look and not for quoting. Exit status 1: something asked for is missed.
"""

from __future__ import annotations

import argparse
import os
import platform
import sys
from concurrent.futures import ProcessPoolExecutor
from datetime import UTC, datetime
from multiprocessing import get_context

from tests.bench.figure import Figure, measured, table

BENCHES = {
    "append": "tests.bench.log.append",
    "read": "tests.bench.log.read",
    "opening": "tests.bench.log.opening",
    "growth": "tests.bench.growth",
    "start": "tests.bench.screen.start",
    "keys": "tests.bench.screen.keys",
    "bytes": "tests.bench.bytes",
    "history": "tests.bench.history",
    "against paper": "tests.bench.against_paper.__main__",
    "paper": "tests.bench.paper",
    "instrument": "tests.bench.instrument",
    "sight": "tests.bench.sight",
    "movement": "tests.bench.movement",
    "chords": "tests.bench.ten_chords",
    "misreading": "tests.bench.of_misreading",
}


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--quick", action="store_true", help="small jobs, for a look")
    parser.add_argument(
        "--only", nargs="+", choices=BENCHES, default=[*BENCHES], metavar="NAME", help=" ".join(BENCHES)
    )
    asked = parser.parse_args()
    found: list[tuple[str, Figure]] = []
    for name in asked.only:
        print(f"{name} ...", file=sys.stderr, flush=True)
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as process:
            found += [(name, figure) for figure in process.submit(measured, BENCHES[name], asked.quick).result()]
    load = f", load {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else ""
    system = (
        f"Python {platform.python_version()}, {platform.system()} {platform.machine()}, {os.cpu_count()} cores{load}"
    )
    print(f"{datetime.now(UTC):%Y-%m-%d}, {system}{', quick' if asked.quick else ''}\n")
    print("\n".join(table(found)))
    return int(not all(figure.holds for _, figure in found))


if __name__ == "__main__":
    sys.exit(main())
