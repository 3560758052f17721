"""One invented survey, entry by entry, as somebody walking the route would have booked it. Pure.

    Planned ──► Gauge: what there is to read ──► Pen: the entries in order, each with its time

The entries are those of `survey/fold.py`, in the order in which `survey/step.py` asks for them; a test holds the two
together.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from random import Random
from typing import Any

from msgspec import Struct, field

from fieldtui.demo.plan import Planned
from fieldtui.demo.scenario import Event
from fieldtui.demo.sight import Gauge, Sight
from fieldtui.demo.truth import Truth
from fieldtui.reduction import judge_repeats
from fieldtui.route import Route, Station
from fieldtui.survey import DIALS, PLANNED_DIALS, Target, frame_target, zero_target

_SECONDS = {"said": 9, "zero": 25, "arrived": 130, "hole": 35, "dial": 24, "temperature": 14, "accepted": 9}
"""What an entry takes, on the average. *common practice*: three minutes a chord, two from station to station."""
_SLIP = Decimal(5)
"""The mistyped dial figure is off by so many mm."""


class Line(Struct, frozen=True):
    """One entry to be booked."""

    kind: str
    data: dict[str, Any]
    at: datetime


class _Pen(Struct):
    """Writes entries one after another, each some seconds later."""

    now: datetime
    pace: Random
    lines: list[Line] = field(default_factory=list)

    def write(self, what: str, kind: str, data: dict[str, Any], *, timed: bool = False) -> None:
        self.now += timedelta(milliseconds=round(1000 * _SECONDS[what] * self.pace.uniform(0.7, 1.4)))
        read_at = {"read_at": stamp(self.now)} if timed else {}
        self.lines.append(Line(kind, {**data, **read_at}, self.now))


def stamp(at: datetime) -> str:
    """A time as records hold it: RFC 3339, UTC, milliseconds."""
    return at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def survey_lines(truth: Truth, route: Route, planned: Planned) -> tuple[Line, ...]:
    """All entries of a survey but the closing one; those of an interrupted survey end where it broke off.

    `route` is the route as it was then, with the stations that there were.
    """
    pen = _Pen(planned.start, Random(f"{truth.seed}/pace/{planned.number}"))
    gauge = gauge_of(truth, route, planned.label, planned.tape)
    for what, typed in answers(truth, route, planned, planned.start):
        pen.write("said", "said", {"what": what, "typed": typed})
    _zero(pen, gauge, zero_target("start"))
    _frame(pen, gauge, frame_target("start"))
    events = {(event.station, event.chord): event for event in planned.events}
    since, checked = 0, 0
    for station in route.stations:
        if route.zero_check_every is not None and since >= route.zero_check_every:
            since, checked = 0, checked + 1
            _zero(pen, gauge, zero_target("between", checked))
        since += _station(pen, gauge, station, events)
    if route.zero_check_every is not None:
        _zero(pen, gauge, zero_target("end"))
    _frame(pen, gauge, frame_target("end"))
    return tuple(_until_interrupted(truth, pen.lines) if planned.interrupted else pen.lines)


def gauge_of(truth: Truth, route: Route, label: str, tape: str) -> Gauge:
    """The eyes of a survey with a tape; `KeyError` if the route has no such tape."""
    found = route.tape(tape)
    if found is None:
        raise KeyError(tape)
    return Gauge(truth, label, found, route.extensometers[0])


def answers(truth: Truth, route: Route, planned: Planned, at: datetime) -> Iterator[tuple[str, str]]:
    """What is said to the questions at the start, in their order."""
    yield "reader", planned.crew.reader
    yield "recorder", planned.crew.recorder
    yield "tape", planned.tape
    yield "extensometer", route.extensometers[0].serial
    for face in route.faces:
        yield f"face {face.name}", f"{truth.face(at):.1f}"
    yield "stage", truth.stage(at)
    yield "cautions", "seen"


def _zero(pen: _Pen, gauge: Gauge, target: Target) -> None:
    unit = gauge.truth.route.units.small
    data = {**target.data(), "slot": "zero", "typed": gauge.zero(target), "unit": unit}
    pen.write("zero", "figure", data, timed=True)


def _frame(pen: _Pen, gauge: Gauge, target: Target) -> None:
    _reading(pen, gauge, target, gauge.frame(target, pen.now))
    pen.write("accepted", "accepted", _accepted(target))


def _station(pen: _Pen, gauge: Gauge, station: Station, events: dict[tuple[str, str], Event]) -> bool:
    """Every chord of a station; whether any was read."""
    read = False
    pen.write("arrived", "arrived", {"station": station.name})
    for chord in station.chords:
        target = Target(station.name, chord.name)
        event = events.get(target.key)
        what = event.what if event is not None else ""
        if event is not None and what in ("blocked", "unsafe"):
            data = {**target.data(), "outcome": what, "note": event.note}
            pen.write("hole", "unread", data, timed=True)
            continue
        read = True
        sight = gauge.chord(target, pen.now, caught=what == "caught")
        _reading(pen, gauge, target, sight, slip=what == "slip")
        if event is not None and event.note:
            pen.write("accepted", "note", {"text": event.note, "station": station.name, "chord": chord.name})
        pen.write("accepted", "accepted", _accepted(target))
    return read


def _reading(pen: _Pen, gauge: Gauge, target: Target, sight: Sight, *, slip: bool = False) -> None:
    """Hole, as many dials as are asked for, temperature."""
    small, degree = gauge.truth.route.units.small, gauge.truth.route.units.degree

    def figure(slot: str, typed: str, unit: str) -> None:
        kind = "dial" if slot in DIALS else slot
        pen.write(kind, "figure", {**target.data(), "slot": slot, "typed": typed, "unit": unit}, timed=True)

    figure("hole", sight.typed("hole"), "")
    for slot in asked_dials(sight, gauge.extensometer.repeatability):
        if slip and slot == "dial_2":
            figure(slot, mistyped(sight.typed(slot), gauge.extensometer.dial_range), small)
        figure(slot, sight.typed(slot), small)
    figure("temperature", sight.typed("temperature"), degree)


def asked_dials(sight: Sight, repeatability: Decimal) -> tuple[str, ...]:
    """The dial slots that the survey asks for: three, and a fourth and fifth while those before do not agree."""
    asked = list(PLANNED_DIALS)
    for slot in DIALS[len(PLANNED_DIALS) :]:
        if not judge_repeats([Decimal(sight.typed(one)) for one in asked], repeatability).wanted:
            break
        asked.append(slot)
    return tuple(asked)


def mistyped(typed: str, dial_range: tuple[Decimal, Decimal]) -> str:
    """A dial figure misread by 5 mm, to the side where the dial has room."""
    shown = Decimal(typed)
    return str(shown + _SLIP if shown + _SLIP <= dial_range[1] else shown - _SLIP)


def _accepted(target: Target) -> dict[str, Any]:
    return {**target.data(), "as": "read", "reason": "", "shown": {}}


def _until_interrupted(truth: Truth, lines: list[Line]) -> Iterator[Line]:
    """The lines up to and with the first dial figure of the chord at which the survey broke off."""
    broken = truth.scenario.interrupted
    for line in lines:
        yield line
        data = line.data
        if (data.get("station"), data.get("chord"), data.get("slot")) == (broken.station, broken.chord, "dial_1"):
            return
