"""Answers to the tables of a route file, as far as they go. Numbers are `Decimal`, as they were typed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any

from fieldtui.laying.asking import YES, Given, named
from fieldtui.laying.job_questions import NONE, USUAL
from fieldtui.laying.section_questions import NOT_STATED, anchors_of, chords_of, stations_of
from fieldtui.laying.usual import CARE, RATE_HOURS, WITHIN, usual
from fieldtui.route.checking import FORMAT

Table = dict[str, Any]
_MILLIONTHS = Decimal("1e-6")


def top(given: Given) -> Table:
    """What stands before the first table."""
    table: Table = {"format": FORMAT, "name": given["name"], "units": given["units"]}
    for key in ("time_zone", "shift_start"):
        if given.get(key):
            table[key] = given[key]
    if "baseline_sets" in given:
        table["baseline_sets"] = int(given["baseline_sets"])
    if "group0.width" in given:
        table["excavated_width"] = Decimal(given["group0.width"])
    if given.get("zero_check_every"):
        table["zero_check_every"] = int(given["zero_check_every"])
    if "standing_reach" in given:
        table["standing_reach"] = Decimal(given["standing_reach"])
    if "pole" in given:
        table["pole"] = Decimal(given["pole"])
    return table


def uncertainty(given: Given) -> Table:
    """Standard uncertainties."""
    return {key: Decimal(given[f"uncertainty.{key}"]) for key in ("temperature", "reproducibility", "hole")}


def faces(given: Given) -> Iterator[Table]:
    for place, name in enumerate(named(given, "face.", ".name")):
        if f"face.{place}.advances" in given:
            yield {"name": name, "advances": given[f"face.{place}.advances"]}


def tapes(given: Given) -> Iterator[Table]:
    """Each tape that was answered to its end."""
    for place, serial in enumerate(named(given, "tape.", ".serial")):
        own = {key: given.get(f"tape.{place}.{key}") for key in _TAPE}
        if any(value is None for value in own.values()):
            return
        table: Table = {"serial": serial}
        for key, value in own.items():
            if key in ("first_hole", "holes"):
                table[key] = int(value or 0)
            elif key == "certificate_until":
                table |= {key: date.fromisoformat(value)} if value else {}
            else:
                table[key] = Decimal(value or 0) * (_MILLIONTHS if key.startswith("expansion") else 1)
        yield table


_TAPE = (
    "pitch", "first_hole", "first_hole_distance", "holes", "expansion", "expansion_uncertainty",
    "reference_temperature", "certificate_until",
)  # fmt: skip


def extensometers(given: Given) -> Iterator[Table]:
    for place, serial in enumerate(named(given, "extensometer.", ".serial")):
        at = f"extensometer.{place}"
        if f"{at}.repeatability" not in given:
            return
        yield {
            "serial": serial,
            "dial_serial": given[f"{at}.dial_serial"],
            "dial_range": [Decimal(given[f"{at}.low"]), Decimal(given[f"{at}.high"])],
            "dial_resolution": Decimal(given[f"{at}.resolution"]),
            "dial": given[f"{at}.dial"],
            "repeatability": Decimal(given[f"{at}.repeatability"]),
        }


def frames(given: Given) -> Iterator[Table]:
    if given.get("frame.name") and "frame.reference_temperature" in given:
        yield {
            "name": given["frame.name"],
            "length": Decimal(given["frame.length"]),
            "limit": Decimal(given["frame.limit"]),
            "correct": given["frame.correct"] == YES,
            "expansion": Decimal(given["frame.expansion"]) * _MILLIONTHS,
            "reference_temperature": Decimal(given["frame.reference_temperature"]),
        }


def levels(given: Given) -> Iterator[Table]:
    for place, name in enumerate(named(given, "level.", ".name")):
        at = f"level.{place}"
        if f"{at}.tell" not in given:
            return
        figures = {key: Decimal(given[f"{at}.{key}"]) for key in ("closing", "opening", "rate") if given[f"{at}.{key}"]}
        people = given[f"{at}.tell"].split(", ")
        yield {"name": name, **figures, "response": given[f"{at}.response"], "tell": people}


def frequencies(given: Given) -> Iterator[Table]:
    if given.get("frequency", NONE) == NONE:
        return
    for place, (within, hours) in enumerate(WITHIN):
        yield {"within": Decimal(within), "every_hours": Decimal(given.get(f"within.{place}", hours))}
    for place, (rate, hours) in enumerate(zip(usual(given["units"]).rates, RATE_HOURS, strict=True)):
        yield {"rate_above": Decimal(rate), "every_hours": Decimal(given.get(f"rate.{place}", hours))}


def rests(given: Given) -> Iterator[Table]:
    if "rest.share" in given:
        yield {"rate_below": Decimal(given["rest.rate"]), "share_of_end": Decimal(given["rest.share"])}


def care(given: Given) -> Iterator[Table]:
    if given.get("care") == USUAL:
        for what, days in CARE:
            yield {"what": what, "every_days": int(days)}
    for place, what in enumerate(named(given, "care.", ".what")):
        if f"care.{place}.days" in given:
            yield {"what": what, "every_days": int(given[f"care.{place}.days"])}


def plant(given: Given) -> Iterator[Table]:
    for place, what in enumerate(named(given, "plant.", ".what")):
        at = f"plant.{place}"
        if f"{at}.top" in given:
            yield {"what": what, **{key: Decimal(given[f"{at}.{key}"]) for key in ("left", "right", "top")}}


def stations(given: Given, at: str) -> Iterator[Table]:
    """The stations of one group; none before its last question was answered."""
    if f"{at}.caution" not in given:
        return
    chainage, step = Decimal(given[f"{at}.chainage"]), Decimal(given.get(f"{at}.spacing", "0"))
    for place, name in enumerate(stations_of(given, at)):
        yield section(given, at, name, chainage + place * step)


def section(given: Given, at: str, name: str, chainage: Decimal) -> Table:
    """One station of a group, its anchors and chords as far as they were answered."""
    table: Table = {"name": name, "chainage": chainage}
    if given.get(f"{at}.face", NOT_STATED) != NOT_STATED:
        table["face"] = given[f"{at}.face"]
    if given.get(f"{at}.caution"):
        table["caution"] = given[f"{at}.caution"]
    places, kind = anchors_of(given, at), given.get(f"{at}.kind", NOT_STATED)
    stated = {} if kind == NOT_STATED else {"kind": kind}
    table["anchor"] = [{"name": one, "across": x, "up": y, **stated} for one, (x, y) in places.items()]
    ends = [chord.split("-") for chord in chords_of(given, at)]
    table["chord"] = [{"from": hook, "to": far} for hook, far in ends if hook in places and far in places]
    return table
