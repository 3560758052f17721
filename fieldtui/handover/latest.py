"""How every chord stands: its newest reading that counts, and what was booked after it that does not."""

from __future__ import annotations

from collections.abc import Mapping

from fieldtui.handover.columns import Cell, Column, Sheet
from fieldtui.handover.reading_columns import READINGS
from fieldtui.route import ChordKey, Route

_TAKEN = (
    "time",
    "time_zone",
    "survey",
    "length",
    "length_u",
    "change",
    "change_u",
    "since_baseline",
    "since_baseline_u",
    "total",
    "total_u",
    "rate",
    "rate_u",
    "level",
    "level_name",
)
_LATEST = (
    Column("station", "string", "in the order of the walk"),
    Column("chord", "string", "FROM-TO"),
    Column("chainage", "number", "of the station", "large"),
    *(column for name in _TAKEN for column in READINGS if column.name == name),
    Column("booked_later", "string", "what was booked after that reading and does not count: doubtful, unsafe, …"),
    Column("booked_later_at", "datetime", "the time of that"),
)


def latest(route: Route, readings: Sheet) -> Sheet:
    """The table, from that of the readings: chords of the route first, then those that are no longer in it."""
    keys: dict[ChordKey, Mapping[str, Cell]] = {
        (station.name, chord.name): {"chainage": station.chainage}
        for station in route.stations
        for chord in station.chords
    }
    counts: dict[ChordKey, Mapping[str, Cell]] = {}
    later: dict[ChordKey, Mapping[str, Cell]] = {}
    for row in readings.rows:
        if not row.get("station"):
            continue
        key = (str(row["station"]), str(row["chord"]))
        keys.setdefault(key, {})
        if row.get("counts"):
            counts[key] = row
            later.pop(key, None)
        else:
            later[key] = row
    rows = [
        {
            "station": key[0],
            "chord": key[1],
            **known,
            **{name: counts.get(key, {}).get(name) for name in _TAKEN},
            "booked_later": _why(later[key]) if key in later else None,
            "booked_later_at": later[key].get("time") if key in later else None,
        }
        for key, known in keys.items()
    ]
    return Sheet("latest", "The newest reading of every chord", _LATEST, rows, ("station", "chord"))


def _why(row: Mapping[str, Cell]) -> str:
    return "doubtful" if row.get("doubtful") else str(row["outcome"])
