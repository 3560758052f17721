"""The invented ground: where every anchor truly is at any time, and so how long every chord truly is.

    days before the end ──► face chainage ──► law ──► anchors moved inwards ──► distances

The law is that of Sulem, Panet and Guenot (1987) for the face's advance and time together, in the form
A [1 - (X/(x + X))^2] {1 + m [1 - (T/(t + T))^n]} with n = 0.3 (recalled, not looked up). Here it only makes a story
that looks like ground; no figure of it is handed on as a fact.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import pairwise
from math import cos, dist, hypot, pi
from random import Random

from msgspec import Struct

from fieldtui.demo.scenario import FacePoint, Scenario
from fieldtui.route import Route, Station

TIME_POWER = 0.3
_DAY = timedelta(days=1)
_CENTRE_UP = 2.5
"""Height above the floor, m, of the middle towards which anchors move."""
_SET_OUT = 8.0
"""Anchors are this far (mm, standard deviation) from where the route says they are."""

Point = tuple[float, float]


class Truth(Struct, frozen=True):
    """The demo's ground. Lengths in mm; any time is allowed, after the end too."""

    route: Route
    scenario: Scenario
    seed: int
    end: datetime

    def days(self, at: datetime) -> float:
        """Days before the end; negative after it."""
        return (self.end - at) / _DAY

    def face(self, at: datetime) -> float:
        """The face's chainage, m."""
        return _face(self.scenario.face, self.days(at))

    def stage(self, at: datetime) -> str:
        return next(one.name for one in reversed(self.scenario.stages) if one.since >= self.days(at))

    def air(self, at: datetime) -> float:
        """The seasonal part of the tape's temperature, degC."""
        season = self.scenario.temperature
        turn = 2 * pi * (at.timetuple().tm_yday - season.warmest_day) / 365.25
        return season.mean + season.swing * cos(turn)

    def length(self, station: str, chord: str, at: datetime) -> float:
        """The true length of a chord between its anchors' bearing points."""
        section = self.route.station(station)
        line = section.chord(chord) if section is not None else None
        if section is None or line is None:
            raise KeyError((station, chord))
        return dist(self.anchor(section, line.hook, at), self.anchor(section, line.far, at))

    def anchor(self, station: Station, name: str, at: datetime) -> Point:
        """Where an anchor truly is: across and up, mm."""
        planned = station.anchor(name)
        chance = Random(f"{self.seed}/anchor/{station.name}/{name}")
        across = float(planned.across) * 1000 + chance.gauss(0, _SET_OUT)
        up = float(planned.up) * 1000 + chance.gauss(0, _SET_OUT)
        inward = (-across, _CENTRE_UP * 1000 - up)
        moved = self._inward(station, name, self.days(at)) / hypot(*inward)
        return across + moved * inward[0], up + moved * inward[1]

    def _inward(self, station: Station, anchor: str, days: float) -> float:
        """How far an anchor has moved towards the middle of the section, mm, since before the face came by."""
        law = self.scenario.station(station.name)
        passed = passing_day(self.scenario.face, float(station.chainage))
        behind = _face(self.scenario.face, days) - float(station.chainage)
        if behind <= 0:
            return 0.0
        faced: float = 1 - (law.face_length / (behind + law.face_length)) ** 2
        timed: float = 1 + law.m * (1 - (law.time / (passed - days + law.time)) ** TIME_POWER)
        moved = law.share.get(anchor, 1.0) * law.amplitude * faced * timed
        for late in self.scenario.late:
            if (late.station, late.anchor) == (station.name, anchor) and days < late.since:
                moved += late.reaches * ((late.since - days) / late.since) ** late.power
        return moved


def passing_day(face: tuple[FacePoint, ...], chainage: float) -> float:
    """How many days before the end the face passed a chainage."""
    for before, after in pairwise(face):
        if after.chainage >= chainage or after is face[-1]:
            share = (chainage - before.chainage) / (after.chainage - before.chainage)
            return before.days + share * (after.days - before.days)
    raise ValueError("a face needs two points")


def _face(face: tuple[FacePoint, ...], days: float) -> float:
    """Straight between the points, and on at the last pace after them."""
    for before, after in pairwise(face):
        if days >= after.days or after is face[-1]:
            share = (before.days - days) / (before.days - after.days)
            return before.chainage + share * (after.chainage - before.chainage)
    raise ValueError("a face needs two points")
