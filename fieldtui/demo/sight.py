"""What tape, dial and thermometer show of the invented ground: the reduction run backwards, with scatter.

    true length at the tape's temperature ──► raw ──► hole that leaves the dial room ──► dial figures, as typed

Every draw hangs on the seed and on what is read, never on the order of reading: a reading that was broken off goes on
with the very figures it would have had.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal
from math import floor
from random import Random

from msgspec import Struct

from fieldtui.demo.truth import Truth
from fieldtui.route import Extensometer, Tape
from fieldtui.survey import DIALS, HOLES, Target

_LEAST_ROOM = 3.0
"""A dial nearer than this (mm) to an end of its range calls for the next hole."""
_CAUGHT = 0.9
"""How much longer (mm) a repeat reads at which the tape had caught."""


class Sight(Struct, frozen=True):
    """What there is to book at one chord: as many dial figures as could be asked for, as typed."""

    hole: int
    dials: tuple[str, ...]
    temperature: str

    def typed(self, slot: str) -> str:
        """What is typed at a slot's prompt."""
        if slot in HOLES:
            return str(self.hole)
        return self.temperature if slot == "temperature" else self.dials[DIALS.index(slot)]


class Gauge(Struct, frozen=True):
    """One survey's eyes: `survey` is its label, and gives every scatter of that survey. The dial adds."""

    truth: Truth
    survey: str
    tape: Tape
    extensometer: Extensometer

    def zero(self, target: Target) -> str:
        """The dial's zero in a part of the survey, as typed."""
        return self._dial_text(max(0.0, self._chance("zero", target.part).gauss(0, 0.006)))

    def frame(self, target: Target, at: datetime) -> Sight:
        """What the control frame shows; it keeps its length and breathes with its temperature."""
        control = self.truth.route.controls[0]
        season = self.truth.scenario.temperature
        warm = season.mean + season.frame_share * (self.truth.air(at) - season.mean)
        warm += self._chance("niche").gauss(0, season.station)
        own = float(control.expansion) * (warm - float(control.reference_temperature))
        length = self.truth.scenario.frame_length * (1 + own)
        return self._sight(target, length, warm, self._centred(self._raw(length, warm)))

    def chord(self, target: Target, at: datetime, *, caught: bool = False) -> Sight:
        """What a chord shows at a time."""
        season = self.truth.scenario.temperature
        warm = self.truth.air(at) + self._chance("survey").gauss(0, season.survey)
        warm += self._chance("station", target.station).gauss(0, season.station)
        length = self.truth.length(target.station, target.chord, at)
        first = self.truth.length(target.station, target.chord, self._first_time(target.station))
        return self._sight(target, length, warm, self._centred(self._raw(first, warm)), caught=caught)

    def _first_time(self, station: str) -> datetime:
        """When this tape was first put to a station: the hole of that day is kept while the dial has room."""
        installed = self.truth.scenario.station(station).installed
        taken_up = next(one.since for one in self.truth.scenario.tapes if one.serial == self.tape.serial)
        return self.truth.end - timedelta(days=min(installed, taken_up))

    def _sight(self, target: Target, length: float, warm: float, hole: int, *, caught: bool = False) -> Sight:
        raw, noise = self._raw(length, warm), self.truth.scenario.noise
        low, high = (float(end) for end in self.extensometer.dial_range)
        while raw - self._distance(hole) < low + _LEAST_ROOM:
            hole -= 1
        while raw - self._distance(hole) > high - _LEAST_ROOM:
            hole += 1
        chance = self._chance("reading", *(str(part) for part in target.data().values()))
        off = chance.gauss(0, noise.frame if target.is_frame else noise.reproducibility) - self._hole_error(hole)
        shown = [raw - self._distance(hole) + off + chance.gauss(0, noise.repeatability) for _ in DIALS]
        booked_warm = warm + chance.gauss(0, noise.temperature)
        if caught:
            shown[1] += _CAUGHT
        return Sight(hole, tuple(self._dial_text(one) for one in shown), f"{booked_warm:.1f}")

    def _raw(self, length: float, warm: float) -> float:
        """The reading before the temperature correction: a warm tape is long and reads short."""
        alpha = float(self.tape.expansion) + self._of_the_tape("steel").gauss(0, self.truth.scenario.noise.expansion)
        constant = next(one.constant for one in self.truth.scenario.tapes if one.serial == self.tape.serial)
        return (length + constant) / (1 + alpha * (warm - float(self.tape.reference_temperature)))

    def _centred(self, raw: float) -> int:
        """The hole that leaves the dial most room on both sides."""
        low, high = (float(end) for end in self.extensometer.dial_range)
        pitch = float(self.tape.pitch)
        least = low + (high - low - pitch) / 2
        return self.tape.first_hole + floor((raw - least - float(self.tape.first_hole_distance)) / pitch)

    def _distance(self, hole: int) -> float:
        return float(self.tape.hole_distance(hole))

    def _hole_error(self, hole: int) -> float:
        """How far this hole was punched from its place: the tape's own, for ever."""
        return self._of_the_tape("hole", str(hole)).gauss(0, self.truth.scenario.noise.hole)

    def _dial_text(self, reading: float) -> str:
        resolution = self.extensometer.dial_resolution
        return str(Decimal(round(reading / float(resolution))) * resolution)

    def _chance(self, *what: str) -> Random:
        return Random("/".join((str(self.truth.seed), self.survey, self.tape.serial, *what)))

    def _of_the_tape(self, *what: str) -> Random:
        return Random("/".join((str(self.truth.seed), "tape", self.tape.serial, *what)))
