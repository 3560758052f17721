"""Calls while a survey is being walked: those of earlier surveys, and those that its own readings open.

    earlier surveys ── look(chord) ──► what they said of its levels, as far as it still matters
    the walk's own bookings, as they stand ──────────────────────────────────────────────────┴──► calls, open calls

Earlier surveys are looked at once, chord by chord; after an entry only what it changes is worked out anew.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct

from fieldtui.job.calls import (
    Call,
    ChordCalls,
    Seen,
    has_left,
    in_order,
    is_below,
    oldest_first,
    renamed,
    seen_in,
    tellings,
)
from fieldtui.job.history import rows_of
from fieldtui.job.job import Job
from fieldtui.job.live import assess_chord
from fieldtui.job.stories import ChordStory
from fieldtui.reduction import LevelState
from fieldtui.route import ChordKey
from fieldtui.survey import Booking, CallTold, Target

if TYPE_CHECKING:
    from fieldtui.job.walk import Walk

_CLOCK = timedelta(days=1)
"""A clock set back by more than this in a survey has its chords' earlier readings looked at again."""


class _Past(Struct, frozen=True):
    """What earlier surveys said of a chord: its calls up to a time, and what was seen of it after that."""

    calls: ChordCalls
    later: tuple[Seen, ...]


class _Numbered:
    """Ids of surveys by numbers that all share: a chord may be over its level for years."""

    __slots__ = ("_bits", "_numbers")

    def __init__(self, numbers: dict[str, int]) -> None:
        self._numbers, self._bits = numbers, 0

    def add(self, survey: str) -> None:
        self._bits |= 1 << self._numbers.setdefault(survey, len(self._numbers))

    def __contains__(self, survey: object) -> bool:
        number = self._numbers.get(survey) if isinstance(survey, str) else None
        return number is not None and bool(self._bits >> number & 1)


class LiveCalls:
    """The calls of one walk. Practice opens none."""

    def __init__(self, job: Job, walk: Walk) -> None:
        self._job, self._walk = job, walk
        self.account = job.apart_from(walk.survey)
        self._names = self.account.names
        self._since = walk.begun - _CLOCK
        self._past: dict[ChordKey, _Past] = {}
        self._numbers = {one: number for number, one in enumerate([*self.account.by_id, walk.survey])}
        self._told = tuple(tellings(self.account.surveys, job.journals, self._names))
        self._assessed: dict[Target, tuple[tuple[object, ...], tuple[LevelState, ...]]] = {}
        self.behind = False
        """Whether somebody looks at the chords meanwhile: then nobody waits for those that are left."""

    @property
    def left(self) -> tuple[ChordKey, ...]:
        """Chords of which it is not yet known what earlier surveys said."""
        return tuple(self._waiting)

    @cached_property
    def _waiting(self) -> dict[ChordKey, None]:
        # asked for at every key: nobody goes through all chords for it
        return dict.fromkeys(self.account.stories.under)

    def look(self, key: ChordKey, story: ChordStory | None) -> None:
        """Take note of what earlier surveys said of a chord; its story, None where it was never read."""
        self._past[key] = self._look(key, story, self._since)
        self._waiting.pop(key, None)

    def _look(self, key: ChordKey, story: ChordStory | None, since: datetime) -> _Past:
        rows = rows_of(self.account, self._job.corrections, key, story)
        several = in_order(seen_in(rows, self.account.by_id))
        before = sum(1 for one in several if one.time < since)
        calls = ChordCalls(lambda: _Numbered(self._numbers))
        for place in range(before):
            calls.take(several, place)
        return _Past(calls, tuple(several[before:]))

    def every(self) -> tuple[Call, ...]:
        """Every call, the oldest first, those already told of as well."""
        for key in self.left if not self.behind else ():
            self.look(key, self.account.stories.passing_or_none(key))
        own: dict[ChordKey, list[Seen]] = {}
        for one in () if self._walk.practice else self._own():
            own.setdefault(one.key, []).append(one)
        told: dict[ChordKey, list[CallTold]] = {}
        for telling in (*self._told, *renamed(self._walk.state.calls, self._names)):
            told.setdefault((telling.station, telling.chord), []).append(telling)
        past = dict(self._past)
        return oldest_first(
            call
            for key in {**past, **own}
            for call in self._of_chord(key, past.get(key), own.get(key, [])).told(told.get(key, []))
        )

    def _of_chord(self, key: ChordKey, past: _Past | None, own: Sequence[Seen]) -> ChordCalls:
        if past is None:
            return ChordCalls().going_on(in_order(own))
        first = min((one.time for one in own), default=self._since)
        if first < self._since:  # the laptop's clock was wrong by a lot, and has been put right
            past = self._look(key, self.account.stories.passing_or_none(key), first)
        return past.calls.going_on(in_order([*past.later, *own])) if past.later or own else past.calls

    def open(self) -> tuple[Call, ...]:
        """Calls of which somebody has still to be told."""
        return tuple(call for call in self.every() if call.untold)

    def _own(self) -> Iterator[Seen]:
        walk = self._walk
        together: dict[tuple[str, str], tuple[Booking, ...]] = {}
        for target, booking in walk.state.bookings.items():
            if target.is_chord:
                together[target.line] = (*together.get(target.line, ()), booking)
        for target, booking in walk.state.bookings.items():
            if not target.is_chord or not booking.was_read or booking.read_at is None:
                continue
            states = self._states(target, booking, together[target.line])
            if states:
                _, chord = walk.place(target)
                yield Seen(
                    self._names.chord(target.key, booking.read_at),
                    walk.survey,
                    walk.label,
                    booking.read_at,
                    target.reading,
                    states,
                    chord.levels,
                    booking.outcome == "read",
                    not is_below(states) and has_left(walk.state, target),
                )

    def _states(self, target: Target, booking: Booking, together: tuple[Booking, ...]) -> tuple[LevelState, ...]:
        """How a booking stands to its levels: worked out anew where one of its chord's or the frame has changed."""
        rests_on = (together, self._walk.frame_shift(booking.tape, booking.extensometer))
        known = self._assessed.get(target)
        if known is None or known[0] != rests_on or booking.temperature is None:
            assessment = assess_chord(self._walk, target)
            known = self._assessed[target] = (rests_on, assessment.levels if assessment is not None else ())
        return known[1]


def calls_with(job: Job, walk: Walk) -> tuple[Call, ...]:
    """Every call, the oldest first, those already told of as well."""
    return LiveCalls(job, walk).every()


def open_calls_with(job: Job, walk: Walk) -> tuple[Call, ...]:
    """Calls of which somebody has still to be told."""
    return LiveCalls(job, walk).open()
