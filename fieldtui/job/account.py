"""What a set of surveys comes to: readings in order of time, each chord's segments, the control frames, the ground.

    surveys + journals ── Account ──► readings ──► stories: one for each chord ──► ground

All surveys of a job give its history; all but one, or those before a time, give what was known then. The same code
makes both, so they cannot disagree.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property

from fieldtui.job.carried import CarriedSegment
from fieldtui.job.declared import NewThing
from fieldtui.job.doubt import weighed
from fieldtui.job.elsewhere import FrameElsewhere
from fieldtui.job.happened import events
from fieldtui.job.journal import Journals
from fieldtui.job.names import Names
from fieldtui.job.proof import Held, Instrument
from fieldtui.job.readings import Reading, Reductions, survey_readings
from fieldtui.job.rules import Rules, rules_for
from fieldtui.job.segments import EVER, ground_of, segments
from fieldtui.job.survey import Survey
from fieldtui.reduction import ChordGround, Ground, Length, Past
from fieldtui.reduction.chart import Chart
from fieldtui.reduction.frame_proof import empty_chart, grown
from fieldtui.route import ChordKey, Route


@dataclass(frozen=True)
class ChordStory:
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


@dataclass(frozen=True, slots=True)
class FrameReading:
    """The control frame as one survey read it, in a part of it, with one tape and extensometer."""

    survey: str
    label: str
    time: datetime
    instrument: Instrument
    part: str
    length: Length
    reference: tuple[Length, ...]
    """The lengths it is held against: those of the first survey that read the frame with this instrument."""
    chart: Chart
    """The chart of the surveys before."""


class Account:
    """See the module. `labels` gives each survey's id the label that no other survey of the job bears."""

    def __init__(
        self,
        route: Route,
        surveys: Iterable[Survey],
        journals: Journals,
        reductions: Reductions,
        names: Names,
        labels: Mapping[str, str],
        before: datetime | None = None,
        elsewhere: Sequence[FrameElsewhere] = (),
    ) -> None:
        self.route = route
        self.surveys = tuple(surveys)
        self.journals = journals
        self.names, self.labels = names, labels
        self._reductions, self._before = reductions, before
        self.elsewhere = tuple(elsewhere)
        """The frame in surveys of other routes, in order of time."""

    @cached_property
    def readings(self) -> tuple[Reading, ...]:
        """Every booking of a chord with a length, in order of the time of reading."""
        return tuple(sorted((one for story in self.stories.values() for one in story.readings), key=_order))

    @cached_property
    def stories(self) -> Mapping[ChordKey, ChordStory]:
        """Each chord that was ever read, by its present name."""
        of_chord: dict[ChordKey, list[Reading]] = {}
        for reading in self._booked():
            of_chord.setdefault(reading.key, []).append(reading)
        return {key: self._story(key, of_chord[key]) for key in sorted(of_chord)}

    def rules(self, key: ChordKey) -> Rules:
        """What was declared that concerns a chord."""
        declared = self.journals
        return rules_for(self.route, key, tuple(declared.new_things), tuple(declared.anchors), tuple(declared.epochs))

    @cached_property
    def frames(self) -> tuple[FrameReading, ...]:
        """The control frame in every survey, in order of time."""
        return self._framed[0]

    @cached_property
    def charts(self) -> Mapping[Instrument, Chart]:
        """The chart of the control frame with each tape and extensometer, as they are now."""
        charts = self._framed[1]
        return {
            instrument: chart
            for (instrument, generation), chart in charts.items()
            if generation == self.frame_generation(instrument, EVER)
        }

    @cached_property
    def ground(self) -> Ground:
        """What is known after these surveys."""
        frames: dict[Instrument, list[Past]] = {}
        for one in self.frames:
            if self.frame_generation(one.instrument, one.time) == self.frame_generation(one.instrument, EVER):
                past = Past(one.time, one.length, one.label, False, one.part)
                frames.setdefault(one.instrument, []).append(past)
        return Ground(
            chords={key: story.ground for key, story in self.stories.items()},
            frames={instrument: tuple(pasts) for instrument, pasts in frames.items()},
            charts=self.charts,
            events=events(self.surveys, self.journals.happenings, self._before),
        )

    def _story(self, key: ChordKey, readings: Sequence[Reading]) -> ChordStory:
        rules = self.rules(key)
        counted = weighed(_placed(readings, rules), self.route)
        return ChordStory(key, rules, counted, segments(_pasts(counted), rules), self._before or EVER)

    def _booked(self) -> Iterator[Reading]:
        held: dict[str, dict[Instrument, Held]] = {}
        for frame in self.frames:
            held.setdefault(frame.survey, {})[frame.instrument] = Held(frame.reference, frame.chart)
        for survey in self.surveys:
            for reading in survey_readings(survey, held.get(survey.id, {}), self._reductions):
                if self._before is None or reading.time < self._before:
                    key = self.names.chord(reading.key, reading.time)
                    yield replace(reading, key=key, label=self.labels.get(survey.id, survey.label))

    @cached_property
    def _framed(self) -> tuple[tuple[FrameReading, ...], Mapping[tuple[Instrument, int], Chart]]:
        """Every reading of the frame, and the charts after all of them, by instrument and its generation."""
        found: list[FrameReading] = []
        references: dict[tuple[Instrument, int], tuple[Length, ...]] = {}
        charts: dict[tuple[Instrument, int], Chart] = {}
        waiting = deque(one for one in self.elsewhere if self._before is None or one.time < self._before)
        for survey in self.surveys:
            if self._before is not None and survey.started >= self._before:
                continue
            while waiting and waiting[0].time < survey.started:
                self._chart_elsewhere(charts, waiting.popleft())
            route = self._reductions.route(survey)
            for instrument, parts in self._reductions.frames(survey, route).items():
                thing = (instrument, self.frame_generation(instrument, survey.started))
                reference = references.setdefault(thing, tuple(parts.values()))
                chart = charts.get(thing) or empty_chart(route.controls[0], route.extensometer(instrument[1]))
                label = self.labels.get(survey.id, survey.label)
                found += [
                    FrameReading(survey.id, label, survey.started, instrument, part, length, reference, chart)
                    for part, length in parts.items()
                ]
                charts[thing] = grown(chart, survey.started, label, parts)
        for one in waiting:
            self._chart_elsewhere(charts, one)
        return tuple(found), charts

    def _chart_elsewhere(self, charts: dict[tuple[Instrument, int], Chart], one: FrameElsewhere) -> None:
        """A reading of another route's survey goes into the chart, where the frame is this route's."""
        control = self.route.controls[0] if self.route.controls else None
        if control is not None and control.name == one.control:
            thing = (one.instrument, self.frame_generation(one.instrument, one.time))
            chart = charts.get(thing) or empty_chart(control, self.route.extensometer(one.instrument[1]))
            charts[thing] = grown(chart, one.time, one.name, one.parts)

    def frame_generation(self, instrument: Instrument, at: datetime) -> int:
        """How often the frame, the tape or the extensometer had become another one by then."""
        return sum(1 for one in self.journals.new_things if one.since <= at and _of_frame(one, instrument))


