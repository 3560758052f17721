"""What is known of chords, frames and charts, each worked out when it is asked for and not before.

    Stories ── Grounds[key] ──► ChordGround, its newest readings at hand, the older ones read again if they are wanted

A survey asks of a chord what it is counted from, what is carried into it, and how it moved lately. The readings of
years, kept for every chord, would be most of what the program holds: of all but the chords asked for last, even the
newest are packed away.
"""

from __future__ import annotations

import pickle
import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal
from functools import cached_property, lru_cache
from threading import RLock
from typing import TypeVar, overload

from msgspec.structs import replace

from fieldtui.job.stories import ChordStory, Stories
from fieldtui.log.later import Later
from fieldtui.reduction import ChordGround, Past, Segment, hours
from fieldtui.reduction.following import AT_MOST
from fieldtui.route import ChordKey

AT_HAND = 16
"""So many grounds are unpacked at a time."""

K = TypeVar("K")
V = TypeVar("V")


class WhenAsked(Mapping[K, V]):
    """A mapping that is worked out when anything of it is asked for."""

    def __init__(self, work: Callable[[], Mapping[K, V]]) -> None:
        self._work = work

    @cached_property
    def _known(self) -> Mapping[K, V]:
        return self._work()

    def __getitem__(self, key: K) -> V:
        return self._known[key]

    def __iter__(self) -> Iterator[K]:
        return iter(self._known)

    def __len__(self) -> int:
        return len(self._known)


class Newest(Later[Past]):
    """Readings of which the newest are at hand; the others are loaded when one of them is asked for."""

    def __init__(self, newest: Sequence[Past], length: int, load: Callable[[], Sequence[Past]]) -> None:
        super().__init__(length, load)
        self._newest, self._older = newest, length - len(newest)

    @overload
    def __getitem__(self, place: int) -> Past: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[Past]: ...
    def __getitem__(self, place: int | slice) -> Past | Sequence[Past]:
        wanted = range(len(self))[place]
        if isinstance(wanted, int):
            return self._newest[wanted - self._older] if wanted >= self._older else super().__getitem__(wanted)
        if wanted and min(wanted) < self._older:
            return super().__getitem__(place)
        return tuple(self._newest[one - self._older] for one in wanted)

    def __reversed__(self) -> Iterator[Past]:
        yield from reversed(self._newest)
        if self._older:
            yield from reversed(super().__getitem__(slice(self._older)))


class Grounds(Mapping[ChordKey, ChordGround]):
    """Each chord's ground, as its story has it. Two threads may ask."""

    def __init__(self, stories: Stories, rate_over_hours: Decimal) -> None:
        self._stories, self._over = stories, rate_over_hours
        self._packed: dict[ChordKey, bytes | None] = {}
        self._one_at_a_time = RLock()
        self._unpacked = lru_cache(maxsize=AT_HAND)(self._unpack)

    def __getitem__(self, key: ChordKey) -> ChordGround:
        with self._one_at_a_time:
            if key not in self._packed:
                story = self._stories.passing_or_none(key)
                self._packed[key] = self._pack(story) if story is not None else None
            if self._packed[key] is None:
                raise KeyError(key)
            return self._unpacked(key)

    def __iter__(self) -> Iterator[ChordKey]:
        with self._one_at_a_time:
            return iter(self._stories)

    def __len__(self) -> int:
        with self._one_at_a_time:
            return len(self._stories)

    def __contains__(self, key: object) -> bool:
        with self._one_at_a_time:
            return key in self._stories

    def take(self, story: ChordStory) -> None:
        """A chord's story that somebody has made: its ground need not be asked for."""
        with self._one_at_a_time:
            if story.key not in self._packed:
                self._packed[story.key] = self._pack(story)

    def beginning(self, key: ChordKey) -> tuple[Past, ...]:
        """The first two good readings of a chord's first segment: how fast it went when it was new."""
        with self._one_at_a_time:
            return self._stories.beginning(key)

    def _pack(self, story: ChordStory) -> bytes:
        """A ground with the newest readings of its segments alone, and how many readings each has."""
        known = story.ground
        brief = tuple(replace(one, readings=self._newest(one.readings)) for one in known.segments)
        told = (replace(known, segments=brief), tuple(len(one.readings) for one in known.segments))
        # a fifth of the memory, for a tenth of a millisecond when the chord is come to
        return zlib.compress(pickle.dumps(told), 1)

    def _unpack(self, key: ChordKey) -> ChordGround:
        packed = self._packed[key]
        assert packed is not None
        brief: ChordGround
        lengths: tuple[int, ...]
        brief, lengths = pickle.loads(zlib.decompress(packed))
        numbered = enumerate(zip(brief.segments, lengths, strict=True))
        return ChordGround(tuple(self._whole(key, place, *one) for place, one in numbered), brief.carry)

    def _newest(self, readings: Sequence[Past]) -> tuple[Past, ...]:
        newest: list[Past] = []
        good = 0
        for past in reversed(readings):
            newest.append(past)
            good += not past.doubtful
            if good > AT_MOST and hours(newest[0].time - past.time) >= self._over:
                break
        return tuple(reversed(newest))

    def _whole(self, key: ChordKey, place: int, segment: Segment, length: int) -> Segment:
        newest = segment.readings
        if len(newest) == length:
            return segment

        def load() -> Sequence[Past]:
            return self._stories.passing(key).ground.segments[place].readings

        return replace(segment, readings=Newest(newest, length, load))
