"""Jobs whose every text tries to break something: invented, laid by a seed, the same for the same seed.

hostile_job(folder, seed) ──► a route file and its logs, as the walk would write them but for the texts
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

from fieldtui.job import SURVEY, route_record
from fieldtui.log import LogWriter
from fieldtui.route import Route, load_route
from fieldtui.survey import OUTCOMES, Target, frame_target, zero_target
from harness.many import Entry, NoSync

LATIN = (
    "=1+1", "+49", "-2", "@SUM(A1)", "'quoted'", '"', '""', '","', '"\r\n"', "\r\n", "\n", "\r", "\t", "\0", "\x1b[2J",
    "|", ",|", "|,|", '|"', "<b>&amp;</b>", "<r>x</r>", "_x0041_", "]]>", "\\u0041", "\\", "DATA", '"GROUP","MOND"',
    "%s{}", "C:\\user", "; rm", "--", "NaN", "1e9", "0319", "Süd", "é", "\x85", "\x7f", "{{x}}", "[red]", " ", "x" * 70,
)  # fmt: skip
BEYOND = (
    "–",
    "Ω",
    "שלום",
    "漢字",
    "🛠",
    "\u202e",
    "\u2066",
    "\ufeff",
    "\u2028",
    "\ud800",
    "\uffff",
    "e\u0301",
    "\u00ad",
)
START = datetime(2031, 5, 29, 6, 0, tzinfo=UTC)


def hostile_job(folder: Path, seed: int, *, beyond: bool = True) -> Path:
    """The route file of the job. `beyond`: with letters that are not Latin ones as well."""
    chance = Random(seed)
    texts = _Texts(chance, (*LATIN, *BEYOND) if beyond else LATIN)
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / "heading.toml"
    path.write_text("".join(_route(chance, texts)), encoding="utf-8")
    route = load_route(path)
    tip = None
    for day in range(chance.randint(1, 4)):
        tip = _survey(route, folder / "logs", chance, texts, day, tip)
    return path


class _Texts:
    """Texts put together from the pool."""

    def __init__(self, chance: Random, pool: tuple[str, ...]) -> None:
        self._chance = chance
        self._pool = pool
        self._given: set[str] = set()

    def any(self, longest: int = 6) -> str:
        return "".join(self._chance.choices(self._pool, k=self._chance.randint(1, longest)))

    def name(self) -> str:
        """A name that a route file may have: printable, no blank around it, no dash, and no other has it."""
        while True:
            text = "".join(sign for sign in self.any(3) if sign.isprintable() and sign != "-").strip()[:40]
            if text and text not in self._given:
                self._given.add(text)
                return text

    def prose(self) -> str:
        """A text of a route file that may run over several lines."""
        return "".join(sign for sign in self.any() if sign.isprintable() or sign in "\t\r\n")


def _route(chance: Random, texts: _Texts) -> Iterator[str]:
    us = chance.random() < 0.3
    pitch, zero = ("1.0", "68.0") if us else ("25.0", "20.0")
    yield f'format = 1\nname = {_toml(texts.name())}\nunits = "{"US" if us else "metric"}"\n'
    yield "[uncertainty]\ntemperature = 0.5\nreproducibility = 0.003\nhole = 0.001\n"
    yield f'[[face]]\nname = {_toml(texts.name())}\nadvances = "up"\n'
    yield f"[[tape]]\nserial = {_toml(texts.name())}\npitch = {pitch}\nfirst_hole = 1\nfirst_hole_distance = {pitch}\n"
    yield f"holes = 600\nexpansion = 11.6e-6\nexpansion_uncertainty = 0.5e-6\nreference_temperature = {zero}\n"
    yield f"[[extensometer]]\nserial = {_toml(texts.name())}\ndial_serial = {_toml(texts.name())}\n"
    yield f"dial_range = [0.0, {2 * float(pitch)}]\ndial_resolution = 0.01\n"
    yield f'dial = "{chance.choice(("adds", "subtracts"))}"\nrepeatability = 0.05\n'
    yield f'[[level]]\nname = {_toml(texts.name())}\nclosing = 0.2\nresponse = {_toml(texts.name())}\ntell = ["all"]\n'
    yield f"[[control]]\nname = {_toml(texts.name())}\nlength = {50 * float(pitch)}\nlimit = 0.5\ncorrect = false\n"
    yield f"expansion = 11.6e-6\nreference_temperature = {zero}\n"
    for number in range(chance.randint(1, 3)):
        yield f"[[station]]\nname = {_toml(texts.name())}\nchainage = {100 + 10 * number}.5\n"
        yield f"caution = {_toml(texts.prose())}\nnote = {_toml(texts.prose())}\n"
        names = [texts.name() for _ in range(3)]
        for place, name in enumerate(names):
            yield f"[[station.anchor]]\nname = {_toml(name)}\nacross = {4.0 * place}\nup = {1.5 + place}\n"
        for hook, far in ((0, 1), (1, 2))[: chance.randint(1, 2)]:
            yield f"[[station.chord]]\nfrom = {_toml(names[hook])}\nto = {_toml(names[far])}\n"


def _toml(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _survey(route: Route, folder: Path, chance: Random, texts: _Texts, day: int, tip: object) -> object:
    at = START + timedelta(days=day)
    writer = LogWriter.create(
        folder,
        survey=f"{day:016x}",
        label=texts.any(),
        scope=SURVEY,
        after=[tip] if tip is not None else [],
        first=[("route", route_record(route))],
        clock=lambda: at,
        calls=NoSync(),
        log_id=f"{day:08x}" * 4,
    )
    booked = list(_entries(route, chance, texts, at))
    writer.append_all(booked, [at] * len(booked))
    writer.close()
    return writer.tip


def _entries(route: Route, chance: Random, texts: _Texts, at: datetime) -> Iterator[Entry]:
    for what in ("reader", "recorder", "stage"):
        yield "said", {"what": what, "typed": texts.any()}
    yield "said", {"what": "tape", "typed": route.tapes[0].serial}
    yield "said", {"what": "extensometer", "typed": route.extensometers[0].serial}
    yield from _figures(route, zero_target("start"), {"zero": "0.00"}, at)
    yield from _reading(route, chance, texts, frame_target("start"), at)
    for number, (station, chord) in enumerate(route.walk()):
        when = at + timedelta(minutes=number)
        target = Target(station.name, chord.name)
        yield "arrived", {"station": station.name}
        if chance.random() < 0.15:
            outcome = chance.choice([*OUTCOMES])
            yield "unread", {**target.data(), "outcome": outcome, "note": texts.any(), "read_at": _stamp(when)}
            continue
        yield from _reading(route, chance, texts, target, when)
        if chance.random() < 0.3:
            # the same chord again, in the very same second
            yield from _reading(route, chance, texts, Target(station.name, chord.name, 2), when)
        if chance.random() < 0.6:
            place = {"station": station.name, "chord": chord.name}
            yield "note", {"text": texts.any(), **place, "read_at": _stamp(when)}
    yield "note", {"text": texts.any(40), "read_at": _stamp(at)}


def _reading(route: Route, chance: Random, texts: _Texts, target: Target, at: datetime) -> Iterator[Entry]:
    shown = 0.6 + chance.gauss(0, 0.05)
    dials = {f"dial_{number}": f"{shown + chance.gauss(0, 0.02):.{chance.randint(2, 3)}f}" for number in (1, 2, 3)}
    dials["dial_2"] = dials["dial_2"].replace(".", chance.choice(".,"))
    warmth = chance.choice(("+12", "12,5", " 12.50", "11."))
    yield from _figures(route, target, {"hole": chance.choice(("0240", "241")), **dials, "temperature": warmth}, at)
    how = chance.choice(("read", "read", "kept"))
    reason = texts.any() if how == "kept" else ""
    yield "accepted", {**target.data(), "as": how, "reason": reason, "shown": {}, "read_at": _stamp(at)}


def _figures(route: Route, target: Target, typed: dict[str, str], at: datetime) -> Iterator[Entry]:
    for slot, text in typed.items():
        unit = {"hole": "", "temperature": route.units.degree}.get(slot, route.units.small)
        yield "figure", {**target.data(), "slot": slot, "typed": text, "unit": unit, "read_at": _stamp(at)}


def _stamp(at: datetime) -> str:
    return at.isoformat().replace("+00:00", "Z")
