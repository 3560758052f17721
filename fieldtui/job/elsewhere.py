"""Other routes that are walked with the same instruments: their frame readings and care count here as well.

    same_instruments = ["../south/south.toml"] ── elsewhere_of ──► Elsewhere: frames, care, what cannot be read

Nothing is copied and nothing is booked twice: the logs of those routes are read, through the index of their own folder,
and never written. Their readings go into the chart of the frame. What is taken off lengths, and what the route's limit
counts from, stays this route's own: figures must come out again from its logs alone. A tape that is another one from a
day on is declared on each route.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import datetime
from pathlib import Path

from msgspec import Struct

from fieldtui.errors import FieldError
from fieldtui.job.amend import settle
from fieldtui.job.care import Given, care_booked
from fieldtui.job.corrections import Corrections
from fieldtui.job.forks import with_settled_forks
from fieldtui.job.journal import read_journals
from fieldtui.job.kept import Kept, derive
from fieldtui.job.proof import Instrument
from fieldtui.job.readings import frames_of, reduce_booking
from fieldtui.job.survey import PRACTICE, Survey, surveys
from fieldtui.log.index import read_indexed
from fieldtui.reduction import Length
from fieldtui.route import Route, load_route
from fieldtui.survey import FRAME_KEY

LOGS = "logs"


class FrameElsewhere(Struct, frozen=True):
    """The control frame as a survey of another route read it with one instrument."""

    route: str
    """That route's name."""
    label: str
    time: datetime
    instrument: Instrument
    control: str
    """The frame's name: another frame is not comparable."""
    parts: Mapping[str, Length]

    @property
    def name(self) -> str:
        """How it is called in a chart."""
        return f"{self.label}, {self.route}"


class Elsewhere(Struct, frozen=True):
    """What other routes' logs tell of the instruments."""

    frames: tuple[FrameElsewhere, ...] = ()
    """In order of time."""
    care: tuple[Given, ...] = ()
    told: tuple[str, ...] = ()
    """Routes that are named and cannot be read, in sentences."""


def elsewhere_of(route: Route, own: Collection[str] = ()) -> Elsewhere:
    """What the routes that a route names tell. `own` are ids of surveys that are in its own logs, and count there."""
    if route.path is None or not route.same_instruments:
        return Elsewhere()
    frames: list[FrameElsewhere] = []
    care: list[Given] = []
    told: list[str] = []
    seen = set(own)
    for named in route.same_instruments:
        path = route.path.parent / named
        try:
            other = _Other(load_route(path), path.parent / LOGS)
        except FieldError as error:
            told.append(f"same_instruments names {named}, and what it has of them does not count: {error.what}")
            continue
        new = [survey for survey in other.surveys if survey.id not in seen]
        seen |= {survey.id for survey in new}
        frames += [one for survey in new for one in _frames(other.name, survey, other.corrections)]
        care += care_booked(new, other.journals.care, other.name)
    return Elsewhere(tuple(sorted(frames, key=lambda one: (one.time, one.label))), tuple(care), tuple(told))


class _Other:
    """Another route's logs, as far as they are needed here."""

    def __init__(self, route: Route, folder: Path) -> None:
        logs, derived = read_indexed(folder, derive())
        logs = with_settled_forks(logs, read_journals(logs.logs).kept)
        files = tuple(log for log in logs.logs if log.records)
        self.name = route.name
        self.journals = read_journals(files)
        self.corrections = Corrections(self.journals.corrections)
        found = surveys(files, settle(self.journals.amendments), Kept(derived))
        self.surveys = [survey for survey in found if survey.scope != PRACTICE]


def _frames(name: str, survey: Survey, corrections: Corrections) -> Iterator[FrameElsewhere]:
    route = corrections.route(survey.route, survey.started)
    if not route.controls:
        return
    read = frames_of(survey.bookings_of(FRAME_KEY).items(), lambda booking: reduce_booking(route, booking, survey.id))
    for instrument, parts in read.items():
        yield FrameElsewhere(name, survey.label, survey.started, instrument, route.controls[0].name, parts)
