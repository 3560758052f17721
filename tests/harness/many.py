"""Many surveys of one invented route, laid as the walk would write them: for benchmarks of opening a job.

a_route(chords) ──► lay_surveys(route, folder, surveys) ──► logs, closed, each naming the one before
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from math import exp
from pathlib import Path
from random import Random
from typing import Any

from fieldtui.job import SURVEY, route_record
from fieldtui.job.closing import closing_data
from fieldtui.log import LogWriter, OsCalls
from fieldtui.route import Route, load_route
from fieldtui.survey import Target, fold, frame_target, zero_target
from harness.jobs import CONTROL, TWO_CHORDS

START = datetime(2031, 5, 4, 6, 0, tzinfo=UTC)
SPANS = (("L", "R"), ("L", "K"), ("R", "K"), ("L", "M"))
Entry = tuple[str, Mapping[str, Any]]


class NoSync(OsCalls):
    """Real files without the wait for the disk."""

    def fsync(self, fd: int) -> None:
        return

    def fsync_folder(self, folder: Path) -> None:
        return


def a_route(folder: Path, chords: int) -> Route:
    """A route of so many chords, four to a station, laid in a folder."""
    head = TWO_CHORDS[: TWO_CHORDS.index("[[station]]")].replace("{more}", "") + CONTROL
    text = [head]
    for number in range((chords + len(SPANS) - 1) // len(SPANS)):
        text.append(f'[[station]]\nname = "S{number + 1:02d}"\nchainage = {100 + 10 * number}.0\n')
        for name, across, up in (("L", -4.0, 1.5), ("R", 4.0, 1.5), ("K", 0.0, 6.0), ("M", 3.0, 4.5)):
            text.append(f'[[station.anchor]]\nname = "{name}"\nacross = {across}\nup = {up}\n')
        for hook, far in SPANS[: chords - number * len(SPANS)]:
            text.append(f'[[station.chord]]\nfrom = "{hook}"\nto = "{far}"\n')
    path = folder / "heading.toml"
    folder.mkdir(parents=True, exist_ok=True)
    path.write_text("".join(text), encoding="utf-8")
    return load_route(path)


def lay_surveys(
    route: Route, folder: Path, surveys: int, *, first: int = 0, tip: list[Any] | None = None, start: datetime = START
) -> list[Any]:
    """So many daily surveys, closed, the very first of them at `start`; gives what the next log has to name."""
    tip = tip or []
    for day in range(first, first + surveys):
        chance = Random(day)
        at = start + timedelta(days=day)
        writer = LogWriter.create(
            folder,
            survey=f"{day:016x}",
            label=f"{at:%Y-%m-%d}",
            scope=SURVEY,
            after=tip,
            first=[("route", route_record(route))],
            clock=lambda at=at: at,  # type: ignore[misc]
            calls=NoSync(),
            log_id=f"{day:08x}" * 4,
        )
        booked = list(_entries(route, day, at, chance))
        ats = [at + timedelta(seconds=8 * number) for number in range(len(booked))]
        writer.append_all([(kind, data) for kind, data in booked], ats)
        state = fold(writer.records, writer.id)
        writer.append("closed", closing_data(route, state, f"{day:016x}", lambda tape, extensometer: None))
        tip = [writer.tip]
        writer.close()
    return tip


def _entries(route: Route, day: int, at: datetime, chance: Random) -> Iterator[Entry]:
    answers = {"reader": "AB", "recorder": "CD", "tape": "T1", "extensometer": "X1", "stage": "top heading"}
    for what, typed in answers.items():
        yield "said", {"what": what, "typed": typed}
    yield from _figures(zero_target("start"), {"zero": "0.00"}, at)
    for number, (target, hole, shown, warmth) in enumerate(_read(route, day, chance)):
        moment = at + timedelta(minutes=2 * number)
        if target.is_chord and number % len(SPANS) == 1:
            yield "arrived", {"station": target.station}
        dials = {f"dial_{place}": f"{shown + chance.gauss(0, 0.05):.2f}" for place in (1, 2, 3)}
        yield from _figures(target, {"hole": str(hole), **dials, "temperature": f"{warmth:.1f}"}, moment)
        shown_text = {"verdict": "as booked", "probability": "0.998", "length": f"{hole * 25 + shown:.2f}", "level": ""}
        yield "accepted", {**target.data(), "as": "read", "reason": "", "shown": shown_text}


def _read(route: Route, day: int, chance: Random) -> Iterator[tuple[Target, int, float, float]]:
    warmth = 14 + chance.gauss(0, 0.3)
    yield frame_target("start"), 199, 20.0 + chance.gauss(0, 0.05), warmth
    for number, (station, chord) in enumerate(route.walk()):
        closing = (3 + number % 7) * (1 - exp(-day / 60))
        yield Target(station.name, chord.name), 310, 25 - closing + chance.gauss(0, 0.08), warmth
    yield frame_target("end"), 199, 20.0 + chance.gauss(0, 0.05), warmth


def _figures(target: Target, typed: Mapping[str, str], at: datetime) -> Iterator[Entry]:
    stamp = at.isoformat().replace("+00:00", "Z")
    for slot, text in typed.items():
        unit = {"hole": "", "temperature": "degC"}.get(slot, "mm")
        yield "figure", {**target.data(), "slot": slot, "typed": text, "unit": unit, "read_at": stamp}
