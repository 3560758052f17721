"""What a report is of: the time it holds for, the readings that its tables list, and how far it was checked.

    Job, --survey | --since, --as-of ── scope_of ──► Scope: the job as it had been read by then

What was read or said in a survey after that time is left out. What was declared or told since stands, each with its
own date.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime, time, timedelta
from typing import Literal, TypedDict
from zoneinfo import ZoneInfo

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.errors import FieldError
from fieldtui.job import Job, Survey
from fieldtui.job.history import Row
from fieldtui.job.journal import is_journal
from fieldtui.survey import Booking, Entry, EntryRefused, State, read_time
from fieldtui.survey.times import reading_time

Status = Literal["raw", "checked", "issued"]


class Scope(Struct, frozen=True):
    """`job` holds what had been read by `as_of`, UTC. `newest` is the survey that the first page speaks of."""

    job: Job
    as_of: datetime
    newest: Survey
    since: datetime | None = None
    alone: bool = False
    """The tables list the survey `newest` and no other."""
    status: Status = "raw"
    by: str = ""

    def lists(self, row: Row) -> bool:
        """Whether the tables list a booking. Figures are drawn of all readings, whatever the tables list."""
        if self.alone:
            return row.booked.survey == self.newest.id
        return self.since is None or row.booked.time >= self.since


def scope_of(
    job: Job, survey: str = "", since: str = "", as_of: str = "", status: Status = "raw", by: str = ""
) -> Scope:
    """`FieldError` where nothing was read, or by then, for a survey that is not there and a time that is none."""
    if status != "raw" and not by.strip():
        raise FieldError("Nobody is named for it.", where=f"--status {status}", todo="Name who did it with --by.")
    if status == "raw" and by.strip():
        todo = "Say --status checked or --status issued with it."
        raise FieldError(f"{by.strip()} is named, and not for what.", where="--by", todo=todo)
    if not job.history():
        todo = "Walk a survey, or book a sheet, and ask again."
        raise FieldError(
            "Nothing was read on this route yet: there is nothing to report.", where=job.route.name, todo=todo
        )
    zone = ZoneInfo(job.route.time_zone)
    end = moment(as_of, zone, "--as-of", end_of_day=True) if as_of else None
    if survey:
        own = _survey(job, survey)
        last = max(_times(own), default=own.started)
        end = min(end, last) if end is not None else last
    end = end or last_entry(job) or job.counting[-1].started
    cut = until(job, end)
    if not cut.history():
        raise FieldError(f"Nothing had been read by {as_of or survey}.", where="--as-of", todo="Name a later time.")
    begin = moment(since, zone, "--since") if since else None
    refuse_turned_round(begin, end, since)
    newest = next((one for one in cut.counting if one.id == own.id), None) if survey else cut.counting[-1]
    if newest is None:
        todo = "Name a later time, or leave out --survey or --as-of."
        raise FieldError(f"Survey {survey} had not begun by {as_of}.", where="--as-of", todo=todo)
    return Scope(cut, end, newest, begin, bool(survey), status, by.strip())


def refuse_turned_round(begin: datetime | None, end: datetime | None, since: str) -> None:
    """`FieldError` where a part of a job would begin after its end."""
    if begin is not None and end is not None and begin > end:
        what = f"Nothing lies between {since} and {end:%Y-%m-%d %H:%M} UTC, its end."
        raise FieldError(what, where="--since", todo="Name an earlier time, or look at --as-of.")


def refuse_what_has_not_come(job: Job, as_of: str, now: datetime) -> None:
    """`FieldError` for a report or an export of a time that is ahead of `now` and of all that was read."""
    last = last_entry(job)
    if as_of and last is not None and moment(as_of, ZoneInfo(job.route.time_zone), "--as-of") > max(now, last):
        todo = "Look at the year, or leave --as-of out: then it holds for the last entry."
        raise FieldError(f"{as_of} has not come yet.", where="--as-of", todo=todo)


def last_entry(job: Job) -> datetime | None:
    """When something was read, remarked, answered or declared last; None where nothing was.

    The control frame is read after the last chord, and a remark or the journal may be written after both.
    """
    return max([*(at for one in job.counting for at in _times(one)), *_declared(job)], default=None)


def until(job: Job, at: datetime) -> Job:
    """The job with what had been read by a time. A survey that went on after it is open again."""
    cut = tuple(_cut(one, at) for one in job.surveys if one.started <= at)
    same = len(cut) == len(job.surveys) and all(one is other for one, other in zip(cut, job.surveys, strict=True))
    # the same job has its history worked out already
    return job if same else replace(job, surveys=cut)


def _cut(survey: Survey, at: datetime) -> Survey:
    state = survey.state
    kept = {target: one for target, one in state.bookings.items() if (read := _time(one)) is None or read <= at}
    notes = tuple(note for note in state.notes if note.entry.read_at <= at)
    cut = replace(state, bookings=kept, notes=notes, **_answered(state, at))
    if cut == state:
        return survey
    # where only words came after it, the survey was as good as closed: all of its readings are there
    return replace(survey, state=replace(cut, closed=state.closed and len(kept) == len(state.bookings)))


class _Answers(TypedDict):
    said: Mapping[str, Entry]
    said_before: Mapping[str, tuple[Entry, ...]]


def _answered(state: State, at: datetime) -> _Answers:
    """What had been answered by a time: an answer given later takes the place of none."""
    told = {
        what: [one for one in (*state.said_before.get(what, ()), last) if one.read_at <= at]
        for what, last in state.said.items()
    }
    return {
        "said": {what: entries[-1] for what, entries in told.items() if entries},
        "said_before": {what: tuple(entries[:-1]) for what, entries in told.items() if len(entries) > 1},
    }


def _times(survey: Survey) -> Iterator[datetime]:
    """When something was read, remarked or answered."""
    for booking in survey.state.bookings.values():
        at = _time(booking)
        if at is not None:
            yield at
    yield from (note.entry.read_at for note in survey.state.notes)
    yield from (entry.read_at for entry in survey.state.said.values())


def _declared(job: Job) -> Iterator[datetime]:
    """When something was written into the journals."""
    for log in job.logs.logs:
        if is_journal(log):
            yield from (read_time(record.at) for record in log.records[1:])


def _time(booking: Booking) -> datetime | None:
    if booking.read_at is not None:
        return booking.read_at
    return booking.ended.read_at if booking.ended is not None else None


def _survey(job: Job, label: str) -> Survey:
    found = [one for one in job.counting if label in (job.labels[one.id], one.label, one.id)]
    if not found:
        newest = ", ".join(job.labels[one.id] for one in job.counting[-3:])
        raise FieldError(f"There is no survey {label}.", where="--survey", todo=f"The newest are: {newest}.")
    return found[-1]


def moment(text: str, zone: ZoneInfo, where: str, *, end_of_day: bool = False) -> datetime:
    """A day, or a time, in the route's zone unless it says so; in UTC."""
    try:
        day = date.fromisoformat(text) if len(text) == 10 else None
        if day is None:
            return reading_time(text, zone)
    except (ValueError, EntryRefused) as error:
        todo = "Write it as 2031-05-04, or 2031-05-04T07:30:00+02:00."
        raise FieldError(f"{text} is no date and no time.", where=where, todo=todo) from error
    begins = datetime.combine(day + timedelta(days=1 if end_of_day else 0), time(), tzinfo=zone).astimezone(UTC)
    return begins - timedelta(microseconds=1) if end_of_day else begins
