"""One line of the spreadsheet in use so far to an earlier length, or to a row of raw figures, or to what is wrong.

    Line ── read_earlier ──► Earlier: a length with its time        ──► record `earlier`
                        ├──► Line of a booking sheet: raw figures   ──► booked as any paper
                        └──► BadRow

A length is in the route's small unit unless `unit` names the large one; `uncertainty` is a standard uncertainty in the
same unit. A row marked in `baseline` is a set of the chord's baseline; where none is marked the first ones are.
"""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal, localcontext
from math import hypot
from zoneinfo import ZoneInfo

from msgspec import Struct

from fieldtui.paper.rows import FIGURES, OPTIONAL, READ, REQUIRED, BadRow, Wrong
from fieldtui.paper.table import Line
from fieldtui.printable import one_line
from fieldtui.route import Chord, Route, Station
from fieldtui.survey import EntryRefused, number
from fieldtui.survey.times import reading_time, shown_time
from fieldtui.survey.typed import LONGEST_FIGURE

NEEDED = ("station", "chord", "time")
WANTED = ("length", "unit", "uncertainty", "baseline", *(one for one in (*REQUIRED, *OPTIONAL) if one not in NEEDED))
_YES, _NO = ("yes", "y", "true", "1", "x"), ("", "no", "n", "false", "0")
_FAR = 2.0
"""A length so many times longer or shorter than the anchors stand apart is in another unit, or of another chord."""


class Earlier(Struct, frozen=True):
    """A length to be taken over, in the route's small unit; `written` is what the sheet says."""

    line: int
    station: str
    chord: str
    time: datetime
    time_text: str
    length: str
    uncertainty: str
    written: str
    baseline: bool
    tape: str
    extensometer: str
    note: str
    remark: str = ""


def read_earlier(line: Line, route: Route, zone: ZoneInfo) -> Earlier | Line | BadRow:
    """What a line holds. A line with raw figures comes back as a line of a booking sheet."""
    raw = any(line[column] for column in FIGURES)
    if raw or (line["outcome"] and not line["length"]):
        return _as_sheet(line, zone)
    wrong: list[Wrong] = []
    station = route.station(line["station"])
    chord = station.chord(line["chord"]) if station is not None else None
    if station is None or chord is None:
        what = f"the route has no chord “{line['chord']}” at a station “{line['station']}”"
        wrong.append(Wrong("chord", what, "write station and chord as the route file does"))
    outcome = line["outcome"].lower() or READ
    if outcome != READ:
        wrong.append(Wrong("outcome", f"it says {outcome}, and there is a length", "leave one of them out"))
    time, remark = _time(line, zone, wrong)
    length, uncertainty = _lengths(line, route, wrong)
    if line["baseline"].lower() not in (*_YES, *_NO):
        wrong.append(Wrong("baseline", f"“{line['baseline']}” is neither yes nor no", "write yes, or leave it empty"))
    if station is not None and chord is not None and length is not None:
        _look_at_size(length, station, chord, route, wrong)
    if wrong or time is None or length is None or station is None or chord is None:
        return BadRow(line.number, line, tuple(wrong))
    return Earlier(
        line=line.number,
        station=station.name,
        chord=chord.name,
        time=time,
        time_text=shown_time(time, zone),
        length=f"{length:f}",
        uncertainty=f"{uncertainty:f}" if uncertainty is not None else "",
        written=" ".join((line["length"], line["unit"] or route.units.small)),
        baseline=marked(line),
        tape=one_line(line["tape"]),
        extensometer=one_line(line["extensometer"]),
        note=one_line(line["note"]),
        remark=remark,
    )


def marked(line: Line) -> bool:
    """Whether a line is said to be of its chord's baseline."""
    return line["baseline"].lower() in _YES


def _as_sheet(line: Line, zone: ZoneInfo) -> Line:
    """The line as a booking sheet has it: without a label, the readings of a day are one survey."""
    label = line["survey"]
    if not label:
        try:
            label = f"{reading_time(line['time'], zone).astimezone(zone):%Y-%m-%d}"
        except EntryRefused:
            label = "?"  # the row is refused for its time anyhow
    cells = {column: cell for column, cell in line.cells.items() if column in (*REQUIRED, *OPTIONAL)}
    return Line(line.number, {**cells, "survey": label}, line.extra)


def _time(line: Line, zone: ZoneInfo, wrong: list[Wrong]) -> tuple[datetime | None, str]:
    """The time of a length. A day alone is taken as its noon, and that is said."""
    text = line["time"]
    try:
        if len(text) == len("2031-05-04"):
            return reading_time(f"{text} 12:00", zone), "the sheet gives the day only: its noon was taken"
        return reading_time(text, zone), ""
    except EntryRefused as refused:
        wrong.append(Wrong("time", refused.what, refused.todo))
        return None, ""


def _lengths(line: Line, route: Route, wrong: list[Wrong]) -> tuple[Decimal | None, Decimal | None]:
    """Length and standard uncertainty in the small unit, exactly; None for one that is missing or cannot be read."""
    units = route.units
    unit = line["unit"] or units.small
    if unit not in (units.small, units.large):
        wrong.append(Wrong("unit", f"“{unit}” is no unit of this route", f"write {units.small} or {units.large}"))
        return None, None
    factor = units.small_per_large if unit == units.large else 1
    found: dict[str, Decimal | None] = {"length": None, "uncertainty": None}
    for column in found:
        if not line[column]:
            if column == "length":
                wrong.append(Wrong(column, "there is neither a length nor raw figures", "fill in one of them"))
            continue
        try:
            value = number(line[column])
        except EntryRefused as refused:
            wrong.append(Wrong(column, refused.what, refused.todo))
            continue
        if value <= 0:
            wrong.append(Wrong(column, f"{line[column]} is not more than nil", "look at the sheet"))
            continue
        with localcontext() as exact:
            exact.prec = 40
            small = value if factor == 1 else (value * factor).normalize()
        if len(f"{small:f}") > LONGEST_FIGURE:
            what = f"{small:f} {units.small} has more digits than a figure can have"
            wrong.append(Wrong(column, what, "round it"))
            continue
        found[column] = small
    return found["length"], found["uncertainty"]


def _look_at_size(length: Decimal, station: Station, chord: Chord, route: Route, wrong: list[Wrong]) -> None:
    """Refuse a length that cannot be this chord's: nothing but another unit or another chord looks like that."""
    here, there = station.anchor(chord.hook), station.anchor(chord.far)
    apart = hypot(float(here.across - there.across), float(here.up - there.up))
    roughly = float(chord.length) if chord.length is not None else apart
    expected = roughly * route.units.small_per_large
    if expected > 0 and not expected / _FAR < float(length) < expected * _FAR:
        what = f"{length:f} {route.units.small} is far from the {expected:.0f} {route.units.small} of the route"
        wrong.append(Wrong("length", what, f"name the unit ({route.units.small} or {route.units.large}), or the chord"))
