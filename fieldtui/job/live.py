"""What the figures booked so far, and the one being typed, mean: asked at every key, so nothing here reads a file."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal

from msgspec import Struct

from fieldtui.job.own_readings import ground_for
from fieldtui.job.proof import Instrument, Proof, proof_of, zeros_of
from fieldtui.job.readings import frame_lengths
from fieldtui.job.walk import Walk
from fieldtui.reduction import (
    Assessment,
    Draft,
    Figures,
    FrameShift,
    FrameVerdict,
    Length,
    Repeats,
    Segment,
    Verdict,
    assess,
    judge_repeats,
    reduce_frame,
)
from fieldtui.reduction.chart import Chart
from fieldtui.reduction.frame_proof import FrameProof, prove
from fieldtui.route import Chord, Extensometer, Route, Station, Tape
from fieldtui.survey import (
    DIALS,
    PLANNED_DIALS,
    Booking,
    EntryRefused,
    Target,
    check_reading,
    instruments,
    number,
)

_FIGURES = ("hole", *DIALS, "temperature")
FiguresSoFar = tuple[int | None, tuple[Decimal, ...], Decimal | None]
"""Hole, dials and temperature of a booking, as far as they are in."""


class FrameAssessment(Struct, frozen=True):
    """What a reading of the control frame says; parts are None while figures are missing or the tape lacks the hole."""

    length: Length | None = None
    repeats: Repeats | None = None
    proof: FrameProof | None = None
    chart: Chart | None = None
    """Of the surveys before this one, with this tape and extensometer."""

    @property
    def verdict(self) -> FrameVerdict | None:
        """By the route's limit; None as well where no earlier survey has read the frame with this instrument."""
        return self.proof.limit if self.proof is not None else None


class AtHand(Struct, frozen=True):
    """What stays the same while the figures of a chord's booking are typed."""

    target: Target
    station: Station
    chord: Chord
    tape: Tape
    extensometer: Extensometer
    assumed_temperature: Decimal
    segment: Segment | None
    """What the reading goes on with, or begins."""
    frame: FrameShift | None
    booked: Mapping[str, Decimal]
    """The booking's figures, by slot."""
    read_at: datetime
    """The time of reading; by the clock before a figure is booked."""


def at_hand(walk: Walk, target: Target) -> AtHand | None:
    """Where a chord is read, with what, and what is known of it; None where the instrument is not in the route."""
    tape, extensometer = instruments(walk.route, walk.state, target)
    if tape is None or extensometer is None:
        return None
    instrument = (tape.serial, extensometer.serial)
    booking = walk.state.bookings.get(target)
    station, chord = walk.place(target)
    read_at = (booking.read_at if booking is not None else None) or walk.clock()
    return AtHand(
        target,
        station,
        chord,
        tape,
        extensometer,
        assumed_temperature(walk),
        ground_for(walk, target, instrument).segment((station.name, chord.name), *instrument, read_at),
        walk.frame_shift(*instrument),
        _booked(booking),
        read_at,
    )


def assess_chord(walk: Walk, target: Target) -> Assessment | None:
    """The meaning of a chord's booking. None where the instrument in use is not in the route."""
    at = at_hand(walk, target)
    return assess_figures(walk, at, figures_typed(walk, at)) if at is not None else None


def assess_figures(walk: Walk, at: AtHand, figures: FiguresSoFar, *, typing: bool = False) -> Assessment:
    """The meaning of a chord's figures; while one is `typing`, length and change alone."""
    return assess(
        walk.route,
        at.station,
        at.chord,
        Draft(*figures, at.assumed_temperature),
        at.segment,
        at.tape,
        at.extensometer,
        at.read_at,
        reading=(walk.survey, at.target),
        frame=at.frame,
        typing=typing,
    )


