"""What one booking means, complete or not: length, repeats, changes, rate, levels. Pure, and quick enough for a key.

Draft + Segment ── assess ──► Assessment
"""

from __future__ import annotations

from collections.abc import Hashable
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.reduction.combine import Quantity, Rate, change, combine, rate, since_baseline, span
from fieldtui.reduction.frame import FrameShift
from fieldtui.reduction.ground import Segment
from fieldtui.reduction.length import Figures, Length, reduce
from fieldtui.reduction.levels import LevelState, Overall, judge_levels, overall
from fieldtui.reduction.repeats import MOST_REPEATS, Repeats, judge_repeats
from fieldtui.reduction.sources import OFFSET, Source
from fieldtui.route.model import Chord, ChordKey, Extensometer, Route, Station, Tape

Word = Literal["closing", "opening", "within uncertainty"]


class Draft(Struct, frozen=True):
    """The figures of a booking so far. The assumed temperature is used until one is booked."""

    hole: int | None
    dials: tuple[Decimal, ...]
    temperature: Decimal | None
    assumed_temperature: Decimal


class Assessment(Struct, frozen=True):
    """What the figures say. None where there is not enough to say it; small units, changes negative closing."""

    length: Length | None = None
    temperature_assumed: bool = False
    repeats: Repeats | None = None
    since_last: Quantity | None = None
    since_last_word: Word | None = None
    last_time: datetime | None = None
    time_since_last: timedelta | None = None
    since_baseline: Quantity | None = None
    """Movement since the first baseline, carried over the segments."""
    since_baseline_word: Word | None = None
    baseline_sets_in: int = 0
    """Sets of this segment's baseline that are in; this reading counts where it is one of them."""
    rate: Rate | None = None
    levels: tuple[LevelState, ...] = ()
    level: Overall | None = None
    """None where no level applies, or there is nothing yet to hold against one."""


def assess(
    route: Route,
    station: Station,
    chord: Chord,
    draft: Draft,
    segment: Segment | None,
    tape: Tape,
    extensometer: Extensometer,
    at: datetime,
    *,
    reading: Hashable,
    frame: FrameShift | None = None,
    typing: bool = False,
) -> Assessment:
    """What this booking means, `at` being its time of reading (UTC) and `reading` its identity.

    Without a hole of this tape, or a dial figure, there is no length. Changes are counted within `segment`, which is
    that of this chord, tape and extensometer as `Ground.segment` gives it. A reading that is one of the baseline's sets
    has no change since the baseline, unless movement is carried in: then that, and what is left against the mean of the
    sets so far, itself included. While a figure is `typing` only the length and its change since the last one are
    worked out: half a number has no rate.
    """
    assumed = draft.temperature is None
    if not 1 <= len(draft.dials) <= MOST_REPEATS:
        return Assessment(temperature_assumed=assumed)
    if draft.hole is None or not tape.has_hole(draft.hole):
        repeats = judge_repeats(draft.dials, extensometer.repeatability)
        return Assessment(temperature_assumed=assumed, repeats=repeats)
    temperature = draft.assumed_temperature if draft.temperature is None else draft.temperature
    figures = Figures(draft.hole, draft.dials, temperature)
    length = reduce(figures, tape, extensometer, route.uncertainty, reading=reading, frame=frame)

    last = segment.last() if segment else None
    since_last = change(length, last.length) if last else None
    found = Assessment(
        length=length,
        temperature_assumed=assumed,
        repeats=length.repeats,
        since_last=since_last,
        since_last_word=movement_word(since_last, route.coverage_factor) if since_last else None,
        last_time=last.time if last else None,
        time_since_last=at - last.time if last else None,
    )
    if typing:
        return found
    moved, sets_in = _since_baseline(length, segment, (station.name, chord.name), route.baseline_sets)
    moving = _rate(length, at, segment, route.rate_over_hours)
    levels = judge_levels(moved, moving, chord.levels, route.coverage_factor)
    return replace(
        found,
        since_baseline=moved,
        since_baseline_word=movement_word(moved, route.coverage_factor) if moved else None,
        baseline_sets_in=sets_in,
        rate=moving,
        levels=levels,
        level=overall(levels),
    )


def movement_word(moved: Quantity, coverage: Decimal) -> Word:
    """How a change is named: within uncertainty up to and including its expanded uncertainty."""
    if abs(float(moved.value)) <= float(coverage) * moved.u:
        return "within uncertainty"
    return "closing" if moved.value < 0 else "opening"


def _since_baseline(
    length: Length, segment: Segment | None, chord: ChordKey, wanted: int
) -> tuple[Quantity | None, int]:
    """Movement since the baseline, carried over the segments, and the sets of the baseline that are in."""
    if segment is None:
        return None, 1
    sets = [past.length for past in segment.baseline]
    within = segment.takes_sets(wanted)
    if within:
        sets.append(length)
    if within and not segment.carried:
        return None, len(sets)
    return carried(since_baseline(length, sets), segment, chord), len(sets)


def carried(moved: Quantity, segment: Segment, chord: ChordKey) -> Quantity:
    """Movement within a segment with what was carried into it.

    All readings of the segment share the error of the offset: it cancels between them. Where the offset's sources are
    known, what it shares with a reading (the tape's steel, a reading that is itself in the offset) is counted once.
    """
    if not segment.carried:
        return moved
    key = (OFFSET, chord, segment.tape, segment.extensometer, segment.offset, segment.offset_u)
    sources = segment.offset_sources or (Source(OFFSET, key, segment.offset_u),)
    offset = Quantity(segment.offset, sources)
    return combine([(1, moved), (1, offset)])


def _rate(length: Length, at: datetime, segment: Segment | None, over_hours: Decimal) -> Rate | None:
    if segment is None:
        return None
    history, least = [], span(over_hours)
    for past in reversed(segment.readings):
        if not past.doubtful:
            history.append((past.time, past.length))
            if at - past.time >= least:  # older ones are not looked at
                break
    return rate(length, at, history[::-1], over_hours)
