"""A route's logs as one job: surveys in order, readings in order of reading time, and what is known before a survey."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from fieldtui.job.readings import Instrument, Reading, frame_lengths, survey_readings
from fieldtui.job.segments import chord_ground
from fieldtui.job.survey import PRACTICE, Survey, surveys
from fieldtui.log import LogFile, LogFolder, read_folder
from fieldtui.reduction import Ground, Length, Past
from fieldtui.route import ChordKey, Route

LOGS = "logs"


def logs_folder(route: Route, logs: Path | None = None) -> Path:
    """Where the logs of a route are: beside its file, unless another folder is given."""
    if logs is not None:
        return logs
    if route.path is None:
        raise ValueError("a route that was read from a log has no folder of its own")
    return route.path.parent / LOGS


@dataclass(frozen=True)
class Job:
    """All that is known of a route. Made anew from the files whenever it is wanted."""

    route: Route
    folder: Path
    logs: LogFolder
    surveys: tuple[Survey, ...]

    def survey(self, survey_id: str) -> Survey | None:
        return next((survey for survey in self.surveys if survey.id == survey_id), None)

    @property
    def unclosed(self) -> tuple[Survey, ...]:
        """Surveys that can be resumed, the newest first."""
        return tuple(survey for survey in reversed(self.surveys) if survey.open)

    @property
    def problems(self) -> tuple[str, ...]:
        """What is wrong with the logs of the folder, in words."""
        return tuple(f"{log.path.name}: {damage.what}" for log in self.logs.logs for damage in log.problems)

    def last_answers(self, without: str = "") -> dict[str, str]:
        """What was answered in the newest other survey to the questions at the start."""
        others = [survey for survey in self.surveys if survey.id != without and survey.state.said]
        return {what: entry.typed for what, entry in others[-1].state.said.items()} if others else {}

    def readings(self, *, without: str = "", before: datetime | None = None) -> Iterator[Reading]:
        """Accepted readings of all surveys but practice and the one left out, in order of reading time."""
        found: list[Reading] = []
        references: dict[Instrument, Sequence[Length]] = {}
        for survey in self._counting(without):
            found.extend(survey_readings(survey, references))
            for instrument, parts in frame_lengths(survey.route, survey.state, survey.id).items():
                references.setdefault(instrument, tuple(parts.values()))
        found.sort(key=lambda reading: (reading.time, reading.survey))
        return (reading for reading in found if before is None or reading.time < before)

    def ground(self, *, without: str = "", before: datetime | None = None) -> Ground:
        """What is known before a survey: every other survey's readings, or those before a time."""
        by_chord: dict[ChordKey, list[Past]] = {}
        for reading in self.readings(without=without, before=before):
            past = Past(reading.time, reading.length, reading.label, reading.doubtful, reading.note)
            by_chord.setdefault(reading.booking.target.key, []).append(past)
        chords = {key: chord_ground(pasts, self.route.baseline_sets) for key, pasts in by_chord.items()}
        return Ground(chords=chords, frames=self._frames(without, before))

    def _counting(self, without: str) -> Iterator[Survey]:
        return (survey for survey in self.surveys if survey.scope != PRACTICE and survey.id != without)

    def _frames(self, without: str, before: datetime | None) -> dict[Instrument, tuple[Past, ...]]:
        found: dict[Instrument, list[Past]] = {}
        for survey in self._counting(without):
            if before is not None and survey.started >= before:
                continue
            for instrument, parts in frame_lengths(survey.route, survey.state, survey.id).items():
                pasts = [Past(survey.started, length, survey.label, False, part) for part, length in parts.items()]
                found.setdefault(instrument, []).extend(pasts)
        return {instrument: tuple(pasts) for instrument, pasts in found.items()}


def load_job(route: Route, folder: Path) -> Job:
    """Read every log of a folder. A folder that is not there yet is a job without surveys."""
    logs = read_folder(folder)
    return Job(route, folder, logs, surveys(_of_route(logs.logs)))


def _of_route(logs: Sequence[LogFile]) -> tuple[LogFile, ...]:
    """Logs with at least a first record; one that breaks off before it tells nothing."""
    return tuple(log for log in logs if log.records)
