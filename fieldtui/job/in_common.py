"""What the lengths of a survey share: said as soon as it shows, and at the end, before the tunnel is left."""

from __future__ import annotations

from fieldtui.job.live import assess_frame
from fieldtui.job.told import Told
from fieldtui.job.walk import Walk
from fieldtui.reduction.shared import Off, SharedShift, shared_shift
from fieldtui.survey import Target


def in_common(walk: Walk, without: Target | None = None) -> SharedShift | None:
    """A constant or a share of length that the survey's lengths have in common, chords and frame; None if nothing.

    `without` leaves a chord out: what the others have in common.
    """
    found = [
        Off(float(one.other.length.value), one.other.off, one.other.spread)
        for one in walk.verdicts.latest()
        if one.other is not None and (without is None or one.booking.target.line != without.line)
    ]
    found += _frames(walk)
    shift = shared_shift(found, walk.route.units.small)
    return shift if shift.there else None


def tell_in_common(walk: Walk, target: Target) -> tuple[Told, ...]:
    """On a length that is in: what it has in common with the survey's others.

    A notice with the chord by which it shows, or shows as something else: one that came with every chord from then on
    would be passed over, and what is new on a later chord with it.
    """
    shared = in_common(walk)
    if shared is None:
        return ()
    before = in_common(walk, without=target)
    known = before is not None and before.kind == shared.kind
    return (Told("in common", shared.words, "" if known else "notice"),)


def _frames(walk: Walk) -> list[Off]:
    """How far the control frame was from its reference, the last time it was read in this survey."""
    read = [target for target, booking in walk.state.bookings.items() if target.is_frame and booking.was_read]
    for target in reversed(read):
        assessment = assess_frame(walk, target)
        if assessment.length is not None and assessment.verdict is not None and assessment.verdict.difference.u > 0:
            difference = assessment.verdict.difference
            return [Off(float(assessment.length.value), float(difference.value), difference.u)]
    return []
