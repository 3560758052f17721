"""One row of a booking sheet to what it books, or to all that is wrong with it.

    Line ── read_row(route) ──► Row: when, what, figures as typed
                           └──► BadRow: nothing of it is booked, and why

Figures stay as they were written. One that cannot be (a dial beyond its range, a hole that the tape does not have) is
booked all the same: paper says what was read, and the verdict says what it looks like. Only what is no figure, names
nothing of the route, or contradicts itself is refused.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from types import MappingProxyType
from zoneinfo import ZoneInfo

from msgspec import Struct, field

from fieldtui.paper.table import Line
from fieldtui.printable import one_line
from fieldtui.route import Route
from fieldtui.survey import DIALS, FRAME, OUTCOMES, PLANNED_DIALS, ZERO, EntryRefused, number, whole
from fieldtui.survey.times import reading_time, shown_time

REQUIRED = ("survey", "time", "station", "chord", "hole", *PLANNED_DIALS, "temperature")
OPTIONAL = (
    "dial_4",
    "dial_5",
    "tape",
    "extensometer",
    "observer",
    "recorder",
    "face_chainage",
    "stage",
    "outcome",
    "note",
)
FIGURES = ("hole", *DIALS, "temperature")
SAID = ("tape", "extensometer", "observer", "recorder", "face_chainage", "stage")
"""Columns that hold for the survey from this row on, until another row says otherwise."""
LONGEST, SHORT = 1000, 80
READ = "read"


class Row(Struct, frozen=True):
    """What a row books. `slots` are figures as written; an empty one is a planned repeat that was not taken."""

    line: int
    survey: str
    time: datetime
    time_text: str
    station: str
    """Empty for the control frame and the dial zero."""
    chord: str
    """As the route calls it, or `frame`, or `zero`."""
    written: str
    """As the sheet calls it; `TO-FROM` is the same chord read from the other end."""
    slots: Mapping[str, str]
    outcome: str
    note: str = ""
    said: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def is_chord(self) -> bool:
        return self.chord not in (FRAME, ZERO)

    @property
    def was_read(self) -> bool:
        return self.outcome == READ


class Wrong(Struct, frozen=True):
    """One thing that is wrong with a row."""

    column: str
    what: str
    todo: str


class BadRow(Struct, frozen=True):
    """A row of which nothing is booked, and everything that is wrong with it."""

    line: int
    cells: Line
    wrong: tuple[Wrong, ...]


def read_row(line: Line, route: Route, zone: ZoneInfo) -> Row | BadRow:
    """The row of a line."""
    wrong: list[Wrong] = []
    station, chord = _place(line, route, wrong)
    time = _time(line, zone, wrong)
    outcome = line["outcome"].lower() or READ
    if outcome != READ and outcome not in OUTCOMES:
        wrong.append(Wrong("outcome", f"“{outcome}” is no outcome", f"write one of {READ}, {', '.join(OUTCOMES)}"))
    survey = one_line(line["survey"])
    if not survey:
        wrong.append(Wrong("survey", "there is no label", "give the survey a name; rows with one name are one survey"))
    slots = _slots(line, chord, outcome, wrong)
    said = _said(line, route, wrong)
    _texts(line, wrong)
    if line.extra:
        wrong.append(
            Wrong("", "there are more cells than columns", "look for a separator within a cell; quote that cell")
        )
    if wrong or time is None:
        return BadRow(line.number, line, tuple(wrong))
    written_offset = line["time"][-1:] in "Zz" or line["time"][-6:-5] in ("+", "-")
    return Row(
        line=line.number,
        survey=survey,
        time=time,
        time_text=line["time"] if written_offset and "T" in line["time"] else shown_time(time, zone),
        station=station,
        chord=chord,
        written=line["chord"] if chord not in (FRAME, ZERO) else chord,
        slots=slots,
        outcome=outcome,
        note=one_line(line["note"]),
        said=said,
    )


def _place(line: Line, route: Route, wrong: list[Wrong]) -> tuple[str, str]:
    name = line["chord"]
    if name.lower() in (FRAME, ZERO):
        if name.lower() == FRAME and not route.controls:
            wrong.append(Wrong("chord", "the route has no control frame", "add it to the route, or leave the row out"))
        return "", name.lower()
    station = route.station(line["station"])
    if station is None:
        names = ", ".join(one.name for one in route.stations[:12])
        more = " …" if len(route.stations) > 12 else ""
        wrong.append(Wrong("station", f"the route has no station “{line['station']}”", f"it has {names}{more}"))
        return line["station"], name
    chord = station.chord(name)
    if chord is None:
        names = ", ".join(one.name for one in station.chords)
        wrong.append(Wrong("chord", f"station {station.name} has no chord “{name}”", f"it has {names}"))
        return station.name, name
    return station.name, chord.name


def _time(line: Line, zone: ZoneInfo, wrong: list[Wrong]) -> datetime | None:
    try:
        return reading_time(line["time"], zone)
    except EntryRefused as refused:
        wrong.append(Wrong("time", refused.what, refused.todo))
        return None


def _slots(line: Line, chord: str, outcome: str, wrong: list[Wrong]) -> dict[str, str]:
    """The figures of a row by slot, each of them plainly a number."""
    filled = {column: line[column] for column in FIGURES if line[column]}
    for column, typed in filled.items():
        try:
            whole(typed) if column == "hole" else number(typed)
        except EntryRefused as refused:
            wrong.append(Wrong(column, refused.what, refused.todo))
    if outcome != READ:
        if filled and outcome in OUTCOMES:
            wrong.append(Wrong("outcome", f"it says {outcome}, and there are figures", "leave one of them out"))
        return {}
    if not filled:
        wrong.append(Wrong("", "there is nothing in it to book", "fill in the figures, or say in `outcome` why not"))
        return {}
    return _zero_slots(filled, wrong) if chord == ZERO else _reading_slots(filled, wrong)


def _zero_slots(filled: Mapping[str, str], wrong: list[Wrong]) -> dict[str, str]:
    if set(filled) != {"dial_1"}:
        wrong.append(Wrong("dial_1", "a dial zero is one figure, in dial_1", "leave the other cells empty"))
    return {"zero": filled.get("dial_1", "")}


def _reading_slots(filled: Mapping[str, str], wrong: list[Wrong]) -> dict[str, str]:
    for column in ("hole", "dial_1", "temperature"):
        if column not in filled:
            wrong.append(Wrong(column, "the figure is missing", "write what the field book says"))
    slots = {"hole": filled.get("hole", "")}
    slots |= {dial: filled.get(dial, "") for dial in DIALS if dial in PLANNED_DIALS or dial in filled}
    return {**slots, "temperature": filled.get("temperature", "")}


def _said(line: Line, route: Route, wrong: list[Wrong]) -> dict[str, str]:
    said = {column: one_line(line[column]) for column in SAID if line[column]}
    serials = {"tape": [one.serial for one in route.tapes], "extensometer": [one.serial for one in route.extensometers]}
    for column, known in serials.items():
        if column in said and said[column] not in known:
            what = f"the route has no {column} “{said[column]}”"
            wrong.append(Wrong(column, what, f"it has {', '.join(known)}; a new one is added to the route file first"))
    if "face_chainage" in said:
        try:
            number(said["face_chainage"])
        except EntryRefused as refused:
            wrong.append(Wrong("face_chainage", refused.what, refused.todo))
    return said


def _texts(line: Line, wrong: list[Wrong]) -> None:
    for column in ("survey", "observer", "recorder", "stage", "note"):
        longest = LONGEST if column == "note" else SHORT
        if len(line[column]) > longest:
            wrong.append(Wrong(column, f"{len(line[column])} characters are too many", f"{longest} fit"))
