"""One tape, one extensometer and one station of an invented route, and a way to book with them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from fieldtui.reduction import Figures, Length, Past, reduce
from fieldtui.route.model import Chord, Control, Extensometer, Level, Route, Station, Tape, Uncertainty
from fieldtui.route.units import METRIC

TAPE = Tape("T1", Decimal(25), 1, Decimal(25), 600, Decimal("11.6e-6"), Decimal("0.5e-6"), Decimal(20))
EXTENSOMETER = Extensometer("E1", "D1", (Decimal(0), Decimal(50)), Decimal("0.01"), "adds", Decimal("0.05"))
UNCERTAINTY = Uncertainty(Decimal("0.5"), Decimal("0.08"), Decimal("0.03"))
CONTROL = Control("pillar", Decimal(5000), Decimal("0.15"), True, Decimal("11.6e-6"), Decimal(20))
LEVELS = (
    Level("amber", Decimal(5), Decimal(4), None, "look again", ("engineer",)),
    Level("red", Decimal(10), None, Decimal(2), "stop work", ("engineer", "manager")),
)
START = datetime(2031, 5, 1, 6, tzinfo=UTC)


@pytest.fixture(scope="session")
def tape() -> Tape:
    return TAPE


@pytest.fixture(scope="session")
def extensometer() -> Extensometer:
    return EXTENSOMETER


@pytest.fixture(scope="session")
def uncertainty() -> Uncertainty:
    return UNCERTAINTY


@pytest.fixture(scope="session")
def control() -> Control:
    return CONTROL


@pytest.fixture(scope="session")
def levels() -> tuple[Level, ...]:
    return LEVELS


@pytest.fixture(scope="session")
def book() -> Callable[..., Length]:
    """A length from a hole and a dial figure, three times the same unless several are given."""
    counted = iter(range(10**9))

    def booked(hole: int, dial: str, temperature: str = "20", *, tape: Tape = TAPE, **more: object) -> Length:
        dials = dial.split()
        figures = Figures(hole, tuple(map(Decimal, dials * (3 if len(dials) == 1 else 1))), Decimal(temperature))
        more.setdefault("reading", next(counted))
        return reduce(figures, tape, more.pop("extensometer", EXTENSOMETER), UNCERTAINTY, **more)

    return booked


@pytest.fixture(scope="session")
def past(book: Callable[..., Length]) -> Callable[..., Past]:
    """An earlier reading, so many hours after the start."""

    def read(hours: float, hole: int, dial: str, temperature: str = "20", **more: object) -> Past:
        doubtful = bool(more.pop("doubtful", False))
        at = START + timedelta(hours=hours)
        return Past(at, book(hole, dial, temperature, **more), f"survey at {hours} h", doubtful)

    return read


@pytest.fixture(scope="session")
def start() -> datetime:
    return START


@pytest.fixture(scope="session")
def station() -> Station:
    return Station("ring 12", Decimal(120), None, "", False, "", (), (Chord("L", "R", Decimal(8), LEVELS),))


@pytest.fixture(scope="session")
def route(station: Station) -> Callable[..., Route]:
    def made(*, baseline_sets: int = 1) -> Route:
        return Route(
            name="invented adit",
            units=METRIC,
            time_zone="Etc/UTC",
            shift_start=None,
            coverage_factor=Decimal(2),
            rate_over_hours=Decimal(24),
            baseline_sets=baseline_sets,
            excavated_width=None,
            zero_check_every=None,
            pole=None,
            standing_reach=None,
            uncertainty=UNCERTAINTY,
            faces=(),
            tapes=(TAPE,),
            extensometers=(EXTENSOMETER,),
            controls=(CONTROL,),
            levels=LEVELS,
            frequencies=(),
            stability=None,
            care=(),
            stations=(station,),
            text="",
        )

    return made
