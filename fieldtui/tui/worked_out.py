"""What the start page says that goes through every reading of a job: with many surveys that takes a while."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from fieldtui.job import Job
from fieldtui.job.ahead import newest_ahead
from fieldtui.job.due import due_of
from fieldtui.job.due_told import due_sentence
from fieldtui.job.instrument import before_survey


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """Lines of the start page."""

    first: tuple[str, ...]
    """What has to be read, and calls of which somebody has still to be told."""
    warnings: tuple[str, ...]
    """Of readings ahead of the clock, of the instruments, and of what the figures still lack."""


def work_out(job: Job, now: datetime) -> WorkedOut:
    """Go through every reading. `now` in UTC."""
    calls = [
        f"■ {call.station} {call.chord}, {call.level}: not told yet: {', '.join(call.untold)}"
        for call in job.open_calls()
    ]
    warnings = (*newest_ahead(job.account.readings, now), *before_survey(job, now), *job.warnings)
    return WorkedOut((due_sentence(due_of(job, now)), *calls), warnings)
