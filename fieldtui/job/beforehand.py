"""What the prompts to come ask of earlier surveys, worked out before the walk is there: no key waits for it then.

control frame and dial zeros ──► how fast chords were when they were new ──► chord by chord, in the order of the walk:
                                                                             its ground, and what earlier surveys said
                                                                             of its levels
"""

from __future__ import annotations

from collections.abc import Iterator

from fieldtui.job.grounds import Grounds
from fieldtui.job.live_calls import LiveCalls
from fieldtui.job.walk import Walk
from fieldtui.log.record import json_parser
from fieldtui.route import ChordKey


def beforehand(walk: Walk, calls: LiveCalls) -> Iterator[None]:
    """Step by step: instrument, speeds, then chord by chord. What is asked for meanwhile is worked out at once."""
    len(walk.ground.charts)
    before_first_entry(walk)
    yield
    # the laws of motion are weighed by how every chord of the route began
    _ = walk.verdicts.known.bank
    yield
    chords = walk.ground.chords
    for key in in_order_of_walk(walk, calls):
        story = calls.account.stories.passing_or_none(key)
        if story is not None and isinstance(chords, Grounds):
            chords.take(story)
        calls.look(key, story)
        yield


def before_first_entry(walk: Walk) -> None:
    """What the first keys would else read from files: the parser of records, each extensometer's last dial zero."""
    json_parser()
    if walk.job is not None:
        for extensometer in walk.route.extensometers:
            walk.job.zero_before(walk.survey, extensometer.serial)


def in_order_of_walk(walk: Walk, calls: LiveCalls) -> tuple[ChordKey, ...]:
    """Chords of which something was booked: those of the walk as they come, then those that are not walked any more."""
    planned = ((station.name, chord.name) for station, chord in walk.route.walk())
    booked = calls.account.stories.under
    return tuple(dict.fromkeys([*(key for key in planned if key in booked), *booked]))
