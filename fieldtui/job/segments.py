"""One chord's readings as segments, each from its own baseline, movement carried from one to the next.

A segment is the readings with one tape, one extensometer and one set of anchors. Its baseline is the mean of its first
`baseline_sets` readings that are not doubtful, or of those that were declared to be it. Segments may interleave.

    Past, Past … ── segments ──► CarriedSegment: baseline, readings, offset (see `offsets`)
                                   └── ground_of ──► ChordGround, as a survey needs it
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from decimal import Decimal

from fieldtui.job.carried import CarriedSegment
from fieldtui.job.epochs import Zero, grounded, zero_of
from fieldtui.job.offsets import offset_of
from fieldtui.job.pace import pace
from fieldtui.job.rules import Rules
from fieldtui.reduction import ChordGround, Past, hours
from fieldtui.reduction.ground import Carry

EVER = datetime.max.replace(tzinfo=UTC)
"""After all that was declared."""


def chord_ground(readings: Iterable[Past], baseline_sets: int, rules: Rules | None = None) -> ChordGround:
    """Readings in any order, one chord's, to what is known of it. Without rules: nothing was declared of it."""
    rules = rules or Rules(baseline_sets)
    return ground_of(segments(readings, rules), rules)


def segments(readings: Iterable[Past], rules: Rules) -> tuple[CarriedSegment, ...]:
    """Readings in any order, one chord's, to its segments in order of their first reading."""
    of_thing: dict[tuple[str, str, int], list[Past]] = {}
    for past in sorted(readings, key=lambda past: (past.time, past.survey)):
        tape, extensometer = past.length.tape, past.length.extensometer
        thing = (tape, extensometer, rules.generation(tape, extensometer, past.time))
        of_thing.setdefault(thing, []).append(past)
    made: list[CarriedSegment] = []
    for thing, own in of_thing.items():
        begun = CarriedSegment(len(made) + 1, *thing, _baseline(own, rules.baseline_sets), tuple(own))
        made.append(begun.with_offset(offset_of(begun, made, rules)))
    return tuple(made)


def _baseline(readings: Sequence[Past], sets: int) -> tuple[Past, ...]:
    good = [past for past in readings if not past.doubtful]
    declared = tuple(past for past in good if past.of_baseline)
    return declared or tuple(good[:sets])


def ground_of(made: Sequence[CarriedSegment], rules: Rules, *, at: datetime = EVER, carry: bool = True) -> ChordGround:
    """A chord's segments as a survey at a time needs them, and the movement that a new segment would go on from.

    What was declared for a later time does not concern it. `carry` is given up where no new segment can begin: it takes
    as long as all the rest.
    """
    restart = rules.restart(at)
    zero = zero_of(restart, made, rules.baseline_sets) if restart is not None else None
    told = tuple(grounded(one, restart, zero, ended=_ended(one, rules, at)) for one in made)
    return ChordGround(told, _carry(made, zero, rules) if carry and (restart is None or zero is not None) else None)


def _ended(segment: CarriedSegment, rules: Rules, at: datetime) -> bool:
    """Whether its tape, extensometer or an anchor has become another one by a time, or an anchor was lost."""
    return rules.generation(segment.tape, segment.extensometer, at) > segment.generation


def _carry(made: Sequence[CarriedSegment], zero: Zero | None, rules: Rules) -> Carry | None:
    newest = max(
        ((past.time, -one.number, past, one) for one in made if one.baseline for past in _looking_back(one)[-1:]),
        key=lambda found: found[:2],
        default=None,
    )
    if newest is None:
        return None
    time, _, past, segment = newest
    moved = segment.moved(past.length)
    if moved is None:
        return None
    since = zero.since(moved) if zero is not None else moved
    known = [(one.time, one.length) for one in _looking_back(segment, rules.rate_over_hours)]
    moving = pace(known, rules.rate_over_hours)
    if moving is None and segment.offset is not None:
        moving = segment.offset.pace
    return Carry(time, since.value, since.sources, moving)


def _looking_back(segment: CarriedSegment, over_hours: Decimal = Decimal(0)) -> list[Past]:
    """The newest readings that are not doubtful, in order, as far back as a rate over so many hours looks."""
    found: list[Past] = []
    for past in reversed(segment.readings):
        if not past.doubtful:
            found.append(past)
            if hours(found[0].time - past.time) >= over_hours:
                break
    return found[::-1]
