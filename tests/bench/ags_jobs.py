"""The demo job and 200 jobs of hostile texts as AGS4 files: `python -m tests.bench.ags_jobs FOLDER [JOBS]`.

Jobs with an even seed have Latin letters only and are exported as they are; the others are spelt out.
"""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from fieldtui.demo import open_or_lay_demo
from fieldtui.handover.ags import save_ags
from fieldtui.handover.part import Part
from fieldtui.job import load_job, logs_folder
from fieldtui.progress import silent
from fieldtui.route import load_route
from harness.hostile import hostile_job

JOBS = 200
TODAY = datetime(2031, 6, 1, tzinfo=UTC)


def main(folder: Path, jobs: int = JOBS) -> None:
    """Lay the jobs and export each; say how much it was."""
    files = folder / "ags"
    files.mkdir(parents=True)
    demo, _ = open_or_lay_demo(folder / "demo", TODAY)
    rows = _export(demo, files / "demo.ags", spelt_out=False)
    for seed in range(jobs):
        beyond = seed % 2 == 1
        path = hostile_job(folder / "jobs" / str(seed), seed, beyond=beyond)
        rows += _export(path, files / f"{seed:03}.ags", spelt_out=beyond)
    print(f"{jobs + 1} jobs exported, {rows} rows in MOND")


def _export(path: Path, out: Path, *, spelt_out: bool) -> int:
    route = load_route(path)
    job = load_job(route, logs_folder(route))
    return save_ags(out, Part(job), TODAY, silent, spelt_out=spelt_out).get("MOND", 0)


if __name__ == "__main__":
    main(Path(sys.argv[1]), *map(int, sys.argv[2:]))
