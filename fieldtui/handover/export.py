"""`export ROUTE --to csv|xlsx|ags|parquet`: the job as files that other systems take.

    Job ──► sheets ──► csv, xlsx, parquet
       └──────────────► ags

What a form needs is loaded when it is asked for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from fieldtui.handover.columns import Sheet
from fieldtui.handover.latest import latest
from fieldtui.handover.notes import notes
from fieldtui.handover.progress import Progress
from fieldtui.handover.readings import readings
from fieldtui.handover.things import Instruments, calibrations, chords, instruments, stations
from fieldtui.job import Job

DONE, ATTENTION = 0, 1


@dataclass(frozen=True)
class Export:
    """What is exported, and how."""

    job: Job
    path: Path
    today: datetime
    """Borne by an export of a job without any reading, else the time of its last one is."""
    progress: Progress
    spelt_out: bool = False
    """Signs that the form does not have are spelt out; else a text with one is refused."""

    @property
    def made(self) -> datetime:
        """The date that the export bears: same logs, same bytes."""
        times = [row.booked.time for row in self.job.history()]
        return max(times, default=self.today)


@dataclass(frozen=True)
class Form:
    """One kind of export: what is added to the route's name, and what writes it and tells what was written."""

    ending: str
    save: Callable[[Export], str]


def sheets_of(job: Job) -> list[Sheet]:
    """All tables of a job. Practice surveys are left out."""
    versions = Instruments.of(job)
    booked = readings(job, versions)
    read = {(str(row["station"]), str(row["chord"])) for row in booked.rows if row.get("station")}
    tables = [booked, chords(job.route, read), stations(job.route), instruments(versions), notes(job)]
    holes = calibrations(versions)
    return tables if holes is None else [*tables, holes]


def _csv(export: Export) -> str:
    from fieldtui.handover.package import save_csv

    sheets = sheets_of(export.job)
    save_csv(export.path, export.job.route, sheets, export.progress)
    return _rows(sheets)


def _xlsx(export: Export) -> str:
    from fieldtui.handover.workbook import save_workbook

    booked, *others = sheets_of(export.job)
    sheets = [latest(export.job.route, booked), booked, *others]
    save_workbook(export.path, export.job.route, sheets, export.made, export.progress)
    return _rows(sheets)


def _ags(export: Export) -> str:
    from fieldtui.handover.ags import save_ags

    rows = save_ags(export.path, export.job, export.made, export.progress, spelt_out=export.spelt_out)
    return f"AGS4, {', '.join(f'{rows.get(group, 0)} {group}' for group in ('LOCA', 'MONG', 'MOND'))}"


FORMS = {"csv": Form("-csv", _csv), "xlsx": Form(".xlsx", _xlsx), "ags": Form(".ags", _ags)}


def export(
    to: str,
    job: Job,
    out: Path | None,
    write: Callable[[str], None],
    *,
    today: datetime,
    progress: Progress,
    spelt_out: bool = False,
) -> int:
    """The command: write the export and say where it is. Gives the exit status: 1 where a log is damaged."""
    form = FORMS[to]
    path = out or _beside_the_route(job, form.ending)
    progress("working out the figures", 0, 0)
    told = form.save(Export(job, path, today, progress, spelt_out))
    write(f"{path}: {told}.")
    for problem in job.problems:
        write(f"! {problem}")
    return ATTENTION if job.problems else DONE


def _beside_the_route(job: Job, ending: str) -> Path:
    path = job.route.path or job.folder
    return path.parent / f"{path.stem}{ending}"


def _rows(sheets: list[Sheet]) -> str:
    return ", ".join(f"{len(sheet.rows)} {sheet.name}" for sheet in sheets)
