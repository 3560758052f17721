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
from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from fieldtui.job import Job, Reading
from fieldtui.job.proof import Held, Instrument
from fieldtui.paper.growing import GrowingChord
from fieldtui.reduction import ChordGround, Event, Ground, Length, Past
from fieldtui.reduction.chart import Chart
from fieldtui.reduction.frame_proof import empty_chart, grown
from fieldtui.route import ChordKey, Route

_FrameRead = tuple[datetime, str, Mapping[str, Length]]


class _Chords(Mapping[ChordKey, ChordGround]):
    """Every chord's ground before a time; each is worked out when it is first asked for."""

    def __init__(
        self, chords: Mapping[ChordKey, GrowingChord], at: datetime, survey: str, instrument: Instrument | None
    ) -> None:
        self._chords, self._at, self._survey, self._instrument = chords, at, survey, instrument
        self._made: dict[ChordKey, ChordGround] = {}

    def __getitem__(self, key: ChordKey) -> ChordGround:
        if key not in self._made:
            self._made[key] = self._ground(self._chords[key])
        return self._made[key]

    def get(self, key: ChordKey, default: Any = None) -> Any:
        """As of any mapping, without an error raised and caught for each chord."""
        return self[key] if key in self._chords else default

    def _ground(self, chord: GrowingChord) -> ChordGround:
        """With what would be carried into a new segment only where one begins: hardly ever, and it takes its time."""
        bare = chord.ground(self._at, self._survey, carry=False)
        if self._instrument is None or bare.segment(*self._instrument) is not None:
            return bare
        return chord.ground(self._at, self._survey)

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
            key: GrowingChord(story.rules, self.account.route, story.readings)
            for key, story in self.account.stories.items()
        }
        self._frames: dict[Instrument, dict[str, list[Past]]] = {}
        self._first: dict[Instrument, list[tuple[datetime, str]]] = {}
        for frame in self.account.frames:
            self.add_frame(frame.instrument, Past(frame.time, frame.length, frame.survey, False, frame.part))
        self._charts: dict[Instrument, tuple[Chart, list[_FrameRead], Chart]] = {}
        self._all: list[datetime] = []
        self._own: dict[str, list[datetime]] = {}
        for reading in self.account.readings:
            self._count(reading)

    def count(self, at: datetime, survey: str) -> int:
        """How many readings the ground before a time rests on: the ground is the same while this is."""
        return bisect_left(self._all, at) - bisect_left(self._own.get(survey, []), at)

    def ground(self, at: datetime, survey: str, instrument: Instrument | None = None) -> Ground:
        """What is known before a time, the survey's own readings left out.

        Movement is carried into a new segment of the instrument in hand; a verdict, for which it does not count,
        names none.
        """
        events: tuple[Event, ...] = tuple(event for event in self._events if event.time < at)
        return Ground(chords=_Chords(self._chords, at, survey, instrument), events=events)

    def frame_reference(self, instrument: Instrument, at: datetime, survey: str) -> tuple[Length, ...]:
        """The frame's lengths in the first survey before a time that read it with this tape and extensometer.

        What was read before the frame or the instrument became another one is no reference.
        """
        for time, other in self._first.get(instrument, ()):
            if other != survey and self._same_frame(instrument, time, at):
                return tuple(past.length for past in self._frames[instrument][other]) if time < at else ()
        return ()

    def held(self, instrument: Instrument, at: datetime, survey: str, route: Route) -> Held:
        """What the frame read with an instrument is held against in a survey begun at a time."""
        chart = None
        if route.controls:
            empty = empty_chart(route.controls[0], route.extensometer(instrument[1]))
            read = [
                (time, name, parts)
                for time, name, parts in sorted(self._charted(instrument, route), key=lambda one: one[:2])
                if time < at and name != survey and self._same_frame(instrument, time, at)
            ]
            chart = self._chart(instrument, empty, read)
        return Held(self.frame_reference(instrument, at, survey), chart)

    def _chart(self, instrument: Instrument, empty: Chart, read: list[_FrameRead]) -> Chart:
        """The chart of those readings, gone on from the one before where that is its beginning."""
        begun, known, chart = self._charts.get(instrument, (empty, [], empty))
        if begun != empty or read[: len(known)] != known:
            known, chart = [], empty
        for time, name, parts in read[len(known) :]:
            chart = grown(chart, time, name, parts)
        self._charts[instrument] = (empty, read, chart)
        return chart

    def _same_frame(self, instrument: Instrument, one: datetime, other: datetime) -> bool:
        return self.account.frame_generation(instrument, one) == self.account.frame_generation(instrument, other)

    def _charted(self, instrument: Instrument, route: Route) -> Iterator[_FrameRead]:
        """Every survey that has read the frame with an instrument, this route's and others'."""
        for time, survey in self._first.get(instrument, ()):
            yield time, survey, {past.note: past.length for past in self._frames[instrument][survey]}
        for one in self.account.elsewhere:
            if (one.instrument, one.control) == (instrument, route.controls[0].name):
                yield one.time, one.name, one.parts

    def add(self, reading: Reading) -> None:
        """One more reading of a chord."""
        if reading.key not in self._chords:
            self._chords[reading.key] = GrowingChord(self.account.rules(reading.key), self.account.route, ())
        self._chords[reading.key].add(reading)
        self._count(reading)

    def twin(self, reading: Reading) -> Reading | None:
        """The same reading of a chord in another survey, if there is one."""
        return self._chords[reading.key].twin(reading) if reading.key in self._chords else None

    def add_frame(self, instrument: Instrument, past: Past) -> None:
        """One more reading of the control frame; `past.survey` is the survey's id."""
        own = self._frames.setdefault(instrument, {}).setdefault(past.survey, [])
        insort(own, past, key=_time)
        if own[0] is past:
            first = self._first.setdefault(instrument, [])
            first[:] = [one for one in first if one[1] != past.survey]
            insort(first, (past.time, past.survey))

    def _count(self, reading: Reading) -> None:
        insort(self._all, reading.time)
        insort(self._own.setdefault(reading.survey, []), reading.time)


def _time(one: Past) -> datetime:
    return one.time
