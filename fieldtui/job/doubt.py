"""Which readings count: doubt, its confirmation by a later reading, and the last of a survey that agrees.

A reading that was kept although it did not agree, or was read with an instrument that the control frame puts in doubt,
is doubtful. A later reading that says the same confirms it: then it counts again, and so does the later one, if it was
kept for the same reason. Of several readings of a chord in one survey the last that is not doubtful counts.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from fieldtui.job.pace import days, pace
from fieldtui.job.readings import Reading
from fieldtui.job.twice import same_reading
from fieldtui.reduction import change
from fieldtui.route import Route


def weighed(readings: Iterable[Reading], route: Route) -> tuple[Reading, ...]:
    """One chord's readings in order of time, each marked with whether it counts."""
    of_thing: dict[tuple[str, str, int], list[Reading]] = {}
    for reading in sorted(readings, key=lambda one: one.order):
        of_thing.setdefault(reading.thing, []).append(reading)
    marked = [one for several in of_thing.values() for one in _counted(_confirmed(several, route))]
    return tuple(sorted(marked, key=lambda one: one.order))


def _confirmed(readings: Sequence[Reading], route: Route) -> list[Reading]:
    """Readings with one tape, extensometer and set of anchors, those that a later one confirms no longer doubtful."""
    if not any(one.doubtful for one in readings):
        return list(readings)
    by = [_confirming(readings, place, route) if one.doubtful else None for place, one in enumerate(readings)]
    confirmed = dict(enumerate(readings))
    for place, confirming in enumerate(by):
        if confirming is not None:
            confirmed[place] = _without_doubt(confirmed[place], readings[confirming])
            if readings[confirming].doubtful:
                confirmed[confirming] = _without_doubt(confirmed[confirming], readings[place])
    return [confirmed[place] for place in range(len(readings))]


def _without_doubt(reading: Reading, by: Reading) -> Reading:
    return replace(reading, doubtful=False, confirmed_by=by.label)


def _confirming(readings: Sequence[Reading], place: int, route: Route) -> int | None:
    """The place of the reading that confirms a doubtful one: the first later one that counts by itself, or a doubtful
    one before that. A reading whose instrument is in doubt confirms nothing, nor does one that was booked twice confirm
    itself.
    """
    doubtful = readings[place]
    before = [one for one in readings[:place] if not one.doubtful]
    for later in range(place + 1, len(readings)):
        if readings[later].instrument_doubt or same_reading(doubtful, readings[later]):
            continue
        if _say_the_same(doubtful, readings[later], before, route):
            return later
        if not readings[later].doubtful:
            return None
    return None


def _say_the_same(one: Reading, later: Reading, before: Sequence[Reading], route: Route) -> bool:
    """Whether a later reading says what a doubtful one said.

    It lies within its expanded uncertainty of the doubtful one, what the chord's pace makes of the time in between
    added, and nearer to it than to what was read before.
    """
    moved = change(later.length, one.length)
    apart = abs(float(moved.value))
    known = [(reading.time, reading.length) for reading in before]
    moving = (pace(known, route.rate_over_hours) or 0.0) * days(later.time - one.time)
    if apart > float(route.coverage_factor) * moved.u + moving:
        return False
    return not before or apart <= abs(float(later.length.value - before[-1].length.value))


def _counted(readings: Sequence[Reading]) -> list[Reading]:
    """One reading of each survey counts; earlier lengths, which come many in one log, all do."""
    last: dict[tuple[str, object], int] = {}
    for place, one in enumerate(readings):
        if not one.doubtful:
            last[(one.survey, one.booking.target if one.booking.is_earlier else None)] = place
    counting = set(last.values())
    return [
        one if one.counts == (place in counting) else replace(one, counts=place in counting)
        for place, one in enumerate(readings)
    ]
