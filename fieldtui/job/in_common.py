"""What the lengths of a survey share: said as soon as it shows, and at the end, before the tunnel is left."""

from __future__ import annotations

from fieldtui.job.live import assess_frame
from fieldtui.job.walk import Walk
from fieldtui.reduction.shared import Off, SharedShift, shared_shift


def in_common(walk: Walk) -> SharedShift | None:
    """A constant or a share of length that the survey's lengths have in common, chords and frame; None if nothing."""
    found = [
        Off(float(one.other.length.value), one.other.off, one.other.spread)
        for one in walk.verdicts.latest()
        if one.other is not None
    ]
    found += _frames(walk)
    shift = shared_shift(found, walk.route.units.small)
    return shift if shift.there else None


def _frames(walk: Walk) -> list[Off]:
    """How far the control frame was from its reference, the last time it was read in this survey."""
    read = [target for target, booking in walk.state.bookings.items() if target.is_frame and booking.was_read]
    for target in reversed(read):
        assessment = assess_frame(walk, target)
        if assessment.length is not None and assessment.verdict is not None and assessment.verdict.difference.u > 0:
            difference = assessment.verdict.difference
            return [Off(float(assessment.length.value), float(difference.value), difference.u)]
    return []
