"""An invented adit to misread in: two stations of three chords, two tapes, and chords that were read every day.

The lengths are exact: what a test sees is the misreading, not chance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import count

from msgspec.structs import replace

from fieldtui.reduction import (
    ChordGround,
    Evidence,
    Explanation,
    Figures,
    Ground,
    Known,
    Length,
    Past,
    Segment,
    Verdict,
    judge,
    reduce,
)
from fieldtui.reduction.evidence import Other
from fieldtui.reduction.expectation import expect
from fieldtui.route.model import Anchor, Chord, Extensometer, Route, Station, Tape, Uncertainty
from fieldtui.route.units import METRIC

TAPE = Tape("T1", Decimal(25), 1, Decimal(25), 600, Decimal("11.6e-6"), Decimal("0.5e-6"), Decimal(20))
OTHER_TAPE = replace(TAPE, serial="T2", first_hole_distance=Decimal(31))
EXTENSOMETER = Extensometer("E1", "D1", (Decimal(0), Decimal(50)), Decimal("0.01"), "adds", Decimal("0.05"))
UNCERTAINTY = Uncertainty(Decimal("0.5"), Decimal("0.08"), Decimal("0.03"))
ANCHORS = tuple(
    Anchor(name, Decimal(across), Decimal(up))
    for name, across, up in (("L", "-4.0", "1.5"), ("R", "4.0", "1.5"), ("K", "0.0", "4.5"))
)
CHORDS = (
    Chord("L", "R", Decimal("8.0"), ()),
    Chord("L", "K", Decimal("5.0"), ()),
    Chord("R", "K", None, ()),
)
STATIONS = tuple(Station(name, Decimal(20 * i), None, "", False, "", ANCHORS, CHORDS) for i, name in enumerate("AB"))
LENGTHS = {
    ("A", "L-R"): 8031.40,
    ("A", "L-K"): 4981.85,
    ("A", "R-K"): 5022.35,
    ("B", "L-R"): 8012.35,
    ("B", "L-K"): 5008.60,
    ("B", "R-K"): 4990.10,
}
START = datetime(2031, 5, 1, 6, tzinfo=UTC)
WARM = Decimal("12.0")
SCATTER = (Decimal("0.03"), Decimal("-0.02"), Decimal("-0.01"))
_readings = count()


def route(**other: object) -> Route:
    """The route; `other` replaces fields of it."""
    made = Route(
        name="invented adit",
        units=METRIC,
        time_zone="Etc/UTC",
        shift_start=None,
        coverage_factor=Decimal(2),
        rate_over_hours=Decimal(24),
        baseline_sets=1,
        excavated_width=None,
        zero_check_every=None,
        pole=None,
        standing_reach=None,
        uncertainty=UNCERTAINTY,
        faces=(),
        tapes=(TAPE, OTHER_TAPE),
        extensometers=(EXTENSOMETER,),
        controls=(),
        levels=(),
        frequencies=(),
        stability=None,
        care=(),
        stations=STATIONS,
        text="",
    )
    return replace(made, **other)


def figures(length: float, *, hole: int | None = None, warm: Decimal = WARM, tape: Tape = TAPE) -> Figures:
    """What is to be booked for a corrected length: the dial near its middle, or what a given hole leaves."""
    raw = length / (1 + float(tape.expansion) * float(warm - tape.reference_temperature))
    first = float(tape.first_hole_distance)
    pin = hole if hole is not None else round((raw - 25.0 - first) / 25.0) + 1
    dial = Decimal(str(round(raw - first - 25.0 * (pin - 1), 2)))
    return Figures(pin, tuple(dial + by for by in SCATTER), warm)


def length(booked: Figures, tape: Tape = TAPE) -> Length:
    """The booked figures reduced."""
    return reduce(booked, tape, EXTENSOMETER, UNCERTAINTY, reading=next(_readings))


@dataclass
class Adit:
    """The adit after so many daily surveys, every chord going its own way."""

    days: int = 10
    rate: float = -0.2
    """mm a day."""
    wobble: Sequence[float] = (0.05, -0.08, 0.02, 0.09, -0.06, 0.0, 0.07, -0.04, -0.05, 0.03)
    every: float = 1.0
    doubtful: frozenset[int] = frozenset()
    spoilt: dict[int, float] = field(default_factory=dict)
    """Surveys whose reading of B's L-R was off by so much."""
    since: int = 0
    """The first survey that read B's L-R."""

    def true(self, key: tuple[str, str], survey: int) -> float:
        """The length of a chord at a survey, 0 the first."""
        return LENGTHS[key] + self.rate * self.every * survey

    def at(self, survey: int) -> datetime:
        return START + timedelta(days=self.every * survey)

    @property
    def now(self) -> datetime:
        return self.at(self.days)

    def known(self, **other: object) -> Known:
        """What is known before the survey of today."""
        chords = {}
        for i, key in enumerate(LENGTHS):
            pasts = []
            for survey in range(self.since if key == ("B", "L-R") else 0, self.days):
                off = self.wobble[(survey + 3 * i) % len(self.wobble)]
                off += self.spoilt.get(survey, 0.0) if key == ("B", "L-R") else 0.0
                read = length(figures(self.true(key, survey) + off))
                wrong = survey in self.doubtful and key == ("B", "L-R")
                pasts.append(Past(self.at(survey), read, f"survey {survey}", wrong))
            if pasts:
                chords[key] = ChordGround((Segment("T1", "E1", tuple(pasts[:1]), tuple(pasts)),))
        return Known(route(**other), Ground(chords=chords))

    def today(self, station: str = "B", chord: str = "L-R") -> Figures:
        """The right figures of today."""
        return figures(self.true((station, chord), self.days))

    def other(self, known: Known, station: str, chord: str, off: float = 0.0) -> Other:
        """Another chord read today, off by so much."""
        where = next(one for one in STATIONS if one.name == station)
        line = where.chord(chord)
        assert line is not None
        read = length(figures(self.true((station, chord), self.days) + off))
        expected = expect(known, where, line, TAPE, EXTENSOMETER, self.now, length=read)
        assert expected is not None
        away = float(read.value) - expected.alone
        return Other(
            (station, chord), read, self.now, away, expected.alone_spread, abs(away) < 3.5 * expected.alone_spread
        )

    def judged(
        self,
        booked: Figures,
        evidence: Evidence | None = None,
        known: Known | None = None,
        chord: str = "L-R",
        at: datetime | None = None,
        **more: object,
    ) -> Verdict:
        """The verdict over figures booked at station B today."""
        seen = evidence if evidence is not None else Evidence(temperatures=(WARM, WARM))
        line = STATIONS[1].chord(chord)
        assert line is not None
        return judge(
            known or self.known(),
            STATIONS[1],
            line,
            length(booked),
            TAPE,
            EXTENSOMETER,
            at or self.now,
            evidence=seen,
            **more,
        )


def first(verdict: Verdict) -> Explanation:
    return verdict.explanations[0]


def shifted(booked: Figures, by: float) -> Figures:
    """The same figures with every dial reading off by this."""
    return replace(booked, dials=tuple(dial + Decimal(str(by)) for dial in booked.dials))
