"""What is known before each row: earlier readings of other surveys, booked ones and the sheet's own.

    Job ──► Before ── ground(at, survey) ──► Ground: chords worked out when asked for
              ▲
    rows of the sheet, as they are judged ── add

The ground before a row holds no reading of its own survey and none that was taken later, so that a row is judged alike
whether it is booked with the rest of a sheet, alone, or a year late. What a chord's readings come to is the job's to
say: here they are only held back until their time.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from fieldtui.job import Job, Reading
from fieldtui.job.account import Account, ground_of_chord
from fieldtui.job.rules import Rules
from fieldtui.reduction import ChordGround, Event, Ground, Length, Past
from fieldtui.route import ChordKey

Instrument = tuple[str, str]


class _Chord:
    """One chord's readings in order of time."""

    def __init__(self, rules: Rules, readings: Sequence[Reading]) -> None:
        self.rules = rules
        self.readings = list(readings)
        self._made: tuple[list[Reading], ChordGround] = ([], ChordGround())

    def ground(self, at: datetime, survey: str, account: Account) -> ChordGround:
        """What is known of the chord from readings before a time, without those of a survey."""
        upto = bisect_left(self.readings, at, key=_time)
        earlier = [reading for reading in self.readings[:upto] if reading.survey != survey]
        # the same readings, as a rule: lists of the same objects compare quickly
        if earlier != self._made[0]:
            self._made = (earlier, ground_of_chord(earlier, self.rules, account.route))
        return self._made[1]


class _Chords(Mapping[ChordKey, ChordGround]):
    """Every chord's ground before a time; each is worked out when it is first asked for."""

    def __init__(self, chords: Mapping[ChordKey, _Chord], at: datetime, survey: str, account: Account) -> None:
        self._chords, self._at, self._survey, self._account = chords, at, survey, account
        self._made: dict[ChordKey, ChordGround] = {}

    def __getitem__(self, key: ChordKey) -> ChordGround:
        if key not in self._made:
            self._made[key] = self._chords[key].ground(self._at, self._survey, self._account)
        return self._made[key]

    def __iter__(self) -> Iterator[ChordKey]:
        return iter(self._chords)

    def __len__(self) -> int:
        return len(self._chords)


class Before:
    """All readings so far, in order of time."""

    def __init__(self, job: Job) -> None:
        self.account = job.account
        self._events = self.account.ground.events
        self._chords = {
            key: _Chord(story.rules, sorted(story.readings, key=_time)) for key, story in self.account.stories.items()
        }
        self._frames: dict[Instrument, dict[str, list[Past]]] = {}
        for frame in self.account.frames:
            self.add_frame(frame.instrument, Past(frame.time, frame.length, frame.survey, False, frame.part))
        self._all: list[datetime] = []
        self._own: dict[str, list[datetime]] = {}
        for reading in self.account.readings:
            self._count(reading)

    def count(self, at: datetime, survey: str) -> int:
        """How many readings the ground before a time rests on: the ground is the same while this is."""
        return bisect_left(self._all, at) - bisect_left(self._own.get(survey, []), at)

    def ground(self, at: datetime, survey: str) -> Ground:
        """What is known before a time, the survey's own readings left out."""
        events: tuple[Event, ...] = tuple(event for event in self._events if event.time < at)
        return Ground(chords=_Chords(self._chords, at, survey, self.account), events=events)

    def frame_reference(self, instrument: Instrument, at: datetime, survey: str) -> tuple[Length, ...]:
        """The frame's lengths in the first survey before a time that read it with this tape and extensometer."""
        surveys = self._frames.get(instrument, {})
        earlier = ((pasts[0].time, one) for one, pasts in surveys.items() if one != survey and pasts[0].time < at)
        first = min(earlier, default=None)
        return tuple(past.length for past in surveys[first[1]]) if first is not None else ()

    def add(self, reading: Reading) -> None:
        """One more reading of a chord."""
        if reading.key not in self._chords:
            self._chords[reading.key] = _Chord(self.account.rules(reading.key), ())
        chord = self._chords[reading.key]
        insort(chord.readings, reading, key=_time)
        self._count(reading)

    def add_frame(self, instrument: Instrument, past: Past) -> None:
        """One more reading of the control frame; `past.survey` is the survey's id."""
        insort(self._frames.setdefault(instrument, {}).setdefault(past.survey, []), past, key=_time)

    def _count(self, reading: Reading) -> None:
        insort(self._all, reading.time)
        insort(self._own.setdefault(reading.survey, []), reading.time)


def _time(one: Reading | Past) -> datetime:
    return one.time
