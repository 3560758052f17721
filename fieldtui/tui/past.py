"""The points of the small plot: a chord's last movements as its segments carry them, and the one at hand."""

from __future__ import annotations

from datetime import datetime

from fieldtui.job import Walk
from fieldtui.reduction import Assessment, since_baseline
from fieldtui.survey import Target

MOST = 40
Point = tuple[datetime, float]


def past_points(walk: Walk, target: Target) -> list[Point]:
    """A chord's last readings that are not doubtful, in order of time. The same for the whole survey."""
    points: list[Point] = []
    for segment in walk.ground.chord(target.key).segments:
        baseline = [past.length for past in segment.baseline]
        if baseline:
            points += [
                (past.time, float(segment.offset + since_baseline(past.length, baseline).value))
                for past in segment.readings[-MOST:]
                if not past.doubtful
            ]
    return sorted(points)[-MOST:]


def point_now(walk: Walk, target: Target, assessment: Assessment | None) -> Point | None:
    """The booking at hand, if it has a length and a baseline to count from."""
    if assessment is None or assessment.since_baseline is None:
        return None
    booking = walk.state.bookings.get(target)
    time = (booking.read_at if booking is not None else None) or walk.clock()
    return (time, float(assessment.since_baseline.value))
