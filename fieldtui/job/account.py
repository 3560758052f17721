"""What a set of surveys comes to: readings in order of time, each chord's segments, the control frames, the ground.

    surveys + journals ── Account ──► stories: one for each chord, made when asked for ──► ground, readings

All surveys of a job give its history; all but one, or those before a time, give what was known then. The same code
makes both, so they cannot disagree.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from functools import cached_property

from fieldtui.job.carried import CarriedSegment
from fieldtui.job.declared import NewThing
from fieldtui.job.doubt import weighed
from fieldtui.job.elsewhere import FrameElsewhere
from fieldtui.job.framed import Framed, FrameReading
from fieldtui.job.grounds import Grounds, WhenAsked
from fieldtui.job.happened import events
from fieldtui.job.journal import Journals
from fieldtui.job.names import Names
from fieldtui.job.proof import Instrument
from fieldtui.job.readings import Reading, Reductions, SurveyReadings
from fieldtui.job.rules import Rules, rules_for
from fieldtui.job.segments import EVER, ground_of, segments
from fieldtui.job.stories import Stories, pasts, placed
from fieldtui.job.survey import Survey
from fieldtui.reduction import ChordGround, Ground, Past
from fieldtui.reduction.chart import Chart
from fieldtui.route import ChordKey, Route


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
        self.stories = Stories(route, self.surveys, names, self._readings_of, self.rules, labels, before)
        """Each chord that was ever read, by its present name."""
        self._own: dict[str, SurveyReadings] = {}

    @cached_property
    def by_id(self) -> Mapping[str, Survey]:
        return {survey.id: survey for survey in self.surveys}

    @cached_property
    def readings(self) -> tuple[Reading, ...]:
        """Every booking of a chord with a length, in order of the time of reading."""
        return tuple(sorted((one for story in self.stories.values() for one in story.readings), key=_order))

    def rules(self, key: ChordKey) -> Rules:
        """What was declared that concerns a chord."""
        declared = self.journals
        return rules_for(self.route, key, tuple(declared.new_things), tuple(declared.anchors), tuple(declared.epochs))

    @property
    def frames(self) -> Sequence[FrameReading]:
        """The control frame in every survey, in order of time."""
        return self._framed.readings

    @property
    def charts(self) -> Mapping[Instrument, Chart]:
        """The chart of the control frame with each tape and extensometer, as they are now."""
        return {
            instrument: chart
            for (instrument, generation), chart in self._framed.charts.items()
            if generation == self.frame_generation(instrument, EVER)
        }

    @cached_property
    def ground(self) -> Ground:
        """What is known after these surveys; each part of it worked out when it is asked for."""
        return Ground(
            chords=Grounds(self.stories, self.route.rate_over_hours),
            frames=WhenAsked(self._frame_pasts),
            charts=WhenAsked(lambda: self.charts),
            events=events(self.surveys, self.journals.happenings, self._before),
        )

    def _frame_pasts(self) -> Mapping[Instrument, tuple[Past, ...]]:
        found: dict[Instrument, list[Past]] = {}
        for one in self.frames:
            if self.frame_generation(one.instrument, one.time) == self.frame_generation(one.instrument, EVER):
                past = Past(one.time, one.length, one.label, False, one.part)
                found.setdefault(one.instrument, []).append(past)
        return {instrument: tuple(several) for instrument, several in found.items()}

    def _readings_of(self, survey: Survey) -> SurveyReadings:
        if survey.id not in self._own:
            self._own[survey.id] = SurveyReadings(survey, self._framed.held.get(survey.id, {}), self._reductions)
        return self._own[survey.id]

    @cached_property
    def _framed(self) -> Framed:
        framed = Framed(self.route, self._reductions, self.frame_generation, self.labels)
        return framed.read(self.surveys, self.elsewhere, self._before)

    def frame_generation(self, instrument: Instrument, at: datetime) -> int:
        """How often the frame, the tape or the extensometer had become another one by then."""
        return sum(1 for one in self.journals.new_things if one.since <= at and _of_frame(one, instrument))


def ground_of_chord(readings: Sequence[Reading], rules: Rules, route: Route, at: datetime = EVER) -> ChordGround:
    """What is known of one chord after these readings, in any order, for a survey at a time: a story's ground."""
    return ground_of(segments_of_chord(readings, rules, route), rules, at=at)


def segments_of_chord(readings: Sequence[Reading], rules: Rules, route: Route) -> tuple[CarriedSegment, ...]:
    """The segments of one chord's readings, in any order."""
    return segments(pasts(weighed(placed(readings, rules), route)), rules)


def _of_frame(one: NewThing, instrument: Instrument) -> bool:
    table, name, _ = one.thing
    return table == "control" or (table, name) in (("tape", instrument[0]), ("extensometer", instrument[1]))


def _order(reading: Reading) -> tuple[object, ...]:
    return reading.order
