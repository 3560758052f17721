"""Ten chords of the shipped highway route with six calm surveys behind them, today's figures, and seven slips.

All of it is invented, and drawn once (seed 20310504). The slips are the usual ones of the trade (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from random import Random

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.job import Walk, load_job, logs_folder
from fieldtui.route import Route, load_route
from fieldtui.survey import Target
from harness.jobs import Ticking, lay_shipped
from tests.monkey.hand import on_the_tape, reach

TODAY = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)
CHORDS = 10
SLOTS = ("hole", "dial_1", "dial_2", "dial_3", "temperature")


class Read(Struct, frozen=True):
    """One reading as it is typed or written."""

    target: Target
    hole: str
    dials: tuple[str, str, str]
    temperature: str

    @property
    def figures(self) -> tuple[str, ...]:
        return (self.hole, *self.dials, self.temperature)


class Slip(Struct, frozen=True):
    """What went wrong at one chord; `named` are the causes that a right explanation would name."""

    what: str
    wrong: Read
    named: tuple[str, ...]


class Way(Struct):
    """What one way of booking cost and caught."""

    name: str
    entries: int = 0
    keys: int = 0
    caught: int = 0
    named: int = 0
    false: int = 0
    when: str = ""


def ten_chords(place: Path) -> tuple[Path, list[Read], dict[Target, Slip]]:
    """The route with its past, today's right readings, and the slips."""
    path = lay_shipped(place, "highway")
    route = load_route(path)
    chance = Random(20310504)
    targets = [Target(station.name, chord.name) for station, chord in route.walk()][:CHORDS]
    for days in range(6, 0, -1):
        walk = Walk.begin(load_job(route, logs_folder(route)), clock=Ticking(TODAY - timedelta(days=days)))
        _book(walk, route, [_reading(route, target, days, chance) for target in targets])
    today = [_reading(route, target, 0, chance) for target in targets]
    return path, today, _slips(today)


def _reading(route: Route, target: Target, days: int, chance: Random) -> Read:
    """What the tape shows: the chord closes by 0.15 mm a day, read with the instrument's scatter."""
    station = route.station(target.station)
    chord = station.chord(target.chord) if station is not None else None
    if station is None or chord is None:
        raise KeyError(target)
    warm = Decimal(str(round(12 + chance.gauss(0, 0.4), 1)))
    length = reach(route, station, chord) + Decimal("0.15") * days + Decimal(str(round(chance.gauss(0, 0.08), 3)))
    # a warm tape reads short: what is taken off here the reduction adds again
    tape = route.tapes[0]
    length -= length * tape.expansion * (warm - tape.reference_temperature)
    hole, dial = on_the_tape(tape, route.extensometers[0], length)
    dials = [dial + Decimal(str(round(chance.gauss(0, 0.03), 2))) for _ in range(3)]
    return Read(target, str(hole), tuple(f"{max(Decimal(0), one):.2f}" for one in dials), str(warm))  # type: ignore[arg-type]


def _slips(today: Sequence[Read]) -> dict[Target, Slip]:
    hole, swapped, repeat, dial, point, chord, warm = (today[place] for place in (1, 2, 3, 4, 6, 7, 8))
    other = today[9]
    digits = swapped.hole[0] + swapped.hole[2] + swapped.hole[1] if len(swapped.hole) == 3 else swapped.hole[::-1]
    made = (
        Slip("hole misread by one", replace(hole, hole=str(int(hole.hole) - 1)), ("hole",)),
        Slip("two digits of the hole swapped", replace(swapped, hole=digits), ("hole",)),
        Slip("one repeat misread by 5 mm", replace(repeat, dials=_plus(repeat.dials, "5", only=1)), ("one repeat",)),
        Slip("dial misread by 10 mm, three times", replace(dial, dials=_plus(dial.dials, "10")), ("dial",)),
        Slip("decimal point dropped, three times", replace(point, dials=_times(point.dials)), ("dial", "refused")),
        Slip("the next chord read in its place", replace(other, target=chord.target), ("other chord",)),
        Slip("temperature in degF", replace(warm, temperature=_degf(warm.temperature)), ("temperature", "refused")),
    )
    return {slip.wrong.target: slip for slip in made}


def _plus(dials: Sequence[str], by: str, only: int | None = None) -> tuple[str, str, str]:
    """Each dial, or one of them, by so much more, or less where the dial does not go so far."""
    step = Decimal(by) if all(Decimal(one) + Decimal(by) <= 50 for one in dials) else -Decimal(by)
    made = [str(Decimal(one) + step) if only in (None, place) else one for place, one in enumerate(dials)]
    return (made[0], made[1], made[2])


def _times(dials: Sequence[str]) -> tuple[str, str, str]:
    """Ten times as much."""
    made = [f"{Decimal(one) * 10:.1f}" for one in dials]
    return (made[0], made[1], made[2])


def _degf(temperature: str) -> str:
    return f"{Decimal(temperature) * 9 / 5 + 32:.1f}"


def start(walk: Walk) -> None:
    """The questions, the dial zero and the frame of the shipped route."""
    while walk.step.kind == "say":
        walk.book({"reader": "AB", "tape": "1", "extensometer": "1", "cautions": "1"}.get(walk.step.what, ""))
    while walk.step.target is not None and not walk.step.target.is_chord:
        if walk.step.kind == "result":
            walk.accept()
            continue
        hole, dial = on_the_tape(walk.route.tapes[0], walk.route.extensometers[0], walk.route.controls[0].length)
        typed = {"zero": "0.00", "hole": str(hole), "hole_again": str(hole), "temperature": "12.0"}
        walk.book(typed.get(walk.step.what, f"{dial:.2f}"))


def _book(walk: Walk, route: Route, readings: Sequence[Read]) -> None:
    """A survey of the past, its ten chords booked as they are, closed."""
    start(walk)
    for read in readings:
        asked = dict(zip(SLOTS, read.figures, strict=True)) | {"hole_again": read.hole}
        if walk.step.kind == "arrive":
            walk.book("")
        while walk.step.target == read.target and walk.step.kind == "figure":
            walk.book(asked.get(walk.step.what, ""))
        walk.accept()
        while walk.step.target is not None and walk.step.target.is_zero:
            walk.book("0.00")
    walk.close()
