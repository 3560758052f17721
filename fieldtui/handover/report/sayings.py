"""What was said beside the readings: remarks, what was declared between surveys, answers and remarks struck out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from fieldtui.handover.notes import notes
from fieldtui.handover.report.scope import Scope
from fieldtui.handover.report.words import Words
from fieldtui.job import Job
from fieldtui.job.forms_declared import struck_words
from fieldtui.job.journal import is_journal
from fieldtui.survey import Place

OF_ITS_TIME = ("remark", "note", "construction", "care")
"""Left out where it was written after the report's time; any other declaration has changed what stands in it."""


@dataclass(frozen=True, slots=True)
class Saying:
    """One line of the table; `survey` is empty for what was declared between surveys."""

    time: str
    survey: str
    kind: str
    place: str
    text: str
    by: str


def sayings(scope: Scope, words: Words) -> tuple[Saying, ...]:
    """In order of time. Answers to the questions of a survey are left out, but for those that were struck out."""
    found = [*_said(scope, words), *_struck(scope, words)]
    return tuple(one for _, one in sorted(found, key=lambda pair: pair[0]))


def newest_remarks(scope: Scope, words: Words) -> tuple[str, ...]:
    """The remarks of the first page's survey."""
    told = []
    for note in scope.newest.state.notes:
        place = " ".join(part for part in (note.station, note.chord) if part)
        told.append(f"{place}: {note.text}" if place else note.text)
    return tuple(told)


def _said(scope: Scope, words: Words) -> Iterator[tuple[datetime, Saying]]:
    struck = dict(_strikes(scope.job))
    own = scope.job.labels[scope.newest.id]
    for row in notes(scope.job).rows:
        at = row["time"]
        if row["kind"] == "answer" or not isinstance(at, datetime):
            continue
        if at > scope.as_of and row["kind"] in OF_ITS_TIME:
            continue
        label = str(row.get("survey") or "")
        if (scope.alone and label not in ("", own)) or (scope.since is not None and at < scope.since):
            continue
        place = " ".join(str(row[name]) for name in ("station", "chord") if row.get(name))
        by = str(row.get("by") or "")
        text = struck.get((str(row["log"]), int(str(row["seq"]))), str(row["text"] or ""))
        yield at, Saying(words.time(at), label, str(row["kind"]), place, text, by)


def _strikes(job: Job) -> Iterator[tuple[Place, str]]:
    """Strikes of the journals in words, by where they stand: which entry, and what stands instead."""
    entries = struck_words(job)
    for log in job.logs.logs:
        for record in log.records if is_journal(log) else ():
            data = record.data
            if record.kind == "struck" and isinstance(data.get("log"), str) and isinstance(data.get("seq"), int):
                place = (data["log"], data["seq"])
                entry = entries.get(place) or f"record {place[1]} of log {place[0][:8]}"
                done = f"set right to {data['typed']}" if "typed" in data else "struck out"
                yield (log.id, record.seq), f"{entry}: {done} ({data.get('reason', '')})"


def _struck(scope: Scope, words: Words) -> Iterator[tuple[datetime, Saying]]:
    for survey in scope.job.counting:
        label = scope.job.labels[survey.id]
        for one in survey.state.struck:
            at = one.entry.read_at
            if (
                at > scope.as_of
                or (scope.alone and survey.id != scope.newest.id)
                or (scope.since is not None and at < scope.since)
            ):
                continue
            instead = f", set right to {one.by.typed}" if one.by is not None else ""
            text = f"{one.entry.typed}{instead} ({one.reason})" if one.reason else f"{one.entry.typed}{instead}"
            yield at, Saying(words.time(at), label, f"struck out: {one.slot}", "", text, one.who)
