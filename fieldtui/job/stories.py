"""Each chord through all surveys, made when it is asked for from the bookings of that chord alone.

surveys, names ── under ──► which names a chord was booked under
key ── Stories[key] ──► ChordStory, kept      ── passing(key) ──► the same, let go again
                   └──► beginning(key): its first two good readings, from the first surveys where that is enough
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from functools import cached_property
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.job.carried import CarriedSegment
from fieldtui.job.doubt import weighed
from fieldtui.job.names import Names
from fieldtui.job.readings import Reading, SurveyReadings
from fieldtui.job.rules import Rules
from fieldtui.job.segments import EVER, ground_of, segments
from fieldtui.job.survey import Survey
from fieldtui.reduction import ChordGround, Past
from fieldtui.route import ChordKey, Route
from fieldtui.survey import FRAME_KEY, ZERO_KEY

_FIRST = datetime.min.replace(tzinfo=UTC)
"""Before all that was declared."""


class ChordStory(Struct, frozen=True, dict=True):
    """One chord through all surveys."""

    key: ChordKey
    rules: Rules
    readings: tuple[Reading, ...]
    """Every booking with a length, in order of time."""
    segments: tuple[CarriedSegment, ...]

    at: datetime = EVER
    """The time before which it was told."""

    @cached_property
    def ground(self) -> ChordGround:
        return ground_of(self.segments, self.rules, at=self.at)

    def segment(self, reading: Reading) -> CarriedSegment | None:
        """The segment that a reading is in, or would be in if it counted."""
        return next((one for one in self.segments if one.thing == reading.thing), None)


class Stories(Mapping[ChordKey, ChordStory]):
    """The story of each chord that was ever read, by its present name. See the module."""

    def __init__(
        self,
        route: Route,
        surveys: Sequence[Survey],
        names: Names,
        readings_of: Callable[[Survey], SurveyReadings],
        rules: Callable[[ChordKey], Rules],
        labels: Mapping[str, str],
        before: datetime | None,
    ) -> None:
        self._route, self._surveys, self._names = route, surveys, names
        self._readings_of, self._rules, self._labels, self._before = readings_of, rules, labels, before
        self._made: dict[ChordKey, ChordStory] = {}
        self._begun: dict[ChordKey, tuple[Past, ...] | None] = {}

    def __getitem__(self, key: ChordKey) -> ChordStory:
        if key not in self._made:
            self._made[key] = self.passing(key)
        return self._made[key]

    def passing(self, key: ChordKey) -> ChordStory:
        """A chord's story that is not kept: a year of readings weighs more than what is wanted of it."""
        if key in self._made:
            return self._made[key]
        readings = tuple(self._booked(key, self._surveys))
        if not readings:
            raise KeyError(key)
        rules = self._rules(key)
        counted = weighed(placed(readings, rules), self._route)
        return ChordStory(key, rules, counted, segments(pasts(counted), rules), self._before or EVER)

    def passing_or_none(self, key: ChordKey) -> ChordStory | None:
        """As `passing`; None for a chord that was never read."""
        try:
            return self.passing(key)
        except KeyError:
            return None

    def __iter__(self) -> Iterator[ChordKey]:
        return iter(self._keys)

    def __len__(self) -> int:
        return len(self._keys)

    def __contains__(self, key: object) -> bool:
        return key in self._made or key in self._keys

    @cached_property
    def _keys(self) -> tuple[ChordKey, ...]:
        # a chord that was booked and never read, or only after the time in question, has no story
        return tuple(key for key in self.under if any(self._some(key)))

    @cached_property
    def under(self) -> Mapping[ChordKey, tuple[ChordKey, ...]]:
        """Every chord that anything was booked of, in order: its present name, and the names it was booked under."""
        booked: dict[ChordKey, None] = {}
        seen: set[int] = set()
        for survey in self._surveys:
            # kept surveys share one list
            if id(keys := survey.booked_under) not in seen:
                seen.add(id(keys))
                booked |= dict.fromkeys(keys)
        found: dict[ChordKey, list[ChordKey]] = {}
        for key in booked:
            if key not in (FRAME_KEY, ZERO_KEY):
                for at in (_FIRST, *self._names.changes):
                    found.setdefault(self._names.chord(key, at), []).append(key)
        return {key: tuple(dict.fromkeys(found[key])) for key in sorted(found)}

    def _booked(self, key: ChordKey, surveys: Iterable[Survey]) -> Iterator[Reading]:
        under = self.under.get(key, ())
        for survey in surveys:
            yield from self._in_survey(key, under, survey)

    def _in_survey(self, key: ChordKey, under: Sequence[ChordKey], survey: Survey) -> Iterator[Reading]:
        for name in under:
            bookings = survey.bookings_of(name)
            if not bookings:
                continue
            for reading in self._readings_of(survey).of(bookings):
                is_it = self._names.chord(reading.key, reading.time) == key
                if is_it and (self._before is None or reading.time < self._before):
                    yield replace(reading, key=key, label=self._labels.get(survey.id, survey.label))

    # -- the first readings ------------------------------------------------------------------------------------------

    def beginning(self, key: ChordKey) -> tuple[Past, ...]:
        """The first two readings of a chord's first segment that are not doubtful, or fewer."""
        if key not in self._begun:
            early = tuple(self._some(key))
            self._begun[key] = tuple(pasts(early)) if self._plain(early) else None
        known = self._begun[key]
        if known is None:
            first = self.passing(key).segments[:1]
            known = self._begun[key] = tuple(past for one in first for past in one.readings if not past.doubtful)[:2]
        return known

    def _some(self, key: ChordKey) -> Iterator[Reading]:
        """The readings of the first two surveys that have any, and of those that were begun before these were over."""
        under = self.under.get(key, ())
        last, surveys = _FIRST, 0
        for survey in self._surveys:
            if surveys >= 2 and survey.started > last:
                return
            own = list(self._in_survey(key, under, survey))
            surveys += bool(own)
            last = max([last, *(one.time for one in own)])
            yield from own

    def _plain(self, early: Sequence[Reading]) -> bool:
        """Whether nothing that comes later can change what the first two readings are to each other."""
        in_order = all(before.order < after.order for before, after in pairwise(early))
        things = {one.thing for one in placed(early, self._rules(early[0].key))} if early else set()
        own = {one.survey for one in early}
        no_doubt = not any(one.doubtful or one.booking.is_earlier for one in early)
        return len(early) == 2 and len(own) == 2 and len(things) == 1 and in_order and no_doubt


def placed(readings: Sequence[Reading], rules: Rules) -> Sequence[Reading]:
    """Readings in the generation that they are of, and as they were before any other reading was looked at."""
    found = []
    for one in readings:
        generation = (
            rules.generation(one.length.tape, one.length.extensometer, one.time) if rules.renewals or rules.ended else 0
        )
        if one.generation != generation or one.confirmed_by:
            one = replace(one, generation=generation, doubtful=one.note != "", confirmed_by="")
        found.append(one)
    return found


def pasts(readings: Sequence[Reading]) -> Iterator[Past]:
    """What the segments are made of: of each survey the reading that counts, or where none does, its last one."""
    counting = {(one.survey, one.thing) for one in readings if one.counts}
    last = {(one.survey, one.thing): one.order for one in readings}
    for one in readings:
        place = (one.survey, one.thing)
        if one.counts or (place not in counting and last[place] == one.order):
            baseline = one.booking.baseline
            yield Past(one.time, one.length, one.label, one.doubtful, one.note if one.doubtful else "", baseline)
