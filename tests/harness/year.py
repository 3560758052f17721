"""A simulated year of an invented heading: what ties a job together happens in it once.

One chord closes by a law that is known here, so that every figure of the job can be held against the truth.

    day   0     two stations read with tape T1; its expansion is wrong in the route (stainless instead of carbon steel)
    day  92     the mistake is found: the route file is put right; the journal sets the past right
    day 120     a second crew walks in parallel with tape T2, between the days of T1, but for the first day: there both
                are read
    day 150     anchor R of station B is replaced
    day 200     T1 is lost; T3 goes on without both having been read
    day 230     a certificate of T2 comes late: it was 0.4 mm longer than stated, from its first day on
    day 240     the sheet of a survey of day 60 is booked
    day 300     after the bench a new baseline is declared at station B, counting from nil
"""

from __future__ import annotations

from decimal import Decimal
from math import exp
from random import Random

from fieldtui.route import Route, parse_route
from harness.shelf import Read, Shelf, day, route_with, stamp

STEEL, STAINLESS = "11.6e-6", "17.2e-6"
CERTIFICATE = Decimal("0.40")
"""How much longer T2 is than the route says, mm."""
NEW_ANCHOR = 18.0
"""How much longer the chord of station B is with its new anchor, mm."""
BENCH = 6.0
LENGTHS = {"A": 8000.0, "B": 7400.0}
AMPLITUDE = {"A": 9.0, "B": 6.0}


def truth(station: str, days: float) -> float:
    """How far the chord of a station has moved since day 0, mm, negative closing."""
    moved = -AMPLITUDE[station] * (1 - exp(-days / 90))
    return moved - (BENCH if station == "B" and days > 299 else 0.0)


def routes() -> tuple[Route, Route]:
    """The route with the mistake in it, and the route put right."""
    text = route_with().text
    third = text[text.index('[[tape]]\nserial = "T2"') :].split("[[extensometer]]")[0].replace("T2", "T3")
    right = text.replace('[[tape]]\nserial = "T2"', third + '[[tape]]\nserial = "T2"')
    wrong = right.replace(f"expansion = {STEEL}", f"expansion = {STAINLESS}", 1)
    return parse_route(wrong, {}, name="heading.toml"), parse_route(right, {}, name="heading.toml")


def shown(station: str, days: float, tape: str, warmth: float, chance: Random) -> str:
    """The length that hole and dial show: the tape is off its reference temperature, and the reading scatters."""
    length = LENGTHS[station] + truth(station, days) + (NEW_ANCHOR if station == "B" and days > 149 else 0.0)
    constant = {"T1": 0.0, "T2": -float(CERTIFICATE), "T3": 1.7}[tape]
    raw = (length + constant) / (1 + float(STEEL) * (warmth - 20))
    return f"{raw + chance.gauss(0, 0.06):.2f}"


def year() -> Shelf:
    """The whole year on a shelf, its questions answered."""
    wrong, right = routes()
    shelf = Shelf(right)
    chance = Random(20310504)

    def walk(days: float, tape: str, booked: float | None = None) -> None:
        warmth = round(14 - 8 * days / 365 + chance.gauss(0, 0.5), 1)
        reads = [
            Read("L-R", shown(station, days, tape, warmth, chance), station=station, temperature=str(warmth))
            for station in ("A", "B")
        ]
        shelf.survey(
            days,
            *reads,
            tape=tape,
            route=wrong if days < 92 and booked is None else right,
            label=f"day {days:g} {tape}",
            booked_at=None if booked is None else day(booked),
        )

    for days in range(0, 200, 10):
        if days != 60:
            walk(days, "T1")
    for days in range(120, 360, 10):
        walk(days + (0.1 if days == 120 else 5), "T2")
    for days in range(210, 365, 10):
        walk(days, "T3")
    walk(60, "T1", booked=240)
    _declare(shelf)
    return shelf


def _declare(shelf: Shelf) -> None:
    wrong = {"table": "tape", "name": "T1", "key": "expansion", "value": STEEL, "reason": "typed from the wrong line"}
    shelf.journal(92, ("correction", {**wrong, "until": stamp(day(92))}))
    for days, station, survey in ((71, "A", "day 70 T1"), (146, "B", "day 145 T2")):
        call = {"station": station, "chord": "L-R", "level": "look", "what": "closing", "survey": f"id of {survey}"}
        said = {"role": "shift engineer", "person": "EF", "means": "radio", "answer": "will read it every shift"}
        shelf.journal(days, ("call", {**call, **said, "told_at": stamp(day(days))}))
    replaced = {"station": "B", "anchor": "R", "event": "replaced", "at": stamp(day(149.5)), "note": "hit by a loader"}
    shelf.journal(151, ("anchor", replaced))
    certificate = {"table": "tape", "name": "T2", "reference": "invented 31/7", "reason": "came late"}
    values = {"first_hole_distance": str(Decimal("25.0") + CERTIFICATE)}
    shelf.journal(230, ("certificate", {**certificate, "values": values, "since": stamp(day(119))}))
    bench = {"name": "after the bench", "since": stamp(day(299)), "movement": "restarted", "stations": ["B"]}
    shelf.journal(300, ("baseline", {**bench, "reason": "bench taken at B"}))
