"""What has been computed of a job so far, each thing once: pages ask, a thread computes, pages draw what is there.

Study ── read ──► glances            all chords, what matters most first
      ── compute(key) ──► Review           laws fitted: a moment's work; review_of gives it
      ── compute_anchors(…) ──► StationMoved: a moment's work; moved_of gives it
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import datetime
from functools import cached_property

from fieldtui.job import Job
from fieldtui.job.calls import Call
from fieldtui.job.due import DueList, due_of
from fieldtui.job.faces import Faces, faces_of
from fieldtui.job.history import Row
from fieldtui.movement.glance import Glance, glance
from fieldtui.movement.review import Review, review
from fieldtui.movement.station import StationMoved, fixed_of, moved_anchors
from fieldtui.reduction import Event
from fieldtui.route import ChordKey, Station
from fieldtui.tui.desks import Desk


class Study:
    """One look at a job. `back` makes the page that the review was opened from."""

    def __init__(self, job: Job, now: datetime, back: Callable[[], Desk] | None = None) -> None:
        self.job, self.now, self.back = job, now, back
        self._reviews: dict[tuple[ChordKey, datetime | None], Review | None] = {}
        self._moved: dict[tuple[str, str, str], StationMoved] = {}
        self.open_calls: tuple[Call, ...] = ()
        """Calls of which somebody has still to be told, once they are read."""
        # two threads would fit the same chord twice, each at half the pace
        self._lock = threading.Lock()

    def read(self) -> tuple[Glance, ...]:
        """All that the page of the route shows; its lines are given back."""
        with self._lock:
            self.open_calls = self.job.open_calls()
            return self.glances

    @cached_property
    def glances(self) -> tuple[Glance, ...]:
        return glance(self.job, self.now, self.due)

    @cached_property
    def due(self) -> DueList:
        return due_of(self.job, self.now)

    @cached_property
    def faces(self) -> Faces:
        return faces_of(self.job.route, self.job.counting)

    @cached_property
    def open_surveys(self) -> frozenset[str]:
        """Ids of surveys that are not closed: their readings are shown apart."""
        return frozenset(survey.id for survey in self.job.counting if survey.open)

    @cached_property
    def rows(self) -> dict[ChordKey, tuple[Row, ...]]:
        """Every booking of each chord, in order of time."""
        found: dict[ChordKey, list[Row]] = {}
        for row in self.job.history():
            found.setdefault(row.key, []).append(row)
        return {key: tuple(rows) for key, rows in found.items()}

    @property
    def keys(self) -> tuple[ChordKey, ...]:
        """Chords in the order of the glance."""
        return tuple(one.key for one in self.glances)

    def glance_of(self, key: ChordKey) -> Glance:
        return next(one for one in self.glances if one.key == key)

    def events_of(self, key: ChordKey) -> tuple[Event, ...]:
        """Blasts and new stages that count at a chord's station, in order of time."""
        return tuple(one for one in self.job.account.ground.events if one.station in (None, key[0]))

    def known(self, key: ChordKey, since: datetime | None = None) -> bool:
        """Whether a chord's laws have been fitted, to its readings from that time on."""
        return (key, since) in self._reviews

    def review_of(self, key: ChordKey, since: datetime | None = None) -> Review | None:
        """What was computed of a chord; None before, and for a chord without a baseline."""
        return self._reviews.get((key, since))

    def compute(self, key: ChordKey, since: datetime | None = None, wanted: Callable[[], bool] = lambda: True) -> None:
        """Fit a chord's laws, to its readings from a time on, unless nobody waits for them any more."""
        with self._lock:
            if (key, since) not in self._reviews and wanted():
                self._reviews[key, since] = review(self.job, key, since, self.faces)

    def stations(self) -> tuple[Station, ...]:
        """Stations that are walked, in their order."""
        names = dict.fromkeys(station.name for station, _ in self.job.route.walk())
        return tuple(station for station in self.job.route.stations if station.name in names)

    def surveys_of(self, station: Station) -> tuple[str, ...]:
        """Labels of the surveys that read a chord of a station so that it counts, in order of time."""
        keys = {(station.name, chord.name) for chord in station.chords}
        read = {row.booked.survey for key in keys for row in self.rows.get(key, ()) if row.counts}
        return tuple(self.job.labels[survey.id] for survey in self.job.counting if survey.id in read)

    def moved_of(self, station: Station, later: str = "", earlier: str = "") -> StationMoved | None:
        """What was computed of a station between two surveys; None before."""
        return self._moved.get((station.name, later, earlier))

    def compute_anchors(self, station: Station, later: str = "", earlier: str = "") -> StationMoved:
        """Displacements between two surveys by label; none named: the newest, and the first that read as much."""
        asked = (station.name, later, earlier)
        with self._lock:
            if asked not in self._moved:
                self._moved[asked] = moved_anchors(self.job, station, later, earlier, fixed_of(station))
            return self._moved[asked]
