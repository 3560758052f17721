"""What this survey itself has read of a chord with another tape: a new segment goes on from it, not from last time."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from msgspec.structs import replace

from fieldtui.job.proof import Instrument
from fieldtui.job.readings import reduce_booking
from fieldtui.job.rules import Rules
from fieldtui.job.segments import chord_ground
from fieldtui.reduction import Ground, Past
from fieldtui.survey import Target

if TYPE_CHECKING:
    from fieldtui.job.walk import Walk


def ground_for(walk: Walk, target: Target, instrument: Instrument) -> Ground:
    """The walk's ground; of a chord that this tape and extensometer begin to read, with what others read of it today.

    Where they have read it before, the readings of this survey are left out: changes are counted from earlier surveys.
    """
    known = walk.ground.chord(target.key)
    if known.segment(*instrument) is not None:
        return walk.ground
    own = tuple(_own(walk, target, instrument))
    if not own:
        return walk.ground
    sets = walk.route.baseline_sets
    rules = walk.job.account.rules(target.key) if walk.job is not None else Rules(sets, walk.route.rate_over_hours)
    before = [past for segment in known.segments for past in segment.readings]
    chord = chord_ground([*before, *own], sets, rules)
    return replace(walk.ground, chords={target.key: chord})


def _own(walk: Walk, target: Target, instrument: Instrument) -> Iterator[Past]:
    for booking in walk.state.readings(target.key):
        other = (booking.tape, booking.extensometer)
        if booking.target == target or other == instrument or booking.outcome != "read" or booking.read_at is None:
            continue
        length = reduce_booking(walk.route, booking, walk.survey, walk.frame_shift(*other))
        if length is not None:
            yield Past(booking.read_at, length, walk.label)
