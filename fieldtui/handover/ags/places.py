"""Stations and chords as LOCA and MONG: those of the route file, and those that were read and are no longer in it."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from fieldtui.handover.ags.groups import Group, Heading, Row
from fieldtui.handover.ags.signs import Signs
from fieldtui.job import Job
from fieldtui.route import Chord, ChordKey, Station

NOWHERE = Decimal("0.00")
"""MONG_DIS, a key: a chord has no distance from its station."""
_MONG = (
    Heading("LOCA_ID", "ID"),
    Heading("MONG_ID"),
    Heading("MONG_DIS", "2DP", "m"),
    Heading("MONG_TYPE", "PA"),
    Heading("MONG_DETL"),
    Heading("MONG_RSCA"),
    Heading("MONG_REM"),
)


def places(job: Job, signs: Signs) -> Iterator[Group]:
    """The two groups."""
    route = job.route
    there = {(station.name, chord.name): (station, chord) for station in route.stations for chord in station.chords}
    gone = sorted({row.key for row in job.history()} - set(there))
    lost = [name for name in dict.fromkeys(key[0] for key in gone) if route.station(name) is None]
    headings = (
        Heading("LOCA_ID", "ID"),
        Heading("LOCA_TYPE", "PA"),
        Heading("LOCA_REM"),
        Heading("LOCA_CNGE", "X", route.units.large),
    )
    located: list[Row] = [_station(station, signs) for station in route.stations]
    located += [(signs.field(name, f"station {name}"), "INST", "Not in the route any more", None) for name in lost]
    yield Group("LOCA", headings, located)
    chords: list[Row] = [_chord(*one, route.units.large, signs) for one in there.values()]
    chords += [_row(key, "Not in the route any more", "", signs) for key in gone]
    yield Group("MONG", _MONG, chords)


def _station(station: Station, signs: Signs) -> Row:
    face = f"Face: {station.face}" if station.face else ""
    caution = f"Caution: {station.caution}" if station.caution else ""
    remarks = (caution, face, "Not walked any more" if station.closed else "", station.note)
    remark = "; ".join(one for one in remarks if one)
    where = f"station {station.name}"
    return (
        signs.field(station.name, f"{where}, name"),
        "INST",
        signs.field(remark, f"{where}, caution, face or note"),
        station.chainage,
    )


def _chord(station: Station, chord: Chord, unit: str, signs: Signs) -> Row:
    hook, far = (station.anchor(name) for name in (chord.hook, chord.far))
    ends = (f"{one.name} ({one.across:f} {unit} across, {one.up:f} {unit} up)" for one in (hook, far))
    levels = ", ".join(level.name for level in chord.levels)
    return _row((station.name, chord.name), f"Levels: {levels}" if levels else "", " to ".join(ends), signs)


def _row(key: ChordKey, remark: str, detail: str, signs: Signs) -> Row:
    where = f"station {key[0]}, chord {key[1]}"
    return (
        signs.field(key[0], where),
        signs.field(key[1], f"{where}, anchors"),
        NOWHERE,
        "ETT",
        signs.field(detail, f"{where}, anchors"),
        "Change and rate: negative is closing",
        signs.field(remark, f"{where}, levels"),
    )
