"""Calls while a survey is being walked: those of earlier surveys, and those that its own readings open.

    earlier surveys ── look(chord) ──► what they said of its levels, as far as it still matters
    the walk's own bookings, as they stand ──────────────────────────────────────────────────┴──► calls, open calls

Earlier surveys are looked at once, chord by chord; after an entry only what it changes is worked out anew.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import TYPE_CHECKING

from fieldtui.job.calls import Call, Seen, calls_of, has_left, is_below, mattering, renamed, seen_in, tellings
from fieldtui.job.history import rows_of
from fieldtui.job.job import Job
from fieldtui.job.live import assess_chord
from fieldtui.job.stories import ChordStory
from fieldtui.reduction import LevelState
from fieldtui.route import ChordKey
from fieldtui.survey import Booking, Target

if TYPE_CHECKING:
    from fieldtui.job.walk import Walk

_CLOCK = timedelta(days=1)
"""A clock set back by more than this in a survey has its chords' earlier readings looked at again."""


class LiveCalls:
    """The calls of one walk. Practice opens none."""

    def __init__(self, job: Job, walk: Walk) -> None:
        self._job, self._walk = job, walk
        self._account = job.apart_from(walk.survey)
        self._names = self._account.names
        self._since = walk.begun - _CLOCK
        self._past: dict[ChordKey, tuple[Seen, ...]] = {}
        self._told = tuple(tellings(self._account.surveys, job.journals, self._names))
        self._assessed: dict[Target, tuple[tuple[object, ...], tuple[LevelState, ...]]] = {}
        self.behind = False
        """Whether somebody looks at the chords meanwhile: then nobody waits for those that are left."""

    @property
    def left(self) -> tuple[ChordKey, ...]:
        """Chords of which it is not yet known what earlier surveys said."""
        return tuple(key for key in self._account.stories.under if key not in self._past)

    def look(self, key: ChordKey, story: ChordStory | None) -> None:
        """Take note of what earlier surveys said of a chord; its story, None where it was never read."""
        self._past[key] = mattering(self._seen(key, story), self._since)

    def every(self) -> tuple[Call, ...]:
        """Every call, the oldest first, those already told of as well."""
        for key in self.left if not self.behind else ():
            self.look(key, self._account.stories.passing_or_none(key))
        past, own = dict(self._past), () if self._walk.practice else tuple(self._own())
        # the clock of this laptop was wrong by a lot, and has been put right
        for key in {one.key for one in own if one.time < self._since and one.key in past}:
            past[key] = tuple(self._seen(key, self._account.stories.passing_or_none(key)))
        told = [*self._told, *renamed(self._walk.state.calls, self._names)]
        return calls_of([*(one for several in past.values() for one in several), *own], told)

    def open(self) -> tuple[Call, ...]:
        """Calls of which somebody has still to be told."""
        return tuple(call for call in self.every() if call.untold)

    def _seen(self, key: ChordKey, story: ChordStory | None) -> Iterator[Seen]:
        rows = rows_of(self._account, self._job.corrections, key, story)
        return seen_in(rows, self._account.by_id)

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