def ground_of_chord(readings: Sequence[Reading], rules: Rules, route: Route, at: datetime = EVER) -> ChordGround:
    """What is known of one chord after these readings, in any order, for a survey at a time: a story's ground."""
    return ground_of(segments_of_chord(readings, rules, route), rules, at=at)


def segments_of_chord(readings: Sequence[Reading], rules: Rules, route: Route) -> tuple[CarriedSegment, ...]:
    """The segments of one chord's readings, in any order."""
    return segments(_pasts(weighed(_placed(readings, rules), route)), rules)


def _placed(readings: Sequence[Reading], rules: Rules) -> Sequence[Reading]:
    """Readings in the generation that they are of, and as they were before any other reading was looked at."""
    placed = []
    for one in readings:
        generation = rules.generation(one.length.tape, one.length.extensometer, one.time) if rules.renewals else 0
        if one.generation != generation or one.confirmed_by:
            one = replace(one, generation=generation, doubtful=one.note != "", confirmed_by="")
        placed.append(one)
    return placed


def _of_frame(one: NewThing, instrument: Instrument) -> bool:
    table, name, _ = one.thing
    return table == "control" or (table, name) in (("tape", instrument[0]), ("extensometer", instrument[1]))


def _pasts(readings: Sequence[Reading]) -> Iterator[Past]:
    """What the segments are made of: of each survey the reading that counts, or where none does, its last one."""
    counting = {(one.survey, one.thing) for one in readings if one.counts}
    last = {(one.survey, one.thing): one.order for one in readings}
    for one in readings:
        place = (one.survey, one.thing)
        if one.counts or (place not in counting and last[place] == one.order):
            baseline = one.booking.baseline
            yield Past(one.time, one.length, one.label, one.doubtful, one.note if one.doubtful else "", baseline)


def _order(reading: Reading) -> tuple[object, ...]:
    return reading.order
