"""What journals declare, as a report tells it: strikes in words, and what came later and changes nothing in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fieldtui.handover.report.scope import Scope
from fieldtui.job import Job
from fieldtui.job.forms_declared import struck_words
from fieldtui.job.journal import is_journal
from fieldtui.log import Record
from fieldtui.survey import Place, read_time

_OF_ITS_TIME = ("note", "construction", "care", "call")
"""Tellings stand beside the level that they are of, each with its own time."""


def strikes(job: Job) -> Mapping[Place, str]:
    """Strikes of the journals in words, by where they stand: which entry, and what stands instead."""
    entries = struck_words(job)
    found = {}
    for place, record in _records(job):
        if (of := _struck(record)) is not None:
            entry = entries.get(of) or f"record {of[1]} of log {of[0][:8]}"
            done = f"set right to {record.data['typed']}" if "typed" in record.data else "struck out"
            found[place] = f"{entry}: {done} ({record.data.get('reason', '')})"
    return found


def without_bearing(scope: Scope) -> frozenset[Place]:
    """Records written after the report's time that change nothing of what stands in it."""
    entries = struck_words(scope.job)
    journals = {place[0] for place, _ in _records(scope.job)}
    return frozenset(
        place
        for place, record in _records(scope.job)
        if read_time(record.at) > scope.as_of and not _bears(record, scope, entries, journals)
    )


def _bears(record: Record, scope: Scope, entries: Mapping[Place, str], journals: set[str]) -> bool:
    if record.kind in _OF_ITS_TIME:
        return False
    struck = _struck(record)
    if struck is not None:
        return struck in entries or struck[0] in journals
    times = [read_time(record.data[key]) for key in ("at", "since") if record.data.get(key)]
    return not times or min(times) <= scope.as_of


def _records(job: Job) -> Iterator[tuple[Place, Record]]:
    for log in job.logs.logs:
        if is_journal(log):
            yield from (((log.id, record.seq), record) for record in log.records)


def _struck(record: Record) -> Place | None:
    log, seq = record.data.get("log"), record.data.get("seq")
    return (log, seq) if record.kind == "struck" and isinstance(log, str) and isinstance(seq, int) else None
