"""`import ROUTE CSV`: what the spreadsheet in use so far holds, taken over into the job's logs.

Lengths become one log of records `earlier`; rows of raw figures are booked as a booking sheet is. A row that was taken
over already adds nothing and says where it stands.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.counted import counted
from fieldtui.errors import FieldError
from fieldtui.job import SURVEY, Job, load_job, route_record, system_clock
from fieldtui.job.closing import closing_data
from fieldtui.job.walk import Clock
from fieldtui.log import LogWriter, heads
from fieldtui.paper.answer import Answer, as_json, refused, words
from fieldtui.paper.book import ATTENTION, DONE, book_table
from fieldtui.paper.entries import SHEET, Entry
from fieldtui.paper.plan import zone_of
from fieldtui.paper.rows import OPTIONAL, REQUIRED, BadRow
from fieldtui.paper.standing import Place
from fieldtui.paper.table import Line, Table, read_sheet
from fieldtui.paper.takeover import NEEDED, WANTED, Earlier, marked, read_earlier
from fieldtui.paper.warning import of_time
from fieldtui.paper.writing import drafts
from fieldtui.printable import one_line
from fieldtui.route import ChordKey, line_of
from fieldtui.survey import State, fold, number
from fieldtui.survey.times import stamp

Write = Callable[[str], None]
_Key = tuple[str, str, str, str, str, str]


class Taken(Struct, frozen=True):
    """An answer to every row of the spreadsheet, in its order."""

    answers: tuple[Answer, ...]

    @property
    def status(self) -> int:
        return ATTENTION if any(answer.attention for answer in self.answers) else DONE


def take_over(job: Job, path: Path, write: Write, *, as_lines: bool = False, clock: Clock = system_clock) -> int:
    """The command: take a spreadsheet over and say what came of every row. Gives the exit status.

    `SheetRefused` where it cannot be read; then nothing was taken over.
    """
    sheet = read_sheet(path, NEEDED, WANTED)
    taken = take_table(job, sheet, clock=clock)
    for answer in taken.answers:
        if as_lines:
            write(json.dumps(as_json(answer, job.route), ensure_ascii=False))
        else:
            told = "; ".join(words(answer, sheet.name))
            place = " ".join(part for part in (answer.time, answer.station, answer.chord) if part)
            write(f"{answer.line:>5}  {place}  {answer.done}{f'; {told}' if told else ''}")
    if not as_lines:
        counts = [(done, sum(1 for one in taken.answers if one.done == done)) for done in _DONE]
        told = ", ".join(f"{count} {done}" for done, count in counts if count) or "none"
        write(f"{counted(len(taken.answers), 'row')}: {told}.")
    return taken.status


_DONE = ("booked", "already booked", "not booked")


def take_table(job: Job, sheet: Table, *, clock: Clock = system_clock) -> Taken:
    """Take over a spreadsheet that has been read: lengths first, then raw figures."""
    zone = zone_of(job.route)
    read = [read_earlier(line, job.route, zone) for line in sheet.lines]
    answers = [refused(one) for one in read if isinstance(one, BadRow)]
    lengths = sorted((one for one in read if isinstance(one, Earlier)), key=lambda one: (one.time, one.line))
    if lengths:
        answers += _book_lengths(job, lengths, sheet.name, clock)
    raw = tuple(one for one in read if isinstance(one, Line))
    if raw:
        if lengths:
            job = load_job(job.route, job.folder)
        booked = book_table(job, Table(sheet.name, (*REQUIRED, *OPTIONAL), raw), clock=clock).answers
        answers += _held_against_baselines(job, booked, {line.number for line in sheet.lines if marked(line)})
    return Taken(tuple(sorted(answers, key=lambda answer: answer.line)))


def _held_against_baselines(job: Job, booked: Sequence[Answer], lines: Collection[int]) -> Iterator[Answer]:
    """The answers, with a warning to raw figures that are marked as a baseline's and are not of it.

    With what a segment begins is settled by its first sets; a length that is taken over can say so itself.
    """
    of_baseline: set[tuple[ChordKey, datetime]] = set()
    if lines:
        stories = load_job(job.route, job.folder).account.stories.values()
        found = ((story.key, segment) for story in stories for segment in story.segments)
        of_baseline = {(key, past.time) for key, segment in found for past in segment.baseline}
    for one in booked:
        row = one.row
        if one.line in lines and row is not None and ((row.station, row.chord), row.time) not in of_baseline:
            sets = job.route.baseline_sets
            first = "first reading is" if sets == 1 else f"first {sets} readings are"
            told = f"not taken over as the baseline: a chord's {first}; declare another one in the journal"
            yield replace(one, warnings=(*one.warnings, told))
        else:
            yield one


def _book_lengths(job: Job, lengths: Sequence[Earlier], sheet: str, clock: Clock) -> list[Answer]:
    standing = _standing(job)
    new: dict[_Key, Earlier] = {}
    for one in lengths:
        if _key(one) not in standing:
            new.setdefault(_key(one), one)
    problem: FieldError | None = None
    if new:
        try:
            standing.update(_write(job, tuple(new.values()), sheet, clock))
        except FieldError as error:
            problem = error
    now = clock()
    return [_answer(one, one is new.get(_key(one)), standing.get(_key(one)), problem, now) for one in lengths]


def _answer(one: Earlier, is_new: bool, place: Place | None, problem: FieldError | None, now: datetime) -> Answer:
    answer = Answer(
        one.line,
        "",
        one.time_text,
        one.station,
        one.chord,
        "booked" if is_new else "already booked",
        tape=one.tape,
        extensometer=one.extensometer,
        place=place,
        remark=one.remark,
        warnings=tuple(of_time(one.time, now)),
    )
    if place is None and problem is not None:
        where = f"{problem.where}: " if problem.where else ""
        return Answer(
            one.line,
            "",
            one.time_text,
            one.station,
            one.chord,
            "not booked",
            problem=f"{where}{problem.what}",
            todo=problem.todo,
        )
    return answer


def _write(job: Job, lengths: Sequence[Earlier], sheet: str, clock: Clock) -> dict[_Key, Place]:
    """One log of a survey of its own, written whole or not at all."""
    now = clock()
    survey, label = _survey(job, sheet)
    entries = list(_entries(lengths, sheet, job.route.units.small))
    state = fold(drafts(entries, now), "", State())
    closed = ("closed", closing_data(job.route, state, survey, lambda tape, extensometer: None))
    writer = LogWriter.create(
        job.folder,
        survey=survey,
        label=label,
        scope=SURVEY,
        after=heads(job.logs),
        first=[("route", route_record(job.route)), *entries, closed],
        clock=lambda: now,
    )
    writer.close()
    written = [record for record in writer.records if record.kind == "earlier"]
    places = (Place(writer.id, writer.path.name, record.seq) for record in written)
    return {_key(one): place for one, place in zip(lengths, places, strict=True)}


def _survey(job: Job, sheet: str) -> tuple[str, str]:
    """A survey that no other shares: its id, and a label that is not taken."""
    stem = f"earlier lengths, {one_line(Path(sheet).stem)[:50]}"
    taken = {survey.label for survey in job.surveys}
    label = next(
        name for place in range(1, len(taken) + 2) if (name := stem if place == 1 else f"{stem} ({place})") not in taken
    )
    return secrets.token_hex(8), label


def _entries(lengths: Sequence[Earlier], sheet: str, unit: str) -> Iterator[Entry]:
    yield "said", {"what": SHEET, "typed": sheet, "read_at": stamp(lengths[0].time)}
    for one in lengths:
        yield "earlier", _data(one, unit)
    for one in lengths:
        if one.note:
            place = {"station": one.station, "chord": one.chord}
            yield "note", {"text": one.note, **place, "read_at": stamp(one.time)}


def _data(one: Earlier, unit: str) -> Mapping[str, Any]:
    return {
        "station": one.station,
        "chord": one.chord,
        "read_at": stamp(one.time),
        "length": one.length,
        "unit": unit,
        "uncertainty": one.uncertainty,
        "baseline": one.baseline,
        "tape": one.tape,
        "extensometer": one.extensometer,
        "written": one.written,
    }


def _key(one: Earlier) -> _Key:
    """What makes two rows the same length of the same reading."""
    return (
        *line_of((one.station, one.chord)),
        stamp(one.time),
        str(number(one.length).normalize()),
        one.tape,
        one.extensometer,
    )


def _standing(job: Job) -> dict[_Key, Place]:
    """The earlier lengths that were taken over already, and where they stand."""
    found: dict[_Key, Place] = {}
    for log in job.logs.logs:
        for record in log.records:
            if record.kind == "earlier":
                data = record.data
                value = str(number(data["length"]).normalize())
                place = line_of((data["station"], data["chord"]))
                key = (*place, data["read_at"], value, data["tape"], data["extensometer"])
                found.setdefault(key, Place(log.id, log.path.name, record.seq))
    return found