def verdict_of(walk: Walk, target: Target) -> Verdict | None:
    """Whether a chord's booking can be right, and what it looks like if not. None before all its figures are in."""
    at = at_hand(walk, target)
    if at is None:
        return None
    hole, dials, temperature = figures_typed(walk, at)
    if hole is None or temperature is None or len(dials) < len(PLANNED_DIALS):
        return None
    length = assess_figures(walk, at, (hole, dials, temperature)).length
    return walk.verdicts.of(walk.state, target, length, at.read_at) if length is not None else None


def assess_frame(walk: Walk, target: Target, slot: str = "", typed: str = "") -> FrameAssessment:
    """The meaning of a reading of the control frame, held against the surveys before and the start of this one."""
    tape, extensometer = instruments(walk.route, walk.state, target)
    if tape is None or extensometer is None:
        return FrameAssessment()
    booking = walk.state.bookings.get(target)
    hole, dials, temperature = _figures(walk.route, _booked(booking), tape, extensometer, slot, typed)
    if not dials:
        return FrameAssessment()
    repeats = judge_repeats(dials, extensometer.repeatability)
    # a tape that was named wrong and set right may not have the hole that was read
    if hole is None or temperature is None or not tape.has_hole(hole):
        return FrameAssessment(repeats=repeats)
    control = walk.route.controls[0]
    figures = Figures(hole, dials, temperature)
    length = reduce_frame(figures, tape, extensometer, control, walk.route.uncertainty, reading=(walk.survey, target))
    held = walk.held((tape.serial, extensometer.serial))
    parts = frame_lengths(walk.route, walk.state, walk.survey).get((tape.serial, extensometer.serial), {})
    proof = prove(
        target.part,
        length,
        control,
        walk.route.coverage_factor,
        reference=held.reference,
        chart=held.chart,
        start=parts.get("start") if target.part == "end" else None,
        is_charted=target.part == "start" or not parts,
    )
    return FrameAssessment(length, repeats, proof, held.chart)


def proof_now(walk: Walk, instrument: Instrument) -> Proof:
    """What the instrument is worth in this survey, by what was read of frame and dial zero so far."""
    parts = frame_lengths(walk.route, walk.state, walk.survey).get(instrument, {})
    zeros = zeros_of(walk.state.bookings, instrument[1])
    return proof_of(walk.route, instrument, parts, zeros, walk.held(instrument), walk.begun)


def assumed_temperature(walk: Walk) -> Decimal:
    """The temperature taken until one is booked: the last of this survey, else the tape's reference temperature."""
    last = walk.state.last_temperature()
    if last is not None:
        return last
    tape, _ = instruments(walk.route, walk.state, None)
    return tape.reference_temperature if tape is not None else Decimal(20)


def figures_typed(walk: Walk, at: AtHand, slot: str = "", typed: str = "") -> FiguresSoFar:
    """The figures of a chord's booking as if what is typed were booked, where it could be."""
    return _figures(walk.route, at.booked, at.tape, at.extensometer, slot, typed)


def _booked(booking: Booking | None) -> dict[str, Decimal]:
    slots = booking.slots if booking is not None else {}
    entries = ((name, slots.get(name)) for name in _FIGURES)
    return {name: number(entry.typed) for name, entry in entries if entry is not None and not entry.declined}


def _can_be_booked(route: Route, tape: Tape, extensometer: Extensometer, slot: str, typed: str) -> bool:
    try:
        check_reading(route, tape, extensometer, slot, typed)
    except EntryRefused:
        return False
    return True


def _figures(
    route: Route, booked: Mapping[str, Decimal], tape: Tape, extensometer: Extensometer, slot: str, typed: str
) -> FiguresSoFar:
    values = booked
    if slot and _can_be_booked(route, tape, extensometer, slot, typed):  # else it counts for nothing
        values = {**booked, slot: number(typed)}
    hole = values.get("hole")
    dials = tuple([values[name] for name in DIALS if name in values])
    return int(hole) if hole is not None else None, dials, values.get("temperature")
