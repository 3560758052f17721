"""What is to be measured, as frozen data.

    Route ─┬─ Face, Tape, Extensometer, Control, Level, Frequency, Stability, Care, Plant
           └─ Station ─┬─ Anchor
                       └─ Chord (FROM-TO, between two of the station's anchors)

Numbers are `Decimal`, exactly as they stand in the file, in the route's own units: `units.small` (mm or in) for
dials, pitch, tape lengths, levels and uncertainties of length; `units.large` (m or ft) for chainage, anchors and the
rough length of a chord; `units.degree` (degC or degF) for temperatures. Nothing is converted inside.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, time
from decimal import Decimal
from pathlib import Path
from types import MappingProxyType
from typing import Literal

from msgspec import Struct, field

from fieldtui.route.units import Units

ChordKey = tuple[str, str]
"""(station name, chord name as the route writes it)."""


def turned(key: ChordKey) -> ChordKey:
    """The same chord by the name that it has from its other end."""
    station, chord = key
    hook, dash, far = chord.partition("-")
    return (station, f"{far}-{hook}") if dash else key


def line_of(key: ChordKey) -> ChordKey:
    """One name for the line between two anchors, whichever end it is named from: to find it by, not to show."""
    return min(key, turned(key))


class Uncertainty(Struct, frozen=True):
    """Standard uncertainties that the route states: degree for temperature, small units for the others."""

    temperature: Decimal
    reproducibility: Decimal
    hole: Decimal


class Face(Struct, frozen=True):
    """An advancing end of the excavation; `advances` is the way its chainage goes."""

    name: str
    advances: Literal["up", "down"]


class Tape(Struct, frozen=True):
    """A punched steel tape. `expansion` is per `degree`; lengths are in small units."""

    serial: str
    pitch: Decimal
    first_hole: int
    first_hole_distance: Decimal
    holes: int
    expansion: Decimal
    expansion_uncertainty: Decimal
    reference_temperature: Decimal
    calibration: str | None = None
    """Name of the calibration table's file, as the route writes it."""
    table: Mapping[int, Decimal] | None = None
    """The calibration table: hole number to distance from the hook's bearing point, small units."""
    certificate_until: date | None = None

    @property
    def last_hole(self) -> int:
        return self.first_hole + self.holes - 1

    def has_hole(self, hole: int) -> bool:
        """Whether that hole is punched in this tape and, where it has a calibration table, stands in it."""
        if self.table is not None:
            return hole in self.table
        return self.first_hole <= hole <= self.last_hole

    def hole_distance(self, hole: int) -> Decimal:
        """Distance from the hook's bearing point to a hole, small units, exact. `KeyError` if there is no such hole."""
        if not self.has_hole(hole):
            raise KeyError(hole)
        if self.table is not None:
            return self.table[hole]
        return self.first_hole_distance + (hole - self.first_hole) * self.pitch


class Extensometer(Struct, frozen=True):
    """The body that tensions the tape and carries the dial."""

    serial: str
    dial_serial: str
    dial_range: tuple[Decimal, Decimal]
    dial_resolution: Decimal
    dial: Literal["adds", "subtracts"]
    repeatability: Decimal
    """Standard deviation of one re-tensioned repeat, small units."""
    certificate_until: date | None = None


class Control(Struct, frozen=True):
    """The control frame that proves the instrument. Lengths in small units."""

    name: str
    length: Decimal
    limit: Decimal
    correct: bool
    expansion: Decimal
    reference_temperature: Decimal


class Level(Struct, frozen=True):
    """A trigger level: any of `closing`, `opening` (cumulative, small units, positive) and `rate` (closing a day)."""

    name: str
    closing: Decimal | None
    opening: Decimal | None
    rate: Decimal | None
    response: str
    tell: tuple[str, ...]


class Frequency(Struct, frozen=True):
    """How often to read: within so many excavated widths of the face, or moving faster than `rate_above` a day."""

    every_hours: Decimal
    within: Decimal | None
    rate_above: Decimal | None


