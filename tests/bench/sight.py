"""Expected error ellipses against a Monte Carlo of the reduction: python -m tests.bench.sight

Two surveys of a station are simulated, nothing moving: the truth of tape, holes, temperatures, seating and dial is
drawn, the figures are booked as an observer would, reduced by `fieldtui.reduction` and adjusted to displacements by
`fieldtui.movement`. The spread of the displacements is held against what `sight` expects (JCGM 101:2008, seeded).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import atan2, degrees
from pathlib import Path

import numpy as np
from msgspec.structs import replace

from fieldtui.movement.displacement import Displacements, displace
from fieldtui.movement.network import ChordChange
from fieldtui.movement.planned import Conditions, hole_for, planned_length
from fieldtui.movement.sight import Sight, sight
from fieldtui.movement.station import fixed_of, shared
from fieldtui.reduction import Figures, FrameShift, change, frame_shift, reduce, reduce_frame
from fieldtui.route import Route, Station, load_route
from tests.bench.figure import Figure

DRAWS, SEED = 10_000, 20310504
ROUTES = Path(__file__).parents[2] / "routes"
SHIPPED = (("highway", "E1"), ("us-cavern", "C1"))


@dataclass(frozen=True)
class Compared:
    """One half axis: expected, simulated, small units."""

    anchor: str
    expected: tuple[float, float]
    simulated: tuple[float, float]
    turned: float
    """Degrees between the long axes."""

    @property
    def off(self) -> float:
        """The larger of the two relative differences."""
        return max(abs(one / other - 1) for one, other in zip(self.simulated, self.expected, strict=True))


class Simulated:
    """One station read twice, as often as wanted, with everything that is in error drawn anew each time."""

    def __init__(self, route: Route, station: Station, seed: int) -> None:
        self.route, self.station = route, station
        self.tape, self.body = route.tapes[0], route.extensometers[0]
        self.conditions = Conditions.of(route)
        self.random = np.random.default_rng(seed)
        small = route.units.small_per_large
        self.places = {one.name: (float(one.across) * small, float(one.up) * small) for one in station.anchors}
        self.lengths = {chord.name: float(planned_length(route, station, chord)) for chord in station.chords}
        first = {name: hole_for(Decimal(length), self.tape, self.body) for name, length in self.lengths.items()}
        self.holes = ({name: hole or 0 for name, hole in first.items()}, {n: (h or 0) - 1 for n, h in first.items()})

    def displacements(self, draws: int) -> np.ndarray:
        """(draws, 2m): what the adjustment makes of each simulated pair of surveys."""
        covariance = shared(list(sight(self.route, self.station, self.conditions).changes.values()))
        return np.stack([self._one(covariance) for _ in range(draws)])

    def _one(self, covariance: np.ndarray) -> np.ndarray:
        steel = self.random.normal(float(self.tape.expansion), float(self.tape.expansion_uncertainty))
        punched: dict[int, float] = {}
        read = [dict(self._survey(survey, steel, punched)) for survey in (0, 1)]
        changes = [
            ChordChange(*name.split("-"), float(change(read[1][name], read[0][name]).value)) for name in self.lengths
        ]
        found = displace(self.places, changes, covariance, fixed_of(self.station))
        assert isinstance(found, Displacements)
        return found.values.ravel()

    def _survey(self, survey: int, steel: float, punched: dict[int, float]) -> Iterator[tuple[str, object]]:
        stated, tape = self.route.uncertainty, self.tape
        warmer = float(self.conditions.warmer) * survey
        shift = self._shift(survey, warmer, steel, punched)
        for name, length in self.lengths.items():
            figures = self._figures(length, self.holes[survey][name], warmer, steel, punched)
            yield name, reduce(figures, tape, self.body, stated, reading=(survey, name), frame=shift)

    def _figures(self, length: float, hole: int, warmer: float, steel: float, punched: dict[int, float]) -> Figures:
        """What is booked of a true length."""
        stated, tape, draw = self.route.uncertainty, self.tape, self.random.normal
        off = punched.setdefault(hole, draw(0, float(stated.hole)))
        taped = length / (1 + steel * warmer) - float(tape.hole_distance(hole)) - off
        seated = taped + draw(0, float(stated.reproducibility))
        sign = 1 if self.body.dial == "adds" else -1
        dials = tuple(self._shown(sign * (seated + draw(0, float(self.body.repeatability)))) for _ in range(3))
        felt = Decimal(warmer + draw(0, float(stated.temperature))) + tape.reference_temperature
        return Figures(hole, dials, felt)

    def _shift(self, survey: int, warmer: float, steel: float, punched: dict[int, float]) -> FrameShift | None:
        """The control frame at start and end, of its own steel, where the route has it taken off."""
        control = self.route.controls[0]
        hole = hole_for(control.length, self.tape, self.body)
        if not control.correct or hole is None:
            return None
        cold = float(self.tape.reference_temperature - control.reference_temperature)
        length = float(control.length) * (1 + float(control.expansion) * (cold + warmer))
        start, end = (
            reduce_frame(
                self._figures(length, hole, warmer, steel, punched),
                self.tape, self.body, control, self.route.uncertainty, reading=(survey, "frame", which),
            )
            for which in ("start", "end")
        )  # fmt: skip
        return frame_shift(start, end, [replace(start, value=control.length)])

    def _shown(self, dial: float) -> Decimal:
        return Decimal(dial).quantize(self.body.dial_resolution)


def compared(seen: Sight, drawn: np.ndarray) -> Iterator[Compared]:
    """Each anchor's ellipse against that of the draws."""
    assert isinstance(seen.found, Displacements)
    for place, one in enumerate(seen.ellipses):
        values, vectors = np.linalg.eigh(np.cov(drawn[:, 2 * place : 2 * place + 2].T))
        angle = degrees(atan2(vectors[1, 1], vectors[0, 1])) % 180
        apart = abs(angle - one.angle) % 180
        axes = (float(values[1]) ** 0.5, float(values[0]) ** 0.5)
        yield Compared(one.anchor, (one.long, one.short), axes, min(apart, 180 - apart))


