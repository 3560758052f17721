"""The points of the small plot: a chord's last movements as its segments carry them, and the one at hand."""

from __future__ import annotations

from datetime import datetime

from fieldtui.job import Walk, assess_chord
from fieldtui.reduction import since_baseline
from fieldtui.survey import Target

MOST = 40


def chord_points(
    walk: Walk, target: Target, slot: str, typed: str
) -> tuple[list[tuple[datetime, float]], tuple[datetime, float] | None]:
    """The last readings that are not doubtful, in order of time, and the booking at hand if it has a length."""
    points: list[tuple[datetime, float]] = []
    for segment in walk.ground.chord(target.key).segments:
        baseline = [past.length for past in segment.baseline]
        if baseline:
            points += [
                (past.time, float(segment.offset + since_baseline(past.length, baseline).value))
                for past in segment.readings[-MOST:]
                if not past.doubtful
            ]
    points.sort()
    assessment = assess_chord(walk, target, slot, typed)
    booking = walk.state.bookings.get(target)
    time = (booking.read_at if booking is not None else None) or walk.clock()
    if assessment is None or assessment.since_baseline is None:
        return points[-MOST:], None
    return points[-MOST:], (time, float(assessment.since_baseline.value))