class Stability(Struct, frozen=True):
    """When the route calls a chord at rest: rate below (a day), and the share of the end value reached."""

    rate_below: Decimal
    share_of_end: Decimal


class Care(Struct, frozen=True):
    """Something to be looked after every so many days."""

    what: str
    every_days: int


class Plant(Struct, frozen=True):
    """Something that stands in the section: an upright rectangle, large units as for anchors."""

    what: str
    left: Decimal
    right: Decimal
    bottom: Decimal
    top: Decimal
    stations: tuple[str, ...] = ()
    """Where it stands; none named: at every station."""


class Anchor(Struct, frozen=True):
    """An eye bolt; `across` (right positive, looking towards rising chainage) and `up` in large units."""

    name: str
    across: Decimal
    up: Decimal
    kind: Literal["grouted", "wedged", "welded"] | None = None
    fixed: Literal["both", "across", "up"] | None = None
    """Taken as unmoved, in both directions or one, where chords are turned into displacements."""


class Chord(Struct, frozen=True):
    """The line between two anchors; the tape's hook goes to `hook`."""

    hook: str
    far: str
    length: Decimal | None
    """Roughly, in large units."""
    levels: tuple[Level, ...]
    """The levels that count for this chord, mild to severe."""

    @property
    def name(self) -> str:
        return f"{self.hook}-{self.far}"

    @property
    def reverse_name(self) -> str:
        return f"{self.far}-{self.hook}"


class Station(Struct, frozen=True):
    """One tunnel section with its anchors and the chords between them, in the order they are walked."""

    name: str
    chainage: Decimal
    face: str | None
    caution: str
    closed: bool
    note: str
    anchors: tuple[Anchor, ...]
    chords: tuple[Chord, ...]

    def anchor(self, name: str) -> Anchor:
        return next(anchor for anchor in self.anchors if anchor.name == name)

    def chord(self, name: str) -> Chord | None:
        """The chord called `FROM-TO` or `TO-FROM`, or None."""
        return next((chord for chord in self.chords if name in (chord.name, chord.reverse_name)), None)


class Route(Struct, frozen=True):
    """A planned walk. `text` and `files` are what it was read from: enough to read it again for ever."""

    name: str
    units: Units
    time_zone: str
    shift_start: time | None
    coverage_factor: Decimal
    rate_over_hours: Decimal
    baseline_sets: int
    excavated_width: Decimal | None
    zero_check_every: int | None
    pole: Decimal | None
    standing_reach: Decimal | None
    uncertainty: Uncertainty
    faces: tuple[Face, ...]
    tapes: tuple[Tape, ...]
    extensometers: tuple[Extensometer, ...]
    controls: tuple[Control, ...]
    levels: tuple[Level, ...]
    frequencies: tuple[Frequency, ...]
    stability: Stability | None
    care: tuple[Care, ...]
    stations: tuple[Station, ...]
    text: str
    files: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    path: Path | None = None
    same_instruments: tuple[str, ...] = ()
    """Route files, as seen from this one's folder, that are walked with the same instruments."""
    plant: tuple[Plant, ...] = ()

    @property
    def reach(self) -> Decimal | None:
        """How high is hooked from the floor, with the pole where there is one; None where the route does not say."""
        return None if self.standing_reach is None else self.standing_reach + (self.pole or 0)

    def station(self, name: str) -> Station | None:
        return next((station for station in self.stations if station.name == name), None)

    def tape(self, serial: str) -> Tape | None:
        return next((tape for tape in self.tapes if tape.serial == serial), None)

    def extensometer(self, serial: str) -> Extensometer | None:
        return next((one for one in self.extensometers if one.serial == serial), None)

    def walk(self) -> Iterator[tuple[Station, Chord]]:
        """Every chord to be read, in the order of the walk; closed stations are left out."""
        for station in self.stations:
            if not station.closed:
                for chord in station.chords:
                    yield station, chord
