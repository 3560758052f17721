"""One chord's readings as they come in, and what is known of it before a time.

What a chord's readings come to is the job's to say (`account.segments_of_chord`), and in a long sheet it would be asked
again and again with one more reading than before. Where that reading only goes on with a segment, the segment is made
one reading longer, since nothing else can have changed: that is told apart here, and a test holds the two ways equal.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Sequence
from datetime import datetime

from msgspec.structs import replace

from fieldtui.job import Reading
from fieldtui.job.account import segments_of_chord
from fieldtui.job.carried import CarriedSegment
from fieldtui.job.rules import Rules
from fieldtui.job.segments import ground_of
from fieldtui.job.twice import WITHIN, same_reading
from fieldtui.reduction import ChordGround, Past
from fieldtui.route import Route


class GrowingChord:
    """A chord with its rules; readings are added in any order."""

    def __init__(self, rules: Rules, route: Route, readings: Sequence[Reading]) -> None:
        self._rules, self._route = rules, route
        self._readings = sorted(readings, key=_time)
        self._every = {one.survey for one in readings}
        self._earlier: list[Reading] = []
        self._surveys: set[str] = set()
        self._segments: tuple[CarriedSegment, ...] = ()
        self._grounds: dict[tuple[bool, int], ChordGround] = {}

    def add(self, reading: Reading) -> None:
        """One more reading."""
        insort(self._readings, reading, key=_time)
        self._every.add(reading.survey)

    def twin(self, reading: Reading) -> Reading | None:
        """The same reading in another survey, if there is one."""
        place = bisect_left(self._readings, reading.time - WITHIN, key=_time)
        while place < len(self._readings) and self._readings[place].time - reading.time <= WITHIN:
            if same_reading(self._readings[place], reading):
                return self._readings[place]
            place += 1
        return None

    def ground(self, at: datetime, survey: str, *, carry: bool = True) -> ChordGround:
        """What is known of the chord from readings before a time, without those of a survey (its id).

        Without `carry` the movement that a new segment would go on from is left out.
        """
        earlier = self._readings[: bisect_left(self._readings, at, key=_time)]
        if survey in self._every:
            earlier = [reading for reading in earlier if reading.survey != survey]
        # lists of the same objects, as a rule: they compare quickly
        if earlier != self._earlier:
            self._go_on(earlier)
        known = (carry, self._rules.declared_by(at))
        if known not in self._grounds:
            self._grounds[known] = ground_of(self._segments, self._rules, at=at, carry=carry)
        return self._grounds[known]

    def _go_on(self, earlier: list[Reading]) -> None:
        longer = self._longer(earlier)
        if longer:
            self._surveys.add(earlier[-1].survey)
        else:
            self._surveys = {one.survey for one in earlier}
        self._segments = longer or segments_of_chord(earlier, self._rules, self._route)
        self._earlier, self._grounds = earlier, {}

    def _longer(self, earlier: list[Reading]) -> tuple[CarriedSegment, ...]:
        """The segments with one reading more, where it only goes on with one of them; else none."""
        if not self._earlier or len(earlier) != len(self._earlier) + 1 or earlier[:-1] != self._earlier:
            return ()
        reading = earlier[-1]
        if _special(reading) or self._unsettled(reading) or reading.survey in self._surveys:
            return ()
        generation = self._rules.generation(reading.length.tape, reading.length.extensometer, reading.time)
        thing = (reading.length.tape, reading.length.extensometer, generation)
        own = next((one for one in self._segments if one.thing == thing), None)
        if own is None or len(own.baseline) < self._rules.baseline_sets or self._may_tie(own, reading):
            return ()
        past = Past(reading.time, reading.length, reading.label)
        grown = replace(own, readings=(*own.readings, past))
        return tuple(grown if one is own else one for one in self._segments)

    def _unsettled(self, reading: Reading) -> bool:
        """Whether the reading before it with this instrument is one that it may confirm.

        Those that are the same reading in several surveys stand for one: the first of them may be in doubt as well.
        """
        instrument = (reading.length.tape, reading.length.extensometer)
        newer = None
        for one in reversed(self._earlier):
            if (one.length.tape, one.length.extensometer) != instrument:
                continue
            if newer is not None and not same_reading(one, newer):
                return False
            if _special(one):
                return True
            newer = one
        return newer is None

    def _may_tie(self, own: CarriedSegment, reading: Reading) -> bool:
        """Whether a reading of another segment is of the same day: the two may be a tie."""
        day = self._rules.day(reading.time)
        return any(self._rules.day(one.readings[-1].time) == day for one in self._segments if one is not own)


def _special(reading: Reading) -> bool:
    """Whether it is or was doubtful, or was taken over: then those around it are looked at together."""
    return reading.doubtful or reading.note != "" or reading.booking.is_earlier


def _time(reading: Reading) -> datetime:
    return reading.time
