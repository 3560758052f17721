"""An invented route in one kind of ground, walked survey by survey, and what is judged on the way.

Three stations of three chords; the middle one is judged. The other two were installed some surveys earlier, or, in
one world of four, on the same day, so that nothing is known of the ground. Before every reading of the middle
station: one clean booking, and a drawn handful of bookings gone wrong, each with what the crew's other readings of
that survey then look like.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from math import hypot

from msgspec.structs import replace
from numpy.random import Generator

from fieldtui.reduction import ChordGround, Event, Figures, Ground, Length, Past, Segment, reduce
from fieldtui.reduction.evidence import Evidence, Other
from fieldtui.reduction.expectation import expect
from fieldtui.reduction.fit import WITHIN_SURVEY
from fieldtui.reduction.known import Known
from fieldtui.reduction.priors import WARM_APART, WARM_APART_BY
from fieldtui.route.model import Anchor, Chord, Route, Station, Tape
from fieldtui.route.units import METRIC

from .case import Case, Line, Moment
from .ground import SURVEYS, setting, station_movement
from .instrument import EXTENSOMETER, TAPE, UNCERTAINTY, Instrument, other_tape, true_spread
from .mishaps import gone_wrong

START = datetime(2031, 3, 1, 6, tzinfo=UTC)
HEAD_START = 6
ANCHORS = {"L": (-4.0, 1.5), "R": (4.0, 1.5), "K": (0.0, 5.0)}
PAIRS = (("L", "R"), ("L", "K"), ("R", "K"))
REFOLLOWED = 4
"""Up to so many readings a chord is followed afresh at every survey, as the program does; after that one at a time."""


class World:
    """One route, one regime, one seed."""

    def __init__(self, regime: str, rng: Generator) -> None:
        self.regime, self.rng = regime, rng
        self.spare = other_tape(rng)
        self.instrument = Instrument.made(TAPE, rng)
        self.ahead = HEAD_START if rng.random() < 0.75 else 0
        chords = tuple(Chord(a, b, Decimal(str(round(_span(a, b), 1))), ()) for a, b in PAIRS)
        anchors = tuple(Anchor(n, Decimal(str(x)), Decimal(str(y))) for n, (x, y) in ANCHORS.items())
        self.stations = tuple(
            Station(name, Decimal(i * 20), None, "", False, "", anchors, chords)
            for i, name in enumerate(("A", "B", "C"))
        )
        self.route = _route(self.stations, self.spare)
        self.setting = setting(regime, self.ahead, rng)
        self.lines: list[Line] = []
        self.events: list[Event] = []
        for station in self.stations:
            ahead = self.ahead if station.name != "B" else 0
            moved = station_movement(self.setting, self.ahead - ahead, len(chords), rng)
            self.events += [Event(START + timedelta(days=day), "stage", station.name) for day in moved.stages]
            for row, chord in enumerate(chords):
                base = 1000 * _span(chord.hook, chord.far) + rng.normal(0, 15)
                self.lines.append(Line((station.name, chord.name), chord, base, row, moved, ahead, []))
        self.air = rng.uniform(7.0, 17.0)
        self.read = 0

    def at(self, survey: int) -> datetime:
        return START + timedelta(days=float(self.setting.times[survey + self.ahead]))

    def cases(self, rates: dict[str, float]) -> Iterator[Case]:
        """Walk all surveys. `rates`: of every label, how often a reading is judged with it."""
        for survey in range(-self.ahead, SURVEYS):
            here = [line for line in self.lines if survey + line.ahead >= 0]
            known = self.known(here, survey)
            warm = self.air + self.rng.normal(0, 1.5)
            others: list[tuple[Line, Figures, float]] = []
            evidence: list[Other] = []
            temperatures: list[Decimal] = []
            for line in here:
                t = warm + self.rng.normal(0, 0.4)
                if self.rng.random() < WARM_APART:
                    t += self.rng.normal(0, WARM_APART_BY * WITHIN_SURVEY)
                true = line.truth(survey)
                figures = self.instrument.read(true, t, line.hole, self.rng)
                length = self.reduced(figures)
                seen = Evidence(tuple(evidence), tuple(temperatures))
                if line.key[0] == "B" and line.followed is not None:
                    yield from self._judged(line, survey, known, figures, length, true, t, seen, others, rates)
                other = self._other(known, line, length, self.at(survey))
                if other is not None:
                    evidence.append(other)
                others.append((line, figures, true))
                temperatures.append(figures.temperature)
                line.pasts.append(Past(self.at(survey), length, f"survey {survey}"))

    # -- what is known -------------------------------------------------------------------------------------------

    def known(self, lines: list[Line], survey: int) -> Known:
        """The ground before this survey. Only what can be asked of it is laid out in full."""
        chords = {
            line.key: ChordGround((Segment("T1", "E1", tuple(line.pasts[:1]), tuple(line.pasts)),))
            for line in lines
            if line.pasts
        }
        at = self.at(survey)
        known = Known(self.route, Ground(chords=chords, events=tuple(e for e in self.events if e.time <= at)))
        for line in lines:
            if not line.pasts:
                continue
            if len(line.pasts) <= REFOLLOWED:
                segment = chords[line.key].segments[0]
                line.followed, line.before = (
                    known.through(line.key, segment),
                    known.through(line.key, segment, leaving=1),
                )
            elif line.followed is not None:
                line.before = line.followed
                line.followed = line.followed.on(line.pasts[-1], known.events(line.key[0]))
            if line.followed is not None:
                known.remember(line.key, line.followed, line.before)
        return known

    def reduced(self, figures: Figures, tape: Tape = TAPE) -> Length:
        self.read += 1
        return reduce(figures, tape, EXTENSOMETER, UNCERTAINTY, reading=self.read)

    def _station(self, line: Line) -> Station:
        return next(station for station in self.stations if station.name == line.key[0])

    def _other(self, known: Known, line: Line, length: Length, at: datetime, moved: float = 0.0) -> Other | None:
        """A reading of this survey as the next chord sees it, moved by what ails the whole survey."""
        expected = expect(known, self._station(line), line.chord, TAPE, EXTENSOMETER, at, length=length)
        if expected is None or expected.rests not in ("readings", "one reading"):
            return None
        if moved:
            length = replace(length, value=length.value + Decimal(str(round(moved, 4))))
        off = float(length.value - expected.value)
        return Other(line.key, length, at, off, expected.spread, abs(off) < 3.5 * expected.spread)

    # -- what is judged ------------------------------------------------------------------------------------------

    def _judged(
        self,
        line: Line,
        survey: int,
        known: Known,
        figures: Figures,
        length: Length,
        true: float,
        t: float,
        seen: Evidence,
        others: list[tuple[Line, Figures, float]],
        rates: dict[str, float],
    ) -> Iterator[Case]:
        """The clean booking, then those drawn to go wrong."""
        at, last = self.at(survey), line.pasts[-1]
        random = float(line.movement.random_variance[line.row][survey])
        same = figures.hole == last.length.figures.hole
        n = (len(figures.dials), len(last.length.figures.dials))
        clean = Case(
            label="as booked",
            regime=self.regime,
            earlier=len(line.pasts),
            known=known,
            station=self._station(line),
            chord=line.chord,
            length=length,
            at=at,
            evidence=seen,
            true_spread=true_spread(random, true, n, same),
            off_by=0.0,
            clean=length,
            last=last.length,
            second=None,
            asked=len(figures.dials) > 3,
            new_stage=any(e.station == "B" and last.time < e.time <= at for e in self.events),
        )
        yield clean
        now = Moment(self, clean, line, survey, figures, true, t, others)
        for label, rate in rates.items():
            for _ in range(int(rate) + (self.rng.random() < rate % 1)):
                made = gone_wrong(label, now)
                if made is not None:
                    yield made


def _span(a: str, b: str) -> float:
    (x, y), (u, v) = ANCHORS[a], ANCHORS[b]
    return hypot(x - u, y - v)


def _route(stations: tuple[Station, ...], spare: Tape) -> Route:
    return Route(
        name="invented ground",
        units=METRIC,
        time_zone="Etc/UTC",
        shift_start=None,
        coverage_factor=Decimal(2),
        rate_over_hours=Decimal(24),
        baseline_sets=1,
        excavated_width=Decimal("9.5"),
        zero_check_every=None,
        pole=None,
        standing_reach=None,
        uncertainty=UNCERTAINTY,
        faces=(),
        tapes=(TAPE, spare),
        extensometers=(EXTENSOMETER,),
        controls=(),
        levels=(),
        frequencies=(),
        stability=None,
        care=(),
        stations=stations,
        text="",
    )
