"""What is known before each row: earlier readings of other surveys, booked ones and the sheet's own.

    Ground of the job ──► Before ── at(time, label) ──► Ground: chords worked out when asked for
                              ▲
    rows of the sheet, as they are judged ── add

The ground before a row holds no reading of its own survey and none that was taken later, so that a row is judged alike
whether it is booked with the rest of a sheet, alone, or a year late.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterator, Mapping
from datetime import datetime

from fieldtui.job.segments import chord_ground
from fieldtui.reduction import ChordGround, Ground, Length, Past
from fieldtui.route import ChordKey

Instrument = tuple[str, str]
_NEVER = ChordGround()


class _Chord:
    """One chord's readings in order of time, one for each survey."""

    def __init__(self, pasts: list[Past]) -> None:
        self.pasts = sorted(pasts, key=_time)
        self._made: tuple[list[Past], ChordGround] = ([], _NEVER)

    def add(self, past: Past) -> None:
        same = next((place for place, one in enumerate(self.pasts) if one.survey == past.survey), None)
        if same is not None:
            if past.doubtful and not self.pasts[same].doubtful:
                return
            del self.pasts[same]
        insort(self.pasts, past, key=_time)

    def ground(self, at: datetime, survey: str, sets: int) -> ChordGround:
        """The segments of the readings before a time, without those of a survey."""
        upto = bisect_left(self.pasts, at, key=_time)
        earlier = [past for past in self.pasts[:upto] if past.survey != survey]
        if earlier != self._made[0]:
            self._made = (earlier, chord_ground(earlier, sets) if earlier else _NEVER)
        return self._made[1]


class _Chords(Mapping[ChordKey, ChordGround]):
    """Every chord's ground before a time; each is worked out when it is first asked for."""

    def __init__(self, chords: Mapping[ChordKey, _Chord], at: datetime, survey: str, sets: int) -> None:
        self._chords, self._at, self._survey, self._sets = chords, at, survey, sets
        self._made: dict[ChordKey, ChordGround] = {}

    def __getitem__(self, key: ChordKey) -> ChordGround:
        if key not in self._made:
            self._made[key] = self._chords[key].ground(self._at, self._survey, self._sets)
        return self._made[key]

    def __iter__(self) -> Iterator[ChordKey]:
        return iter(self._chords)

    def __len__(self) -> int:
        return len(self._chords)


class Before:
    """All readings so far, in order of time."""

    def __init__(self, ground: Ground, baseline_sets: int) -> None:
        self._sets = baseline_sets
        self._frames: dict[Instrument, dict[str, list[Past]]] = {}
        for instrument, pasts in ground.frames.items():
            for past in pasts:
                self.add_frame(instrument, past)
        self._chords = {
            key: _Chord([past for segment in chord.segments for past in segment.readings])
            for key, chord in ground.chords.items()
        }
        self._times: dict[str, list[datetime]] = {}
        self._all: list[datetime] = []
        for chord in self._chords.values():
            for past in chord.pasts:
                self._times.setdefault(past.survey, []).append(past.time)
                self._all.append(past.time)
        self._all.sort()
        for times in self._times.values():
            times.sort()

    def count(self, at: datetime, survey: str) -> int:
        """How many readings the ground before a time rests on: the ground is the same while this is."""
        return bisect_left(self._all, at) - bisect_left(self._times.get(survey, []), at)

    def ground(self, at: datetime, survey: str) -> Ground:
        """What is known before a time, the survey's own readings left out."""
        return Ground(chords=_Chords(self._chords, at, survey, self._sets))

    def frame_reference(self, instrument: Instrument, at: datetime, survey: str) -> tuple[Length, ...]:
        """The frame's lengths in the first survey before a time that read it with this tape and extensometer."""
        earlier = (
            (pasts[0].time, label)
            for label, pasts in self._frames.get(instrument, {}).items()
            if label != survey and pasts[0].time < at
        )
        first = min(earlier, default=None)
        return tuple(past.length for past in self._frames[instrument][first[1]]) if first is not None else ()

    def add(self, key: ChordKey, past: Past) -> None:
        """One more reading of a chord."""
        self._chords.setdefault(key, _Chord([])).add(past)
        insort(self._all, past.time)
        insort(self._times.setdefault(past.survey, []), past.time)

    def add_frame(self, instrument: Instrument, past: Past) -> None:
        """One more reading of the control frame."""
        insort(self._frames.setdefault(instrument, {}).setdefault(past.survey, []), past, key=_time)


def _time(past: Past) -> datetime:
    return past.time
