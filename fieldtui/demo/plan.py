"""Which surveys the demo has: when each was walked, with which tape, over how many stations, and what happened."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, time, timedelta
from random import Random
from zoneinfo import ZoneInfo

from msgspec import Struct

from fieldtui.demo.scenario import Crew, Event, Scenario
from fieldtui.demo.truth import Truth

_MORNING = time(7, 5)
_AFTERNOON = time(13, 20)
_LATENESS_MINUTES = 50


class Planned(Struct, frozen=True):
    """One survey to be made up. `label` is unique in the job, as the program would have given it."""

    number: int
    label: str
    start: datetime
    tape: str
    stations: tuple[str, ...]
    crew: Crew
    events: tuple[Event, ...] = ()
    interrupted: bool = False


def planned_surveys(truth: Truth) -> tuple[Planned, ...]:
    """Every survey of the demo, the oldest first; the last one is interrupted."""
    return tuple(_surveys(truth))


def installed(scenario: Scenario, days: float) -> tuple[str, ...]:
    """The stations that were there so many days before the end, in order of their installation."""
    return tuple(one.name for one in scenario.stations if one.installed >= days)


def _surveys(truth: Truth) -> Iterator[Planned]:
    scenario, number, before = truth.scenario, 0, float("inf")
    for day in scenario.survey_days():
        tapes = _tapes(scenario, day, before)
        events = tuple(one for one in scenario.events if day <= one.days < before)
        for sitting, tape in enumerate(tapes):
            start = _start(truth, day, _AFTERNOON if sitting else _MORNING)
            again = f" ({sitting + 1})" if sitting else ""
            crew = scenario.crews[(number // 9) % len(scenario.crews)]
            yield Planned(
                number,
                f"{_date(truth, start)}{again}",
                start,
                tape,
                installed(scenario, day),
                crew,
                () if sitting else events,
            )
            number += 1
        before = day
    start = truth.end - timedelta(minutes=scenario.interrupted.minutes)
    yield Planned(
        number,
        _date(truth, start),
        start,
        _tapes(scenario, 0.0, before)[-1],
        installed(scenario, 0.0),
        scenario.crews[0],
        interrupted=True,
    )


def _tapes(scenario: Scenario, day: float, before: float) -> tuple[str, ...]:
    """The tape of a day; on the first day of a new one the old one and the new one, on the same chords."""
    used = [one for one in scenario.tapes if one.since >= day]
    fresh = len(used) > 1 and used[-1].since < before
    return tuple(one.serial for one in used[-2:]) if fresh else (used[-1].serial,)


def _start(truth: Truth, day: float, at: time) -> datetime:
    zone = ZoneInfo(truth.route.time_zone)
    late = timedelta(minutes=Random(f"{truth.seed}/start/{day}/{at}").uniform(0, _LATENESS_MINUTES))
    date = (truth.end - timedelta(days=day)).astimezone(zone).date()
    start = datetime.combine(date, at, zone) + late
    return start.astimezone(truth.end.tzinfo).replace(microsecond=0)


def _date(truth: Truth, start: datetime) -> str:
    return start.astimezone(ZoneInfo(truth.route.time_zone)).date().isoformat()
