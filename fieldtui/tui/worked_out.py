"""What the start page says that goes through every reading of a job: with many surveys that takes a while.

WorkingOut ── steps: one chord each, its story let go after it ──► WorkedOut
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from msgspec import Struct

from fieldtui.job import Call, Job, Reading
from fieldtui.job.ahead import ahead_of, newest_ahead
from fieldtui.job.calls import calls_of, oldest_first, seen_in, tellings
from fieldtui.job.due import DueList, DueSoFar
from fieldtui.job.due_told import due_sentence
from fieldtui.job.history import rows_of
from fieldtui.job.instrument import before_survey
from fieldtui.job.state_of_logs import lacking_in
from fieldtui.job.twice import Twice


class WorkedOut(Struct, frozen=True):
    """What has to be read, who has still to be told, and what has to be said of instruments and figures."""

    at: datetime
    """What it was worked out for, UTC."""
    due: DueList
    calls: tuple[Call, ...]
    """Calls of which somebody has still to be told."""
    warnings: tuple[str, ...]
    """Of readings ahead of the clock, of the instruments, and of what the figures still lack."""

    @property
    def first(self) -> tuple[str, ...]:
        """The lines that stand first: what has to be read, and calls of which somebody has still to be told."""
        calls = (
            f"■ {call.station} {call.chord}, {call.level}: not told yet: {', '.join(call.untold)}"
            for call in self.calls
        )
        return (due_sentence(self.due), *calls)


class WorkingOut:
    """The way there. `now` in UTC; `found` is there after the last step."""

    def __init__(self, job: Job, now: datetime) -> None:
        self._job, self._now = job, now
        self.found: WorkedOut | None = None

    @property
    def chords(self) -> int:
        """How many chords there are to go through."""
        return len(self._job.account.stories.under)

    def steps(self) -> Iterator[None]:
        """Chord by chord."""
        job, account = self._job, self._job.account
        due = DueSoFar(job, self._now)
        told = tuple(tellings(job.counting, job.journals, account.names))
        ahead: list[Reading] = []
        twice = Twice()
        calls: list[Call] = []
        lacking: list[str] = []
        for key in account.stories.under:
            story = account.stories.passing_or_none(key)
            if story is not None:
                due.add(story)
                ahead += [one for one in story.readings if ahead_of(self._now, one.time)]
                twice.add(story.readings)
                lacking += lacking_in(story)
                calls += calls_of(seen_in(rows_of(account, job.corrections, key, story), account.by_id), told)
            yield
        untold = oldest_first(call for call in calls if call.untold)
        ahead.sort(key=lambda one: one.order)
        warnings = (*newest_ahead(ahead, self._now), *before_survey(job, self._now), *twice.told(), *lacking)
        self.found = WorkedOut(self._now, due.listed(), untold, warnings)


def work_out(job: Job, now: datetime) -> WorkedOut:
    """All of it at once."""
    working = WorkingOut(job, now)
    for _ in working.steps():
        pass
    assert working.found is not None
    return working.found
