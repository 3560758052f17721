"""What is known before a survey: the readings of each chord in their segments, and the control frames. Frozen facts.

    Ground ─┬─ chords: ChordGround ── segments: Segment ── baseline, readings: Past
            └─ frames, charts: by tape and extensometer, Past and Chart

A segment is one chord's readings with the same tape, extensometer and anchors, counted from their own baseline.
Segments may interleave. Movement is carried from one to the next by an offset.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import islice
from types import MappingProxyType
from typing import ClassVar, Literal, Protocol, runtime_checkable

from msgspec import Struct, field
from msgspec.structs import replace

from fieldtui.reduction.chart import Chart
from fieldtui.reduction.length import Length
from fieldtui.reduction.sources import OFFSET, Source, standard_uncertainty
from fieldtui.route.model import ChordKey, turned

_DAY = timedelta(days=1)


class Past(Struct, frozen=True):
    """One earlier reading. `time` is the time of reading, UTC; `survey` its identity."""

    time: datetime
    length: Length
    survey: str
    doubtful: bool = False
    note: str = ""
    of_baseline: bool = False
    """Declared to be one of the baseline's sets, as earlier lengths are that were taken over."""


class Event(Struct, frozen=True):
    """Something that sets ground moving: a blast, a new stage of construction. `time` in UTC."""

    time: datetime
    kind: Literal["blast", "stage"]
    station: str | None = None
    """Where it counts; None for the whole route."""


class Segment(Struct, frozen=True):
    """One segment; small units. `readings` are in order of time and include the baseline's."""

    tape: str
    extensometer: str
    baseline: tuple[Past, ...]
    readings: Sequence[Past]
    offset: Decimal = Decimal(0)
    """Movement carried in from earlier segments, negative closing; 0 for the first."""
    offset_u: float = 0.0
    """Its standard uncertainty."""
    offset_sources: tuple[Source, ...] = ()
    """Its sources of error, where they are known: what readings on both sides of a change share cancels."""
    ended: bool = False
    """An anchor was replaced since: never gone on with."""

    @property
    def carried(self) -> bool:
        """Whether movement of earlier segments is carried in."""
        return self.offset != 0 or self.offset_u > 0

    def takes_sets(self, wanted: int) -> bool:
        """Whether the next reading is one more set of the baseline: fewer are in than `wanted`, and none came after.

        A baseline that was declared of fewer sets is complete once a reading follows it.
        """
        if len(self.baseline) >= wanted:
            return False
        last = self.last()
        return not self.baseline or last is None or last.time <= self.baseline[-1].time

    def last(self) -> Past | None:
        """The newest reading that is not doubtful."""
        return next((past for past in reversed(self.readings) if not past.doubtful), None)


class Carry(Struct, frozen=True):
    """The newest movement known of a chord, to be carried into a segment that has no reading yet; small units."""

    time: datetime
    value: Decimal
    sources: tuple[Source, ...]
    pace: float | None
    """How fast it was moving then, a day, whichever way; None where that is not known."""

    def until(self, at: datetime, chord: Hashable) -> tuple[Source, ...]:
        """The sources at a later time: what may have moved in the gap, pace x gap, is one more."""
        gap = max((at - self.time) / _DAY, 0.0)
        own = tuple(replace(source, name=OFFSET) for source in self.sources)
        return (*own, Source(OFFSET, (OFFSET, "gap", chord, at), (self.pace or 0.0) * gap))


class ChordGround(Struct, frozen=True):
    """One chord's segments, oldest first."""

    segments: tuple[Segment, ...] = ()
    carry: Carry | None = None

    def begun(self, tape: str, extensometer: str, at: datetime, chord: Hashable) -> Segment | None:
        """The segment that a first reading with this tape and extensometer begins; None where nothing is carried."""
        if self.carry is None:
            return None
        sources = self.carry.until(at, chord)
        return Segment(tape, extensometer, (), (), self.carry.value, standard_uncertainty(sources), sources)

    def segment(self, tape: str, extensometer: str) -> Segment | None:
        """The newest segment with this tape and extensometer that has not ended."""
        wanted = (tape, extensometer)
        return next((s for s in reversed(self.segments) if (s.tape, s.extensometer) == wanted and not s.ended), None)

    def last(self, tape: str, extensometer: str) -> Past | None:
        """The newest reading with this tape and extensometer that is not doubtful."""
        segment = self.segment(tape, extensometer)
        return segment.last() if segment else None


@runtime_checkable
class Begins(Protocol):
    """Grounds that know how a chord began without going through all that came after."""

    def beginning(self, key: ChordKey) -> tuple[Past, ...]:
        """The first two good readings of a chord's first segment, or fewer."""


class Ground(Struct, frozen=True):
    """All that is known before this survey. A chord or frame that was never read is not in it."""

    chords: Mapping[ChordKey, ChordGround] = field(default_factory=lambda: MappingProxyType({}))
    frames: Mapping[tuple[str, str], tuple[Past, ...]] = field(default_factory=lambda: MappingProxyType({}))
    """By serials of tape and extensometer, in order of time."""
    charts: Mapping[tuple[str, str], Chart] = field(default_factory=lambda: MappingProxyType({}))
    """The control frame's chart with each tape and extensometer, one point a survey."""
    events: tuple[Event, ...] = ()
    """In order of time."""

    EMPTY: ClassVar[Ground]

    def beginnings(self) -> Iterator[tuple[Past, ...]]:
        """Of each chord the first two good readings of its first segment, or fewer."""
        if isinstance(self.chords, Begins):
            yield from map(self.chords.beginning, self.chords)
            return
        for chord in self.chords.values():
            first = chord.segments[:1]
            good = (past for segment in first for past in segment.readings if not past.doubtful)
            yield tuple(islice(good, 2))

    def chord(self, key: ChordKey) -> ChordGround:
        """What is known of a chord, named from either end; without segments if it was never read."""
        known = self.chords.get(key)
        return known if known is not None else self.chords.get(turned(key), _NEVER_READ)

    def segment(self, key: ChordKey, tape: str, extensometer: str, at: datetime) -> Segment | None:
        """What a reading of a chord at that time goes on with, or begins; None where it begins one without movement
        carried in.
        """
        chord = self.chord(key)
        return chord.segment(tape, extensometer) or chord.begun(tape, extensometer, at, key)


_NEVER_READ = ChordGround()
Ground.EMPTY = Ground()
