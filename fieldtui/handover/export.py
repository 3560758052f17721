"""`export ROUTE --to csv|xlsx|ags|parquet`: the job as files that other systems take.

    Job ──► sheets ──► csv, xlsx, parquet
       └──────────────► ags

What a form needs is loaded when it is asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

from msgspec import Struct

from fieldtui.errors import FieldError
from fieldtui.handover.columns import Sheet
from fieldtui.handover.latest import latest
from fieldtui.handover.notes import notes
from fieldtui.handover.part import Part
from fieldtui.handover.readings import readings
from fieldtui.handover.texts import visible
from fieldtui.handover.things import Instruments, calibrations, chords, instruments, stations
from fieldtui.job import Job
from fieldtui.progress import Progress

DONE, ATTENTION = 0, 1


class Export(Struct, frozen=True):
    """What is exported, and how."""

    part: Part
    path: Path
    progress: Progress
    spelt_out: bool = False
    """Signs that the form does not have are spelt out; else a text with one is refused."""


class Form(Struct, frozen=True):
    """One kind of export: what is added to the route's name, and what writes it and tells what was written."""

    ending: str
    save: Callable[[Export], str]
    is_called: str
    """What is written, in words."""
    suffixes: frozenset[str]
    """Of `_SUFFIXES` those that a name may end in."""


def sheets_of(part: Part, progress: Progress) -> list[Sheet]:
    """All tables of a job: the newest readings, then all of them, chords, stations, instruments, notes.

    Practice surveys are left out.
    """
    job = part.job
    versions = Instruments.of(job)
    booked = readings(job, versions, progress)
    read = {(str(row["station"]), str(row["chord"])) for row in booked.rows if row.get("station")}
    things = [chords(job.route, read), stations(job.route), instruments(versions)]
    tables = [latest(job.route, booked), part.of(booked), *things, part.of(notes(job))]
    holes = calibrations(versions)
    return tables if holes is None else [*tables, holes]


_ZIP_BEGINS = datetime(1980, 1, 1, tzinfo=UTC)
"""The first date that a packed file can bear: that of a workbook in which nothing was read yet."""


def _csv(export: Export) -> str:
    from fieldtui.handover.package import save_csv

    # how things stand follows from the readings: left to whoever reads the tables
    _, *sheets = sheets_of(export.part, export.progress)
    save_csv(export.path, export.part.job.route, sheets, export.progress)
    return _rows(sheets)


def _xlsx(export: Export) -> str:
    from fieldtui.handover.workbook import save_workbook

    sheets = sheets_of(export.part, export.progress)
    # never the clock's: the bytes would differ, and a workbook saved within the same second would pass for ours
    made = export.part.made() or _ZIP_BEGINS
    save_workbook(export.path, export.part.job.route, sheets, made, export.progress)
    return _rows(sheets)


def _ags(export: Export) -> str:
    from fieldtui.handover.ags import save_ags

    made = export.part.made()
    if made is None:
        raise FieldError(
            "Nothing was entered yet, so there is no date for this file to bear.",
            where=str(export.path),
            todo="Name the day it stands for with --as-of.",
        )
    rows = save_ags(export.path, export.part, made, export.progress, spelt_out=export.spelt_out)
    return f"AGS4, {', '.join(f'{rows.get(group, 0)} {group}' for group in ('LOCA', 'MONG', 'MOND'))}"


def _parquet(export: Export) -> str:
    from fieldtui.handover.dataset import save_dataset

    _, *sheets = sheets_of(export.part, export.progress)
    save_dataset(export.path, export.part.job.route, sheets, export.progress)
    return _rows(sheets)


_SUFFIXES = frozenset({".csv", ".xlsx", ".ags", ".parquet", ".html", ".txt", ".zip", ".pdf"})
"""Endings that say what a file is: what is called by a wrong one opens nowhere."""
_NONE: frozenset[str] = frozenset()
FORMS = {
    "csv": Form("-csv", _csv, "a folder of tables", _NONE),
    "xlsx": Form(".xlsx", _xlsx, "a workbook", frozenset({".xlsx"})),
    "ags": Form(".ags", _ags, "an AGS4 file", frozenset({".ags"})),
    "parquet": Form("-parquet", _parquet, "a folder of tables", frozenset({".parquet"})),
}


def export(
    to: str,
    part: Part,
    out: Path | None,
    write: Callable[[str], None],
    *,
    progress: Progress,
    spelt_out: bool = False,
) -> int:
    """The command: write the export and say where it is. The exit status: 1 where a log is damaged or there is none."""
    form, job = FORMS[to], part.job
    path = out or _beside_the_route(job, form.ending)
    _refuse_misnamed(form, to, path)
    _work_out(job, progress)
    told = form.save(Export(part, path, progress, spelt_out))
    write(visible(f"{path}: {told}."))
    lacking = (*job.problems, *_unread(job))
    for problem in lacking:
        write(visible(f"! {problem}"))
    return ATTENTION if lacking else DONE


def _unread(job: Job) -> Iterator[str]:
    """That there is not one log: an export of no readings is soon handed over for one of all."""
    if not job.logs.logs:
        there = f"no log in {job.folder}" if job.folder.is_dir() else f"no folder of logs {job.folder}"
        yield f"There is {there}: no reading is in this export."


def _refuse_misnamed(form: Form, to: str, path: Path) -> None:
    suffix = path.suffix.lower()
    if suffix in _SUFFIXES - form.suffixes:
        right = path.stem + (form.ending if form.suffixes and form.ending.startswith(".") else "")
        raise FieldError(
            f"--to {to} makes {form.is_called}, and a name that ends in {suffix} says something else.",
            where=str(path),
            todo=f"Call it {right}, for one.",
        )


def _work_out(job: Job, progress: Progress) -> None:
    """Chord by chord, before they are asked for all at once: most of the work, so that it is told how far it is."""
    progress("working out the figures", 0, 0)
    stories = job.account.stories
    for place, key in enumerate(stories.under):
        progress("working out the figures", place, len(stories.under))
        stories.get(key)


def _beside_the_route(job: Job, ending: str) -> Path:
    path = job.route.path or job.folder
    return path.parent / f"{path.stem}{ending}"


def _rows(sheets: list[Sheet]) -> str:
    return ", ".join(f"{len(sheet.rows)} {sheet.name}" for sheet in sheets)
