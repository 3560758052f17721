"""Readings that are planned and not yet taken: the uncertainty of every chord's change, by the reduction itself.

    Station, Conditions ── planned ──► Planned: a change of nil for each chord, with the sources of its error

Two surveys are read on paper: the chord at its planned length, three repeats, another hole in the later one, the tape
so many degrees warmer. The figures go through `reduction`, so what is expected here and what is found later agree.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.reduction import (
    Figures,
    FrameShift,
    Length,
    Quantity,
    change,
    frame_shift,
    reduce,
    reduce_frame,
)
from fieldtui.route import Chord, Extensometer, Route, Station, Tape

FIRST, LATER = "first", "later"
_WARMER = {"degC": Decimal(5), "degF": Decimal(10)}


class Conditions(Struct, frozen=True):
    """What is taken of the two surveys [this program's own choice]; `warmer` in the route's degrees."""

    repeats: int = 3
    warmer: Decimal = Decimal(5)
    same_hole: bool = False

    @classmethod
    def of(cls, route: Route) -> Conditions:
        """Five degrees Celsius between the surveys, or what is nearly as much in the route's own."""
        return cls(warmer=_WARMER[route.units.degree])

    def told(self, route: Route) -> str:
        hole = "the same hole" if self.same_hole else "another hole"
        return (
            f"{self.repeats} repeats, {hole} and a tape {self.warmer} {route.units.degree} warmer in the later survey"
        )


class PlannedChord(Struct, frozen=True):
    """A chord's change as it will be known; `change` is None where no tape of the route reads it."""

    chord: Chord
    length: Decimal
    """Small units."""
    change: Quantity | None


class Planned(Struct, frozen=True):
    """A station's chords in their order, and with which tape and extensometer they were planned."""

    chords: tuple[PlannedChord, ...]
    tape: str
    extensometer: str
    framed: bool
    """Whether a control frame is taken off the lengths."""


def planned(route: Route, station: Station, conditions: Conditions) -> Planned:
    """Of the tapes and extensometers that read most of the chords, the first."""
    lengths = [planned_length(route, station, chord) for chord in station.chords]
    tape, extensometer = max(
        ((tape, one) for tape in route.tapes for one in route.extensometers),
        key=lambda pair: sum(hole_for(length, *pair) is not None for length in lengths),
    )
    shifts = {survey: _shift(route, tape, extensometer, conditions, survey) for survey in (FIRST, LATER)}
    chords = []
    for chord, length in zip(station.chords, lengths, strict=True):
        read = {
            survey: _read(route, chord, length, tape, extensometer, conditions, survey, shifts[survey])
            for survey in (FIRST, LATER)
        }
        first, later = read[FIRST], read[LATER]
        known = change(later, first) if first is not None and later is not None else None
        chords.append(PlannedChord(chord, length, known))
    return Planned(tuple(chords), tape.serial, extensometer.serial, shifts[LATER] is not None)


def planned_length(route: Route, station: Station, chord: Chord) -> Decimal:
    """A chord's length by its anchors, small units."""
    one, other = station.anchor(chord.hook), station.anchor(chord.far)
    return ((one.across - other.across) ** 2 + (one.up - other.up) ** 2).sqrt() * route.units.small_per_large


def hole_for(length: Decimal, tape: Tape, extensometer: Extensometer) -> int | None:
    """The hole that shows a length nearest to the middle of the dial; None where none shows it at all."""
    low, high = extensometer.dial_range
    found = [
        (abs(dial - (low + high) / 2), hole)
        for hole in _holes_near(length, tape, high - low)
        if low <= (dial := dial_at(length, hole, tape, extensometer)) <= high
    ]
    return min(found)[1] if found else None


def dial_at(length: Decimal, hole: int, tape: Tape, extensometer: Extensometer) -> Decimal:
    """What the dial shows of a length at a hole, small units."""
    rest = length - tape.hole_distance(hole)
    return rest if extensometer.dial == "adds" else -rest


def _holes_near(length: Decimal, tape: Tape, travel: Decimal) -> Iterator[int]:
    middle = tape.first_hole + int((length - tape.first_hole_distance) / tape.pitch)
    around = int(travel / tape.pitch) + 2
    return (hole for hole in range(middle - around, middle + around + 1) if tape.has_hole(hole))


def _figures(
    length: Decimal, tape: Tape, extensometer: Extensometer, conditions: Conditions, survey: str, *, same: bool
) -> Figures | None:
    hole = hole_for(length, tape, extensometer)
    if hole is None:
        return None
    if survey == LATER and not same:
        hole = hole - 1 if tape.has_hole(hole - 1) else hole + 1 if tape.has_hole(hole + 1) else hole
    temperature = tape.reference_temperature + (conditions.warmer if survey == LATER else 0)
    return Figures(hole, (dial_at(length, hole, tape, extensometer),) * conditions.repeats, temperature)


def _read(
    route: Route,
    chord: Chord,
    length: Decimal,
    tape: Tape,
    extensometer: Extensometer,
    conditions: Conditions,
    survey: str,
    shift: FrameShift | None,
) -> Length | None:
    figures = _figures(length, tape, extensometer, conditions, survey, same=conditions.same_hole)
    if figures is None:
        return None
    reading = (survey, chord.name)
    return reduce(figures, tape, extensometer, route.uncertainty, reading=reading, frame=shift)


def _shift(
    route: Route, tape: Tape, extensometer: Extensometer, conditions: Conditions, survey: str
) -> FrameShift | None:
    """The control frame of a survey, read at its start and end, where the route has it taken off."""
    control = route.controls[0] if route.controls else None
    if control is None or not control.correct:
        return None
    figures = _figures(control.length, tape, extensometer, conditions, survey, same=True)
    if figures is None:
        return None
    start, end = (
        reduce_frame(figures, tape, extensometer, control, route.uncertainty, reading=(survey, "frame", which))
        for which in ("start", "end")
    )
    # against a frame without error: the reference set is common to both surveys and cancels in a change
    return frame_shift(start, end, [replace(start, sources=())])
