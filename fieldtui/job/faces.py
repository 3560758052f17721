"""Where the faces were, as the surveys have it booked: distances from a station, and when a face passed it.

    surveys ── faces_of ──► Faces: every booked chainage in order of time

Large units. Nothing is guessed: no chainage before the first one booked, and a face that was past a station by then
passed it at a time that is not known.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from types import MappingProxyType

from msgspec import Struct, field

from fieldtui.errors import FieldError
from fieldtui.job.survey import Survey
from fieldtui.route import Face, Route, Station
from fieldtui.survey import number

_QUESTION = "face "


class FaceAt(Struct, frozen=True):
    """One booked chainage, large units."""

    time: datetime
    chainage: float
    survey: str


class Faces(Struct, frozen=True):
    """The faces of a route. `booked` is by the face's name, in order of time."""

    route: Route
    booked: Mapping[str, tuple[FaceAt, ...]] = field(default_factory=lambda: MappingProxyType({}))

    def of(self, station: Station) -> tuple[FaceAt, ...]:
        """What was booked of the face that a station names; nothing for a station that names none."""
        return self.booked.get(station.face, ()) if station.face is not None else ()

    def ahead(self, station: Station, chainage: float) -> float:
        """How far beyond a station its face is at that chainage; negative where it has not come there yet."""
        return round(self._way(station) * (chainage - float(station.chainage)), 6)

    def distance(self, station: Station, at: datetime | None = None, survey: str | None = None) -> float | None:
        """How far beyond the station its face was: as booked last by a time, in one survey or in any."""
        known = [
            one
            for one in self.of(station)
            if (at is None or one.time <= at) and (survey is None or one.survey == survey)
        ]
        if not known and survey is not None:
            # a chainage booked at the end of a survey is that survey's all the same
            known = [one for one in self.of(station) if one.survey == survey][:1]
        return self.ahead(station, known[-1].chainage) if known else None

    def passed(self, station: Station) -> datetime | None:
        """When the face passed the station, on a straight line between two booked chainages.

        None where it has not yet, or was past it when its chainage was first booked.
        """
        before: FaceAt | None = None
        for one in self.of(station):
            ahead = self.ahead(station, one.chainage)
            if ahead >= 0:
                if before is None:
                    return one.time if ahead == 0 else None
                behind = -self.ahead(station, before.chainage)
                return before.time + (one.time - before.time) * (behind / (behind + ahead))
            before = one
        return None

    def pace(self, station: Station) -> float | None:
        """How fast the face went on between the two newest chainages booked at different times, a day."""
        known = self.of(station)
        earlier = [one for one in known if one.time < known[-1].time] if known else []
        if not earlier:
            return None
        days = (known[-1].time - earlier[-1].time).total_seconds() / 86_400
        return (self.ahead(station, known[-1].chainage) - self.ahead(station, earlier[-1].chainage)) / days

    def _way(self, station: Station) -> int:
        face = _face(self.route, station)
        return -1 if face is not None and face.advances == "down" else 1


def _face(route: Route, station: Station) -> Face | None:
    return next((face for face in route.faces if face.name == station.face), None)


def faces_of(route: Route, surveys: Iterable[Survey]) -> Faces:
    """Every chainage that these surveys have booked. One that cannot be read as a number is left out."""
    found: dict[str, list[FaceAt]] = {}
    for survey in surveys:
        for name, one in _answers(survey):
            found.setdefault(name, []).append(one)
    booked = {name: tuple(sorted(ones, key=lambda one: one.time)) for name, ones in found.items()}
    return Faces(route, MappingProxyType(booked))


def _answers(survey: Survey) -> Iterator[tuple[str, FaceAt]]:
    state = survey.state
    for what, last in state.said.items():
        if not what.startswith(_QUESTION):
            continue
        for entry in (*state.said_before.get(what, ()), last):
            # an empty answer is a face whose chainage is not known
            try:
                chainage = float(number(entry.typed))
            except FieldError:
                continue
            yield what.removeprefix(_QUESTION), FaceAt(entry.read_at, chainage, survey.id)
