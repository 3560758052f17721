"""What sets ground moving: events of construction from the journals, and stages that the surveys say have changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

from fieldtui.job.declared import Happening
from fieldtui.job.survey import Survey
from fieldtui.reduction import Event

BLAST = "blast"


def events(
    surveys: Iterable[Survey], happenings: Iterable[Happening], before: datetime | None = None
) -> tuple[Event, ...]:
    """Blasts and stages in order of time, each once, those before a time where one is given."""
    found = {*_declared(happenings), *_stages(surveys)}
    kept = (event for event in found if before is None or event.time < before)
    return tuple(sorted(kept, key=lambda event: (event.time, event.kind, event.station or "")))


def _declared(happenings: Iterable[Happening]) -> Iterator[Event]:
    for one in happenings:
        yield Event(one.at, "blast" if one.event == BLAST else "stage", one.station or None)


def _stages(surveys: Iterable[Survey]) -> Iterator[Event]:
    """A stage that is not the one of the survey before began some time before this survey: at its start, as known."""
    stage: str | None = None
    for survey in surveys:
        said = survey.state.answer("stage")
        if said and stage and said != stage:
            yield Event(survey.started, "stage")
        stage = said or stage
