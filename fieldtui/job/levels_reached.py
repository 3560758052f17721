"""What stands at or near a level in a survey that is being walked, of each chord what its readings say together."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from msgspec.structs import replace

from fieldtui.job.live import assess_chord
from fieldtui.job.telling import tell_chord
from fieldtui.job.told import Told
from fieldtui.job.walk import Walk
from fieldtui.route import ChordKey, line_of
from fieldtui.survey import Booking
from fieldtui.survey.words import place


def over_levels(walk: Walk) -> tuple[tuple[str, Told], ...]:
    """Where something is at or near a level, and what is said of it.

    Of a chord that was read again the last reading that agrees stands. One after it that was kept though it does not
    agree, or is not accepted yet, has its say beside it: no doubt silences a level. Where somebody was told of a level
    of the chord, so has the first one that said so.
    """
    lines = dict.fromkeys(target.line for target in walk.state.bookings if target.is_chord)
    return tuple((place(booking.target), told) for line in lines for booking, told in _of_line(walk, line))


def _of_line(walk: Walk, line: ChordKey) -> Iterator[tuple[Booking, Told]]:
    readings = [one for one in walk.state.readings(line) if one.figures_in]
    standing = max((place for place, one in enumerate(readings) if one.outcome == "read"), default=0)
    if any(line_of((one.station, one.chord)) == line for one in walk.state.calls):
        before = ((booking, told) for booking in readings[:standing] for told in _reached(walk, booking))
        for booking, told in islice(before, 1):
            yield booking, replace(told, text=f"{told.text}; somebody was told, and it was read again")
    for booking in (*readings[standing : standing + 1], *readings[standing + 1 :][-1:]):
        yield from ((booking, told) for told in _reached(walk, booking))


def _reached(walk: Walk, booking: Booking) -> Iterator[Told]:
    """What is said of the levels that a complete booking is at, or near."""
    assessment = assess_chord(walk, booking.target)
    _, chord = walk.place(booking.target)
    told = tell_chord(walk.route, chord, assessment) if assessment is not None else ()
    return (one for one in told if one.label == "level" and one.weight in ("notice", "alarm"))
