"""The log of a survey being walked: begun, taken up again, or gone on with after damage."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from fieldtui.errors import FieldError
from fieldtui.job.job import Job
from fieldtui.job.survey import route_record
from fieldtui.log import LogFile, LogRefused, LogWriter, heads
from fieldtui.survey import KINDS

Clock = Callable[[], datetime]


def system_clock() -> datetime:
    """The time now, in UTC."""
    return datetime.now(UTC)


def new_log(job: Job, clock: Clock, scope: str, label: str | None) -> LogWriter:
    """A new survey's first log, with the route as its file stands. Errors: those of `LogWriter.create`.

    `FieldError` where the route file could not be read and the job stands on the route of an open survey.
    """
    if not job.may_begin:
        raise FieldError("A new survey needs the route file.", todo="Correct it first; fieldtui check names each line.")
    return LogWriter.create(
        job.folder,
        survey=secrets.token_hex(8),
        label=label or new_label(job, clock()),
        scope=scope,
        after=heads(job.logs),
        first=[("route", route_record(job.route))],
        clock=clock,
    )


def reopened(log: LogFile, clock: Clock) -> LogWriter:
    """An unclosed log taken up again. Errors: those of `LogWriter.reopen`."""
    return LogWriter.reopen(log.path, clock=clock, kinds=KINDS)


def after_damage(job: Job, log: LogFile, clock: Clock) -> LogWriter:
    """A new log that goes on after the last whole record of a damaged one, which is left as it is."""
    if log.last is None:
        raise LogRefused("Nothing whole is left in this log.", where=str(log.path), todo="Start a new survey.")
    return LogWriter.create(
        job.folder,
        survey=log.survey,
        label=log.label,
        scope=str(log.head["scope"]),
        after=heads(job.logs),
        first=[("route", dict(log.records[1].data))],
        clock=clock,
        continues={"log": log.id, "seq": log.last.seq, "h": log.last.h},
    )


def new_label(job: Job, now: datetime) -> str:
    """A label that no survey of the job bears: the date in the route's zone, and a number from the second on."""
    date = now.astimezone(ZoneInfo(job.route.time_zone)).date().isoformat()
    taken = {survey.label for survey in job.surveys}
    if date not in taken:
        return date
    return next(label for number in range(2, 10_000) if (label := f"{date} ({number})") not in taken)
