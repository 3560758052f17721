"""What stands in the journals and can be taken back: each declaration, and all that were written at one go.

An entry is named by log and number, `log:7`; all of a sitting by `log:all`.
"""

from __future__ import annotations

from collections.abc import Iterator

from fieldtui.job.job import Job
from fieldtui.job.journal import OF_THE_FILE, is_journal
from fieldtui.job.telling import local_time
from fieldtui.log import LogFile, Record
from fieldtui.survey import Place, read_time
from fieldtui.survey import words as say

_ALL = "all"


def declared(job: Job) -> Iterator[tuple[str, str]]:
    """Each with its words, the newest first."""
    amended = struck_words(job)
    for log in reversed([log for log in job.logs.logs if is_journal(log)]):
        standing = _standing(job, log)
        if len(standing) > 1:
            when = local_time(job.route, read_time(standing[0].at))
            yield f"{log.id}:{_ALL}", f"all {len(standing)} that were written together, {when}"
        for record in reversed(standing):
            yield f"{log.id}:{record.seq}", _words(record, amended)


def taken_back_with(job: Job, entry: str) -> list[str]:
    """The single declarations that an entry of the list stands for, the newest first."""
    log_id, _, place = entry.partition(":")
    logs = [log for log in job.logs.logs if log.id == log_id and is_journal(log)]
    if place != _ALL:
        return [entry]
    return [f"{log_id}:{record.seq}" for log in logs for record in reversed(_standing(job, log))]


def _standing(job: Job, log: LogFile) -> list[Record]:
    struck = {one.place for one in job.journals.taken_back}
    return [one for one in log.records if one.kind not in OF_THE_FILE and (log.id, one.seq) not in struck]


def _words(record: Record, amended: dict[Place, str]) -> str:
    data = record.data
    entry = amended.get((data.get("log", ""), data.get("seq", 0))) if record.kind == "struck" else None
    told = ", ".join(str(value) for key, value in data.items() if key not in ("log", "seq") and value)
    return f"{record.kind.replace('_', ' ')}: {f'{entry}; ' if entry else ''}{told}"


def struck_words(job: Job) -> dict[Place, str]:
    """What journals have struck out or set right in surveys: place of the entry -> survey, what it is of, figure."""
    logs = {one.place[0] for one in job.journals.amendments}
    found: dict[Place, str] = {}
    for survey in job.surveys:
        if not any(log.id in logs for log in survey.logs):
            continue
        label, state = job.labels[survey.id], survey.state
        found |= {one.entry.place: f"{label}, {one.slot} {one.entry.typed}".rstrip() for one in state.struck}
        for target, booking in state.bookings.items():
            for one in booking.struck:
                what = f"{say.SLOTS[one.slot]} {one.entry.typed}" if one.slot in say.SLOTS else one.slot
                found[one.entry.place] = f"{label}, {say.place(target)}, {what}"
    return found
