"""Logs and journals of an invented job, made without a file: a shelf of them gives a job.

A reading is stated by the length that is to come out of it at the tape's reference temperature, in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from typing import Any

from fieldtui.job import SURVEY, Job, route_record
from fieldtui.job.history import Row
from fieldtui.job.job import job_of
from fieldtui.log import FORMAT, LogFile, together
from fieldtui.log.reader import log_of, scan
from fieldtui.log.record import GENESIS, parse, seal
from fieldtui.route import Route, parse_route
from fieldtui.survey import Target, frame_target, zero_target
from harness.jobs import CONTROL, TWO_CHORDS

START = datetime(2031, 5, 4, 6, 0, tzinfo=UTC)
PITCH = Decimal(25)


def stamp(at: datetime) -> str:
    return at.astimezone(UTC).isoformat().replace("+00:00", "Z")


def day(days: float) -> datetime:
    """So many days after the start of the story."""
    return START + timedelta(days=days)


TAPE = TWO_CHORDS[TWO_CHORDS.index("[[tape]]") : TWO_CHORDS.index("[[extensometer]]")]
EXTENSOMETER = TWO_CHORDS[TWO_CHORDS.index("[[extensometer]]") : TWO_CHORDS.index("[[level]]")]
TEXT = (
    TWO_CHORDS.replace("{more}", "")
    + TAPE.replace("T1", "T2")
    + EXTENSOMETER.replace("X1", "X2").replace("D1", "D2")
    + CONTROL
)


def route_with(*changes: tuple[str, str]) -> Route:
    """The route with some texts replaced."""
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return parse_route(text, {}, name="heading.toml")


@dataclass(frozen=True)
class Read:
    """One reading: of a chord by its name, giving a length; or why it was not read."""

    chord: str
    length: str = ""
    station: str = "A"
    temperature: str = "20.0"
    outcome: str = "read"
    reason: str = ""
    tape: str = ""
    after_hours: float | None = None


def entries(read: Read, target: Target, at: datetime) -> Iterable[tuple[str, dict[str, Any]]]:
    """The records of a reading."""
    if not read.length:
        yield "unread", {**target.data(), "outcome": read.outcome, "note": read.reason, "read_at": stamp(at)}
        return
    length = Decimal(read.length)
    hole = int((length - 12) // PITCH)
    dial = str(length - hole * PITCH)
    figures = {"hole": str(hole), "dial_1": dial, "dial_2": dial, "dial_3": dial, "temperature": read.temperature}
    for slot, typed in figures.items():
        unit = {"hole": "", "temperature": "degC"}.get(slot, "mm")
        yield "figure", {**target.data(), "slot": slot, "typed": typed, "unit": unit, "read_at": stamp(at)}
    yield "accepted", {**target.data(), "as": read.outcome, "reason": read.reason, "shown": {}, "read_at": stamp(at)}


def log_file(
    name: str, head: Mapping[str, Any], lines: Iterable[tuple[str, Mapping[str, Any]]], at: datetime
) -> LogFile:
    """A whole log as `read_log` would give it."""
    content, h = b"", GENESIS
    for seq, (kind, data) in enumerate([("log", {"format": FORMAT, "after": [], "with": 1, **head}), *lines]):
        line = seal(seq, stamp(at + timedelta(seconds=seq)), kind, dict(data), h)
        content, h = content + line, parse(line[:-1]).h
    return log_of(Path(name), content, *scan(content))


@dataclass
class Shelf:
    """Surveys and journals, put there in any order."""

    route: Route
    logs: list[LogFile] = field(default_factory=list)

    def survey(
        self,
        days: float,
        *reads: Read,
        label: str = "",
        tape: str = "T1",
        extensometer: str = "X1",
        scope: str = SURVEY,
        route: Route | None = None,
        frame: str = "",
        closed: bool = True,
        said: Mapping[str, str] | None = None,
        survey: str = "",
        booked_at: datetime | None = None,
        more: Iterable[tuple[str, Mapping[str, Any]]] = (),
    ) -> LogFile:
        """A survey begun so many days after the start, a reading every five minutes."""
        start = day(days)
        name = label or f"day {days:g} {tape}"
        answers = {"reader": "AB", "recorder": "", "tape": tape, "extensometer": extensometer, "cautions": "seen"}
        lines: list[tuple[str, Mapping[str, Any]]] = [("route", route_record(route or self.route))]
        lines += [("said", {"what": what, "typed": typed, "read_at": stamp(start)}) for what, typed in answers.items()]
        lines += [
            ("said", {"what": what, "typed": typed, "read_at": stamp(start)}) for what, typed in (said or {}).items()
        ]
        zero = {**zero_target("start").data(), "slot": "zero", "typed": "0.00", "unit": "mm", "read_at": stamp(start)}
        lines.append(("figure", zero))
        if frame:
            lines += entries(Read("frame", frame), frame_target("start"), start)
        lines += self._chords(start, reads, tape)
        lines += more
        if closed:
            lines.append(("closed", {}))
        head = {"log": sha256(f"log {name}{survey}".encode()).hexdigest()[:32], "survey": survey or f"id of {name}"}
        log = log_file(f"{name}.jsonl", {**head, "label": name, "scope": scope}, lines, booked_at or start)
        self.logs.append(log)
        return log

    def _chords(self, start: datetime, reads: Iterable[Read], tape: str) -> Iterable[tuple[str, Mapping[str, Any]]]:
        numbers: dict[tuple[str, str], int] = {}
        using = tape
        for place, read in enumerate(reads):
            at = start + timedelta(minutes=5 * (place + 1))
            if read.after_hours is not None:
                at = start + timedelta(hours=read.after_hours)
            if read.tape and read.tape != using:
                using = read.tape
                yield "said", {"what": "tape", "typed": using, "read_at": stamp(at)}
            key = (read.station, read.chord)
            numbers[key] = numbers.get(key, 0) + 1
            yield from entries(read, Target(*key, numbers[key]), at)

    def journal(self, days: float, *declared: tuple[str, Mapping[str, Any]], by: str = "CD", name: str = "") -> LogFile:
        """A journal written so many days after the start."""
        name = name or f"journal of day {days:g}"
        lines = [("route", route_record(self.route)), *((kind, {"by": by, **data}) for kind, data in declared)]
        head = {"log": sha256(name.encode()).hexdigest()[:32], "survey": name, "label": name, "scope": "journal"}
        log = log_file(f"{name}.jsonl", head, [*lines, ("closed", {})], day(days))
        self.logs.append(log)
        return log

    @property
    def job(self) -> Job:
        return job_of(self.route, Path(), together(self.logs))


def place_of(log: LogFile, slot: str, chord: str = "L-R") -> dict[str, Any]:
    """Log and number of the record of a figure, as an amendment names it."""
    seq = next(one.seq for one in log.records if one.data.get("slot") == slot and one.data.get("chord") == chord)
    return {"log": log.id, "seq": seq}


def rows_of(job: Job, chord: str = "L-R", station: str = "A") -> list[Row]:
    """The history of one chord."""
    return [row for row in job.history() if row.key == (station, chord)]


def moved(job: Job, chord: str = "L-R", station: str = "A") -> list[float | None]:
    """Movement since the baseline, row by row, mm."""
    return [
        None if row.since_baseline is None else float(row.since_baseline.value) for row in rows_of(job, chord, station)
    ]
