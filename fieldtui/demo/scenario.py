"""What the demo is made from: `scenario.toml` as frozen data.

    Scenario ─┬─ when     Rhythm, TapeInUse, FacePoint, Stage, Crew
              ├─ what     StationMovement, LateMovement, Temperatures, Noise
              └─ events   Event, Interruption

Days count backwards from the end of the story; movement is in mm, chainage in m, temperature in degC. Plain floats:
nothing here is a reading.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any, Literal

from msgspec import Struct, field

What = Literal["slip", "blocked", "unsafe", "caught", "note"]


class Temperatures(Struct, frozen=True):
    """The tape's temperature through the year; `survey` and `station` are standard deviations."""

    mean: float
    swing: float
    warmest_day: float
    survey: float
    station: float
    frame_share: float


class Noise(Struct, frozen=True):
    """Standard deviations of what really scatters: mm, degC, and per degC for the steel's expansion."""

    repeatability: float
    reproducibility: float
    frame: float
    hole: float
    temperature: float
    expansion: float


class TapeInUse(Struct, frozen=True):
    """A tape, taken up that many days before the end, and its constant error in mm."""

    serial: str
    since: float
    constant: float


class Rhythm(Struct, frozen=True):
    """How often the route is walked from a day on."""

    since: float
    every: float


class FacePoint(Struct, frozen=True):
    """Where the face stood that many days before the end."""

    days: float
    chainage: float


class Stage(Struct, frozen=True):
    since: float
    name: str


class Crew(Struct, frozen=True):
    reader: str
    recorder: str


class StationMovement(Struct, frozen=True):
    """A station's law; `share` is what an anchor does of it, 1 where it is not named."""

    name: str
    installed: float
    amplitude: float
    face_length: float
    time: float
    m: float
    share: Mapping[str, float] = field(default_factory=dict)


class LateMovement(Struct, frozen=True):
    """An anchor that has begun to move again: mm reached at the end, growing as a power of the time since."""

    station: str
    anchor: str
    since: float
    reaches: float
    power: float


class Event(Struct, frozen=True):
    """What happened at one chord in the first survey from that day on."""

    days: float
    station: str
    chord: str
    what: What
    note: str = ""


class Interruption(Struct, frozen=True):
    """Where today's survey broke off, and how many minutes before the end it was begun."""

    station: str
    chord: str
    minutes: float


class Scenario(Struct, frozen=True):
    temperature: Temperatures
    noise: Noise
    frame_length: float
    tapes: tuple[TapeInUse, ...]
    rhythm: tuple[Rhythm, ...]
    face: tuple[FacePoint, ...]
    stages: tuple[Stage, ...]
    crews: tuple[Crew, ...]
    stations: tuple[StationMovement, ...]
    late: tuple[LateMovement, ...]
    events: tuple[Event, ...]
    interrupted: Interruption

    def station(self, name: str) -> StationMovement:
        return next(one for one in self.stations if one.name == name)

    def survey_days(self) -> Iterator[float]:
        """The days before the end on which the route was walked, the oldest first; not the day of the end itself."""
        for rhythm, until in zip(self.rhythm, [*(one.since for one in self.rhythm[1:]), 0.0], strict=True):
            day = rhythm.since
            while day > until:
                yield day
                day -= rhythm.every


Made = tuple[int, datetime]
"""Seed and end of a demo that was laid."""


def read_scenario(text: str) -> tuple[Scenario, Made | None]:
    """The scenario that this text states, and what was made of it, if it was laid.

    A mistake in it is a plain `ValueError` (no TOML), `LookupError` or `TypeError` (a key missing or too many).
    """
    raw = tomllib.loads(text)
    made = (raw["made"]["seed"], raw["made"]["end"]) if "made" in raw else None
    scenario = Scenario(
        temperature=Temperatures(**raw["temperature"]),
        noise=Noise(**raw["noise"]),
        frame_length=raw["frame"]["length"],
        tapes=tuple(TapeInUse(one["serial"], one["from"], one["constant"]) for one in raw["tape"]),
        rhythm=tuple(Rhythm(one["from"], one["every"]) for one in raw["rhythm"]),
        face=tuple(FacePoint(**one) for one in raw["face"]),
        stages=tuple(Stage(one["from"], one["name"]) for one in raw["stage"]),
        crews=tuple(Crew(**one) for one in raw["crew"]),
        stations=tuple(_movement(one) for one in raw["station"]),
        late=tuple(
            LateMovement(one["station"], one["anchor"], one["from"], one["reaches"], one["power"])
            for one in raw["late"]
        ),
        events=tuple(Event(**one) for one in raw["event"]),
        interrupted=Interruption(**raw["interrupted"]),
    )
    return scenario, made


def _movement(one: Mapping[str, Any]) -> StationMovement:
    return StationMovement(one["name"], one["installed"], one["A"], one["X"], one["T"], one["m"], one.get("share", {}))
