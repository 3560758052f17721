"""The logs that a report rests on, each with the short code of its head: what `verify --code` answers to."""

from __future__ import annotations

from msgspec import Struct

from fieldtui.handover.report.scope import Scope
from fieldtui.handover.report.words import NONE, Words
from fieldtui.log import LogFile
from fieldtui.log.shortcode import short_code
from fieldtui.survey import read_time


class Head(Struct, frozen=True):
    """One log. `records` counts from 1."""

    file: str
    label: str
    begun: str
    records: str
    code: str
    state: str


def heads(scope: Scope, words: Words) -> tuple[Head, ...]:
    """Every log of the surveys of the report, and the journals, in order of their names."""
    labels = {log.id: scope.job.labels[one.id] for one in scope.job.counting for log in one.logs}
    closed = {log.id for one in scope.job.counting if one.state.closed for log in one.logs}
    found = []
    for log in scope.job.logs.logs:
        if log.head.get("scope") == "journal":
            found.append(_head(log, "journal", "added to", words))
        elif log.id in labels:
            found.append(_head(log, labels[log.id], "closed" if log.id in closed else "open", words))
    return tuple(found)


def _head(log: LogFile, label: str, state: str, words: Words) -> Head:
    if log.last is None:
        return Head(log.path.name, label, words.time(read_time(log.created)), "0", NONE, state)
    code, damaged = short_code(log.last.h), ", damaged" if log.problems else ""
    begun = words.time(read_time(log.created))
    return Head(log.path.name, label, begun, str(log.last.seq + 1), code, state + damaged)
