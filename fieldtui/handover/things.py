"""The things of the job as tables: stations, chords, instruments and their calibration tables.

An instrument whose data were corrected, or that became another one, has a row for each version of its data; a reading
names the version that it was reduced with.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime

from fieldtui.handover.columns import Cell, Column, Sheet
from fieldtui.job import Job
from fieldtui.route import Chord, Control, Extensometer, Route, Station, Tape

Thing = Tape | Extensometer | Control
_KINDS: dict[type, str] = {Tape: "tape", Extensometer: "extensometer", Control: "control frame"}


class Instruments:
    """Every version of every tape, extensometer and control frame, in order of the first survey that used it."""

    def __init__(self, uses: Iterable[tuple[Route, datetime | None]]) -> None:
        self._versions: dict[tuple[str, str], list[Thing]] = {}
        self._since: dict[tuple[str, str, int], datetime | None] = {}
        for route, since in uses:
            things: tuple[Thing, ...] = (*route.tapes, *route.extensometers, *route.controls)
            for thing in things:
                self._take(thing, since)

    @classmethod
    def of(cls, job: Job) -> Instruments:
        """As the job's surveys were reduced, and as the route file has them now."""
        surveys = [(job.corrections.route(survey.route, survey.started), survey.started) for survey in job.counting]
        return cls([*surveys, (job.route, None)])

    def version(self, thing: Thing) -> int:
        """The number of a thing's version, from 1. `ValueError` for one that no survey used."""
        return 1 + self._versions[_name(thing)].index(thing)

    def rows(self) -> Iterator[Mapping[str, Cell]]:
        for (kind, serial), versions in sorted(self._versions.items()):
            for number, thing in enumerate(versions, 1):
                since = self._since[(kind, serial, number)]
                yield {"kind": kind, "serial": serial, "version": number, "used_from": since, **_data(thing)}

    def holes(self) -> Iterator[Mapping[str, Cell]]:
        """The calibration tables, hole by hole."""
        for (_, serial), versions in sorted(self._versions.items()):
            for number, thing in enumerate(versions, 1):
                for hole, distance in sorted(((thing.table if isinstance(thing, Tape) else None) or {}).items()):
                    yield {"serial": serial, "version": number, "hole": hole, "distance": distance}

    def _take(self, thing: Thing, since: datetime | None) -> None:
        known = self._versions.setdefault(_name(thing), [])
        if thing not in known:
            known.append(thing)
            self._since[(*_name(thing), len(known))] = since


def _name(thing: Thing) -> tuple[str, str]:
    return (_KINDS[type(thing)], thing.name if isinstance(thing, Control) else thing.serial)


def _data(thing: Thing) -> dict[str, Cell]:
    if isinstance(thing, Tape):
        return {
            "pitch": thing.pitch,
            "first_hole": thing.first_hole,
            "first_hole_distance": thing.first_hole_distance,
            "holes": thing.holes,
            "calibration": thing.calibration,
            "expansion": thing.expansion,
            "expansion_uncertainty": thing.expansion_uncertainty,
            "reference_temperature": thing.reference_temperature,
            "certificate_until": thing.certificate_until,
        }
    if isinstance(thing, Extensometer):
        return {
            "dial_serial": thing.dial_serial,
            "dial_low": thing.dial_range[0],
            "dial_high": thing.dial_range[1],
            "dial_resolution": thing.dial_resolution,
            "dial": thing.dial,
            "repeatability": thing.repeatability,
            "certificate_until": thing.certificate_until,
        }
    return {
        "length": thing.length,
        "limit": thing.limit,
        "correct": thing.correct,
        "expansion": thing.expansion,
        "reference_temperature": thing.reference_temperature,
    }


def instruments(versions: Instruments) -> Sheet:
    """Tapes, extensometers and control frames."""
    return Sheet("instruments", "Tapes, extensometers, control frames", _INSTRUMENTS, tuple(versions.rows()), _VERSION)


def calibrations(versions: Instruments) -> Sheet | None:
    """The calibration tables; None where no tape has one."""
    rows = tuple(versions.holes())
    return (
        Sheet("calibrations", "Distances of punched holes", _HOLES, rows, ("serial", "version", "hole"))
        if rows
        else None
    )


