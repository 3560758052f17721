"""`export ROUTE --to csv`: the job as a folder of tables that other systems take."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from fieldtui.handover.columns import Sheet
from fieldtui.handover.notes import notes
from fieldtui.handover.package import save_package
from fieldtui.handover.readings import readings
from fieldtui.handover.things import Instruments, calibrations, chords, instruments, stations
from fieldtui.job import Job

DONE, ATTENTION = 0, 1


def csv_sheets(job: Job) -> list[Sheet]:
    """All tables of a job. Practice surveys are left out."""
    versions = Instruments.of(job)
    booked = readings(job, versions)
    read = {(str(row["station"]), str(row["chord"])) for row in booked.rows if row.get("station")}
    tables = [booked, chords(job.route, read), stations(job.route), instruments(versions), notes(job)]
    holes = calibrations(versions)
    return tables if holes is None else [*tables, holes]


def export_csv(job: Job, folder: Path, write: Callable[[str], None]) -> int:
    """The command: write the tables and say where they are. Gives the exit status: 1 where a log is damaged."""
    sheets = csv_sheets(job)
    save_package(folder, job.route, sheets)
    counted = ", ".join(f"{len(sheet.rows)} {sheet.name}" for sheet in sheets)
    write(f"{folder}: {counted}.")
    for problem in job.problems:
        write(f"! {problem}")
    return ATTENTION if job.problems else DONE


def default_folder(job: Job) -> Path:
    """Beside the route file, named after it."""
    path = job.route.path or job.folder
    return path.parent / f"{path.stem}-csv"
