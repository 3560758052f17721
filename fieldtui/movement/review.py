"""Everything there is to say of one chord's movement: what a review screen or a report puts together.

Job, chord ── review ──► Review: course, laws side by side, speeding up, at rest by the rule, inverse velocity
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import numpy as np
from msgspec import Struct

from fieldtui.job import Job
from fieldtui.job.faces import Faces, faces_of
from fieldtui.job.history import Row
from fieldtui.movement.acceleration import Bend, speeding_up
from fieldtui.movement.answer import Answer, answers
from fieldtui.movement.chord import ChordCourse, course_of
from fieldtui.movement.interval import Interval
from fieldtui.movement.inverse_velocity import InversePoint, inverse_velocities
from fieldtui.movement.stability import Moving, Resting, judge_rest
from fieldtui.route import ChordKey


class Review(Struct, frozen=True):
    """One chord. Closing positive; `resting` is None where the route has no `[stability]`."""

    chord: ChordCourse
    answers: tuple[Answer, ...]
    bend: Bend | None
    moving: Moving
    resting: Resting | None
    inverse: tuple[InversePoint, ...]


def review(job: Job, key: ChordKey, since: datetime | None = None, faces: Faces | None = None) -> Review | None:
    """None for a chord that was never read. `since` fits anew from a time on, as after a blast or a bench."""
    story = job.account.stories.get(key)
    known = faces or faces_of(job.route, job.counting)
    ids = {label: survey for survey, label in job.labels.items()}
    chord = course_of(story, known, ids, since) if story is not None else None
    if chord is None:
        return None
    rows = [row for row in job.history() if row.key == key and row.counts]
    bend = speeding_up(chord.course)
    station = job.route.station(key[0])
    pace = known.pace(station) if station is not None else None
    told = answers(chord.course, rule=job.route.stability, pace=pace, units=job.route.units)
    moving = _moving(rows, float(job.route.coverage_factor), bend)
    ends = ends_that_count(told)
    rule = job.route.stability
    rates = [(row.booked.time, -float(row.rate.value), row.rate.u) for row in rows if row.rate is not None]
    resting = judge_rest(moving, ends, rule) if rule is not None else None
    return Review(chord, told, bend, moving, resting, inverse_velocities(rates))


def ends_that_count(told: Sequence[Answer]) -> list[Interval]:
    """The end values that have a say in whether a chord is at rest: those of laws that answer and fit."""
    return [one.end for one in told if one.answers and one.fits and one.end is not None]


def _moving(rows: Sequence[Row], k: float, bend: Bend | None) -> Moving:
    last = rows[-1]
    since = last.since_baseline
    moving = [row.rate for row in rows if row.rate is not None]
    fastest = max(moving, key=lambda one: abs(one.value), default=None)
    rate = last.rate
    return Moving(
        closing=-float(since.value) if since is not None else None,
        closing_u=k * since.u if since is not None else 0.0,
        rate=-float(rate.value) if rate is not None else None,
        rate_u=k * rate.u if rate is not None else 0.0,
        fastest=-float(fastest.value) if fastest is not None else None,
        fastest_u=k * fastest.u if fastest is not None else 0.0,
        speeding_up=bend is not None and bend.noticed,
    )


def told_figures(answer: Answer) -> str:
    """A law's own figures with their standard deviations, in one line: `A 12.3 (sd 0.4), T 5.1 (sd 0.6)`."""
    if answer.fit is None or not answer.fit.distinct:
        return ""
    with np.errstate(all="ignore"):
        return ", ".join(f"{name} {value:.3g} (sd {sd:.2g})" for name, (value, sd) in answer.fit.figures.items())