def stations(route: Route) -> Sheet:
    """The stations of the route file, in the order of the walk."""
    rows = [
        {
            "station": station.name,
            "order": place,
            "chainage": station.chainage,
            "face": station.face,
            "caution": station.caution or None,
            "closed": station.closed,
            "note": station.note or None,
        }
        for place, station in enumerate(route.stations, 1)
    ]
    return Sheet("stations", "Stations, in the order of the walk", _STATIONS, rows, ("station",))


def chords(route: Route, read: Iterable[tuple[str, str]]) -> Sheet:
    """The chords of the route file, and those that were read and are no longer in it."""
    rows = [_chord(station, chord) for station in route.stations for chord in station.chords]
    there = {(row["station"], row["chord"]) for row in rows}
    rows += [{"station": key[0], "chord": key[1], "in_route": False} for key in sorted(set(read)) if key not in there]
    return Sheet("chords", "Chords, with their anchors", _CHORDS, rows, ("station", "chord"))


def _chord(station: Station, chord: Chord) -> dict[str, Cell]:
    hook, far = station.anchor(chord.hook), station.anchor(chord.far)
    return {
        "station": station.name,
        "chord": chord.name,
        "in_route": True,
        "hook": chord.hook,
        "far": chord.far,
        "rough_length": chord.length,
        "hook_across": hook.across,
        "hook_up": hook.up,
        "far_across": far.across,
        "far_up": far.up,
        "levels": "; ".join(level.name for level in chord.levels) or None,
    }


_VERSION = ("kind", "serial", "version")
_INSTRUMENTS = (
    Column("kind", "string", "tape, extensometer or control frame"),
    Column("serial", "string", "serial number, or the frame's name"),
    Column("version", "integer", "counts the sets of data that this instrument has had"),
    Column("used_from", "datetime", "start of the first survey reduced with these data; empty: none yet"),
    Column("pitch", "number", "between two holes", "small"),
    Column("first_hole", "integer", "number of the first hole"),
    Column("first_hole_distance", "number", "from the hook's bearing point to the first hole", "small"),
    Column("holes", "integer", "how many holes"),
    Column("calibration", "string", "file of the calibration table; its holes are in calibrations.csv"),
    Column("expansion", "number", "coefficient of thermal expansion", "per degree"),
    Column("expansion_uncertainty", "number", "its standard uncertainty", "per degree"),
    Column("reference_temperature", "number", "at which lengths are as stated", "degree"),
    Column("dial_serial", "string", "serial number of the dial"),
    Column("dial_low", "number", "lowest figure the dial shows", "small"),
    Column("dial_high", "number", "highest figure the dial shows", "small"),
    Column("dial_resolution", "number", "one step of the dial", "small"),
    Column("dial", "string", "whether the dial adds to the hole's distance or subtracts from it"),
    Column("repeatability", "number", "standard deviation of one re-tensioned repeat", "small"),
    Column("length", "number", "of the frame, roughly", "small"),
    Column("limit", "number", "a change of the frame beyond this puts a survey in doubt", "small"),
    Column("correct", "boolean", "whether the frame's change is taken off every length"),
    Column("certificate_until", "date", "last day of the certificate"),
)
_HOLES = (
    Column("serial", "string", "of the tape"),
    Column("version", "integer", "of the tape's data, as in instruments.csv"),
    Column("hole", "integer", "number of the hole"),
    Column("distance", "number", "from the hook's bearing point", "small"),
)
_STATIONS = (
    Column("station", "string", "name"),
    Column("order", "integer", "place in the walk"),
    Column("chainage", "number", "along the tunnel", "large"),
    Column("face", "string", "the face that it is counted from"),
    Column("caution", "string", "what is heeded on arrival"),
    Column("closed", "boolean", "whether it is no longer walked"),
    Column("note", "string", "why it is closed, and other remarks of the route"),
)
_CHORDS = (
    Column("station", "string", "of the chord"),
    Column("chord", "string", "the anchor of the hook, then the far one"),
    Column("in_route", "boolean", "whether the route file still has it"),
    Column("hook", "string", "anchor that the tape's hook goes to"),
    Column("far", "string", "the other anchor"),
    Column("rough_length", "number", "as the route file states it", "large"),
    Column("hook_across", "number", "of the hook's anchor; right positive, looking towards rising chainage", "large"),
    Column("hook_up", "number", "of the hook's anchor", "large"),
    Column("far_across", "number", "of the far anchor", "large"),
    Column("far_up", "number", "of the far anchor", "large"),
    Column("levels", "string", "names of the trigger levels that count for it, mild to severe"),
)
