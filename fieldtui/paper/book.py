"""`book ROUTE SHEET`: a filled booking sheet into the job's logs, and an answer to every row.

    sheet ──► table ──► rows ──► plan ──► judging ──► writing ──► answers, in the order of the sheet
                          └── rows that cannot be booked, with line and what to do

A sheet that cannot be read as a whole is refused before anything is written. Nothing is said to be booked before it is
on the disk.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.counted import counted
from fieldtui.errors import FieldError
from fieldtui.job import Job, system_clock
from fieldtui.job.walk import Clock
from fieldtui.paper.answer import Answer, as_json, refused, table
from fieldtui.paper.before import Before
from fieldtui.paper.entries import entries
from fieldtui.paper.judging import NOTHING, Judged, judge_rows
from fieldtui.paper.plan import Planned, Refused, Sitting, plan, zone_of
from fieldtui.paper.rows import OPTIONAL, REQUIRED, BadRow, Row, read_row
from fieldtui.paper.standing import Place
from fieldtui.paper.table import Table, read_sheet
from fieldtui.paper.warning import of_time, of_twin
from fieldtui.paper.writing import Desk, Written
from fieldtui.survey import FRAME, ZERO, Target

DONE, ATTENTION = 0, 1
Write = Callable[[str], None]


class Booked(Struct, frozen=True):
    """A sheet after booking: an answer to every row, and each survey's log."""

    answers: tuple[Answer, ...]
    logs: tuple[tuple[str, Written], ...]
    """(survey label, what was written)"""

    @property
    def status(self) -> int:
        return ATTENTION if any(answer.attention for answer in self.answers) else DONE


def book(job: Job, path: Path, write: Write, *, as_lines: bool = False, clock: Clock = system_clock) -> int:
    """The command: book a sheet and say what came of every row. Gives the exit status.

    `SheetRefused` where the sheet cannot be read; then nothing was booked.
    """
    sheet = read_sheet(path, REQUIRED, OPTIONAL)
    booked = book_table(job, sheet, clock=clock)
    if as_lines:
        for answer in booked.answers:
            write(json.dumps(as_json(answer, job.route), ensure_ascii=False))
        return booked.status
    for line in table(booked.answers, job.route, sheet.name):
        write(line)
    write("")
    for line in totals(booked):
        write(line)
    return booked.status


def book_table(job: Job, sheet: Table, *, clock: Clock = system_clock) -> Booked:
    """Book a sheet that has been read."""
    zone = zone_of(job.route)
    read = [read_row(line, job.route, zone) for line in sheet.lines]
    sittings, homeless = plan(job, [row for row in read if isinstance(row, Row)])
    answers = {bad.line: refused(bad) for bad in read if isinstance(bad, BadRow)}
    answers |= {one.row.line: _no_place(one) for one in homeless}
    booking = _Booking(job, sheet.name, clock)
    for answer in booking.run(sittings):
        answers[answer.line] = answer
    return Booked(tuple(answers[line] for line in sorted(answers)), tuple(booking.logs))


