"""The control frame through all surveys: each reading with what it is held against, and the charts after all of them.

surveys in order of time, readings of other routes ── Framed ──► readings, charts by instrument and generation
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping
from datetime import datetime

from msgspec import Struct

from fieldtui.job.elsewhere import FrameElsewhere
from fieldtui.job.proof import Held, Instrument
from fieldtui.job.readings import Reductions
from fieldtui.job.survey import Survey
from fieldtui.reduction import Length
from fieldtui.reduction.chart import Chart
from fieldtui.reduction.frame_proof import empty_chart, grown
from fieldtui.route import Route

Generation = Callable[[Instrument, datetime], int]
"""How often the frame, the tape or the extensometer had become another one by a time."""


class FrameReading(Struct, frozen=True):
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


class Framed:
    """See the module. Surveys begun at `before` or later are left out, where it is given."""

    def __init__(self, route: Route, reductions: Reductions, generation: Generation, labels: Mapping[str, str]) -> None:
        self._route, self._reductions, self._generation, self._labels = route, reductions, generation, labels
        self._references: dict[tuple[Instrument, int], tuple[Length, ...]] = {}
        self.readings: list[FrameReading] = []
        self.charts: dict[tuple[Instrument, int], Chart] = {}
        """By instrument and its generation."""
        self.held: dict[str, dict[Instrument, Held]] = {}
        """By the survey's id: what its frame is held against."""

    def read(self, surveys: Iterable[Survey], elsewhere: Iterable[FrameElsewhere], before: datetime | None) -> Framed:
        """Go through surveys and readings of other routes, both in order of time."""
        waiting = deque(one for one in elsewhere if before is None or one.time < before)
        for survey in surveys:
            if before is not None and survey.started >= before:
                continue
            while waiting and waiting[0].time < survey.started:
                self._chart_elsewhere(waiting.popleft())
            self._survey(survey)
        for one in waiting:
            self._chart_elsewhere(one)
        return self

    def _survey(self, survey: Survey) -> None:
        route = self._reductions.route(survey)
        label = self._labels.get(survey.id, survey.label)
        for instrument, parts in self._reductions.frames(survey, route).items():
            thing = (instrument, self._generation(instrument, survey.started))
            reference = self._references.setdefault(thing, tuple(parts.values()))
            chart = self.charts.get(thing) or empty_chart(route.controls[0], route.extensometer(instrument[1]))
            self.readings += [
                FrameReading(survey.id, label, survey.started, instrument, part, length, reference, chart)
                for part, length in parts.items()
            ]
            self.held.setdefault(survey.id, {})[instrument] = Held(reference, chart)
            self.charts[thing] = grown(chart, survey.started, label, parts)

    def _chart_elsewhere(self, one: FrameElsewhere) -> None:
        """A reading of another route's survey goes into the chart, where the frame is this route's."""
        control = self._route.controls[0] if self._route.controls else None
        if control is not None and control.name == one.control:
            thing = (one.instrument, self._generation(one.instrument, one.time))
            chart = self.charts.get(thing) or empty_chart(control, self._route.extensometer(one.instrument[1]))
            self.charts[thing] = grown(chart, one.time, one.name, one.parts)
