"""Calls while a survey is being walked: those of the job, and those that this survey's own readings open."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from fieldtui.job.calls import Call, Seen, calls_of, has_left, renamed, seen_in, tellings
from fieldtui.job.job import Job
from fieldtui.job.live import assess_chord
from fieldtui.job.names import Names

if TYPE_CHECKING:
    from fieldtui.job.walk import Walk


def calls_with(job: Job, walk: Walk) -> tuple[Call, ...]:
    """Every call, the oldest first, those already told of as well. Practice opens none."""
    others = [survey for survey in job.counting if survey.id != walk.survey]
    rows = (row for row in job.history() if row.booked.survey != walk.survey)
    names = job.account.names
    own = () if walk.practice else tuple(_own(walk, names))
    told = [*tellings(others, job.journals, names), *renamed(walk.state.calls, names)]
    return calls_of([*seen_in(rows, others), *own], told)


def open_calls_with(job: Job, walk: Walk) -> tuple[Call, ...]:
    """Calls of which somebody has still to be told."""
    return tuple(call for call in calls_with(job, walk) if call.untold)


def _own(walk: Walk, names: Names) -> Iterator[Seen]:
    for target, booking in walk.state.bookings.items():
        if not target.is_chord or not booking.was_read or booking.read_at is None:
            continue
        assessment = assess_chord(walk, target)
        if assessment is not None and assessment.levels:
            _, chord = walk.place(target)
            yield Seen(
                names.chord(target.key, booking.read_at),
                walk.survey,
                walk.label,
                booking.read_at,
                target.reading,
                assessment.levels,
                chord.levels,
                booking.outcome == "read",
                has_left(walk.state, target),
            )
