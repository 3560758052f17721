"""What was said beside the readings: remarks, what was declared between surveys, answers and remarks struck out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from msgspec import Struct

from fieldtui.handover.notes import notes
from fieldtui.handover.report.declared import strikes, without_bearing
from fieldtui.handover.report.scope import Scope
from fieldtui.handover.report.words import Words


class Saying(Struct, frozen=True):
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
    struck, left_out = strikes(scope.job), without_bearing(scope)
    own = scope.job.labels[scope.newest.id]
    for row in notes(scope.job).rows:
        at = row["time"]
        if row["kind"] == "answer" or not isinstance(at, datetime):
            continue
        written = (str(row["log"]), int(str(row["seq"])))
        if written in left_out or (at > scope.as_of and row["kind"] == "remark"):
            continue
        label = str(row.get("survey") or "")
        if (scope.alone and label not in ("", own)) or (scope.since is not None and at < scope.since):
            continue
        place = " ".join(str(row[name]) for name in ("station", "chord") if row.get(name))
        by = str(row.get("by") or "")
        text = struck.get(written, str(row["text"] or ""))
        yield at, Saying(words.time(at), label, str(row["kind"]), place, text, by)


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