def figures(quick: bool) -> Iterator[Figure]:
    """By chance alone a half axis of so many draws is off by 1 / sqrt(2 draws); four of that are allowed."""
    draws = 1000 if quick else DRAWS
    for name, wanted in SHIPPED:
        route, station = _of(ROUTES, name, wanted)
        drawn = Simulated(route, station, SEED).displacements(draws)
        off = max(one.off for one in compared(sight(route, station), drawn))
        chance = 1 / (2 * draws) ** 0.5
        yield Figure(f"half axes of {name} {wanted} beside {draws:,} draws: most off", 100 * off, 400 * chance, "%")


def _of(folder: Path, name: str, wanted: str) -> tuple[Route, Station]:
    route = load_route(folder / name / f"{name}.toml")
    station = route.station(wanted)
    assert station is not None
    return route, station


def report(folder: Path, stations: Mapping[str, str]) -> Iterator[str]:
    for name, wanted in stations.items():
        route, station = _of(folder, name, wanted)
        drawn = Simulated(route, station, SEED).displacements(DRAWS)
        yield f"{name} {wanted}: {len(station.chords)} chords, {DRAWS} draws, seed {SEED}, {route.units.small}"
        yield "anchor  expected long, short  simulated     off   turned"
        for one in compared(sight(route, station), drawn):
            expected, simulated = (" ".join(f"{axis:.4f}" for axis in axes) for axes in (one.expected, one.simulated))
            yield f"{one.anchor:<7} {expected}       {simulated} {100 * one.off:5.2f} % {one.turned:5.2f} deg"


if __name__ == "__main__":
    for line in report(ROUTES, dict(SHIPPED)):
        print(line)