class _Booking:
    """The rows on their way: judged in order of time, each survey written once its last row is judged."""

    def __init__(self, job: Job, sheet: str, clock: Clock) -> None:
        self.sheet = sheet
        self.logs: list[tuple[str, Written]] = []
        self._before = Before(job)
        self._desk = Desk(job, self._before, clock)
        self._now = clock()
        self._judged: dict[int, Judged] = {}

    def run(self, sittings: Sequence[Sitting]) -> list[Answer]:
        """Judge, write and answer everything. One survey is written while the next is judged: a disk takes its time."""
        left = {sitting.label: len(sitting.planned) for sitting in sittings}
        written: list[tuple[Sitting, Future[Written | FieldError | None]]] = []
        writer = ThreadPoolExecutor(1)
        try:
            for sitting, planned, judged in judge_rows(sittings, self._before):
                self._judged[planned.row.line] = judged
                left[sitting.label] -= 1
                if left[sitting.label] == 0:
                    written.append((sitting, writer.submit(self._write, sitting)))
            return [answer for sitting, future in written for answer in self._answers(sitting, future.result())]
        finally:
            # after Ctrl+C the survey at hand is still written whole, and no other
            writer.shutdown(cancel_futures=True)

    def _write(self, sitting: Sitting) -> Written | FieldError | None:
        """Write a survey's new rows; None where there are none."""
        if not sitting.new:
            return None
        try:
            return self._desk.book(sitting, entries(sitting, self._meaning, self.sheet))
        except FieldError as error:
            return error

    def _meaning(self, planned: Planned) -> Judged:
        return self._judged[planned.row.line]

    def _answers(self, sitting: Sitting, written: Written | FieldError | None) -> list[Answer]:
        places = written.places if isinstance(written, Written) else {}
        failure = written if isinstance(written, FieldError) else None
        if isinstance(written, Written):
            self.logs.append((sitting.label, written))
        proven = is_proven(sitting)
        return [self._answer(planned, proven, places, failure) for planned in sitting.planned]

    def _answer(
        self, planned: Planned, proven: bool, places: Mapping[Target, Place], failure: FieldError | None
    ) -> Answer:
        row = planned.row
        answer = Answer(
            row.line,
            row.survey,
            row.time_text,
            row.station,
            row.written,
            "booked" if planned.new else "already booked",
            row=row,
            tape=planned.tape if row.was_read else "",
            extensometer=planned.extensometer if row.was_read else "",
            judged=self._judged[row.line],
            place=planned.standing.place if planned.standing is not None else places.get(planned.target),
            proven=proven,
            remark=planned.assumed,
            warnings=(*of_time(row.time, self._now), *of_twin(self._judged[row.line].twin)),
        )
        if planned.standing is not None and not planned.counts:
            # what its row says counts no more, and is not held against anything
            return replace(answer, judged=NOTHING, warnings=(), remark=planned.standing.since)
        if failure is not None and planned.standing is None:
            where = f"{failure.where}: " if failure.where else ""
            problem = f"{where}{failure.what.rstrip('.')}"
            todo = failure.todo.rstrip(".") or "book the sheet again"
            return replace(answer, done="not booked", judged=NOTHING, place=None, problem=problem, todo=todo)
        return answer


def _no_place(one: Refused) -> Answer:
    row = one.row
    return Answer(
        row.line,
        row.survey,
        row.time_text,
        row.station,
        row.written,
        "not booked",
        row=row,
        problem=one.what,
        todo=one.todo,
    )


def is_proven(sitting: Sitting) -> bool:
    """Whether the survey, with the sheet's rows, has a dial zero and, where the route has one, the control frame."""
    read = {planned.row.chord for planned in sitting.planned if planned.row.was_read and planned.counts}
    if sitting.existing is not None:
        read |= {target.chord for target, one in sitting.existing.state.bookings.items() if one.was_read}
    return ZERO in read and (FRAME in read or not sitting.route.controls)


def totals(booked: Booked) -> list[str]:
    """How many rows came to what, where they stand, and what is to be looked at."""
    counts = {
        done: sum(1 for one in booked.answers if one.done == done)
        for done in ("booked", "already booked", "not booked")
    }
    told = ", ".join(f"{count} {done}" for done, count in counts.items() if count) or "none"
    lines = [f"{counted(len(booked.answers), 'row')}: {told}."]
    doubtful = sum(1 for one in booked.answers if one.judged.doubtful)
    over = sum(1 for one in booked.answers if one.level in ("above", "cannot tell"))
    warned = sum(1 for one in booked.answers if one.warnings)
    if doubtful:
        lines.append(f"{doubtful} doubtful: read again where it can still be done.")
    if over:
        lines.append(f"{over} at or near a level: tell the people that the route names.")
    if warned:
        lines.append(f"{warned} with a warning: look at the sheet once more.")
    unsure = sum(1 for one in booked.answers if one.hole_unsure)
    if unsure:
        many = counted(unsure, "row")
        lines.append(f"{many}: a hole misread by one would pass for movement. Hold the hole against the field book.")
    unproven = list(dict.fromkeys(one.survey for one in booked.answers if one.proven is False))
    if unproven:
        lines.append(f"Not proven, without dial zero or control frame: {', '.join(unproven)}.")
    for label, written in booked.logs:
        code = (
            f", code for the field book {written.code}" if written.code else ", not closed: it waits to be gone on with"
        )
        lines.append(f"Survey {label}: log {written.file}{code}.")
    return lines
