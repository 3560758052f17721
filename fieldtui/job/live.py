"""What the figures booked so far, and the one being typed, mean: asked at every key, so nothing here reads a file."""

from __future__ import annotations

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
    FrameVerdict,
    Length,
    Repeats,
    Verdict,
    assess,
    judge_repeats,
    reduce_frame,
)
from fieldtui.reduction.chart import Chart
from fieldtui.reduction.frame_proof import FrameProof, prove
from fieldtui.survey import (
    DIALS,
    PLANNED_DIALS,
    Booking,
    EntryRefused,
    Target,
    check_figure,
    instruments,
    number,
    whole,
)


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


def assess_chord(walk: Walk, target: Target, slot: str = "", typed: str = "") -> Assessment | None:
    """The meaning of a chord's booking, with what is being typed in `slot` if that could be booked.

    None where the instrument in use is not in the route.
    """
    tape, extensometer = instruments(walk.route, walk.state, target)
    if tape is None or extensometer is None:
        return None
    hole, dials, temperature = figures_typed(walk, target, slot, typed)
    station, chord = walk.place(target)
    booking = walk.state.bookings.get(target)
    read_at = booking.read_at if booking is not None else None
    draft = Draft(hole, dials, temperature, assumed_temperature(walk))
    return assess(
        walk.route,
        station,
        chord,
        draft,
        ground_for(walk, target, (tape.serial, extensometer.serial)),
        tape,
        extensometer,
        read_at or walk.clock(),
        reading=(walk.survey, target),
        frame=walk.frame_shift(tape.serial, extensometer.serial),
        typing=typed.strip() != "",
    )


def verdict_of(walk: Walk, target: Target, slot: str = "", typed: str = "") -> Verdict | None:
    """Whether a chord's booking can be right, and what it looks like if not. None before all its figures are in.

    With what is being typed in `slot`, if that is the figure that completes it.
    """
    hole, dials, temperature = figures_typed(walk, target, slot, typed)
    assessment = assess_chord(walk, target, slot, typed)
    complete = hole is not None and temperature is not None and len(dials) >= len(PLANNED_DIALS)
    if not complete or assessment is None or assessment.length is None:
        return None
    booking = walk.state.bookings.get(target)
    read_at = booking.read_at if booking is not None else None
    return walk.verdicts.of(walk.state, target, assessment.length, read_at or walk.clock())


def assess_frame(walk: Walk, target: Target, slot: str = "", typed: str = "") -> FrameAssessment:
    """The meaning of a reading of the control frame, held against the surveys before and the start of this one."""
    tape, extensometer = instruments(walk.route, walk.state, target)
    hole, dials, temperature = figures_typed(walk, target, slot, typed)
    if tape is None or extensometer is None or not dials:
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


def figures_typed(
    walk: Walk, target: Target, slot: str, typed: str
) -> tuple[int | None, tuple[Decimal, ...], Decimal | None]:
    """Hole, dials and temperature of a booking as if what is typed were booked, where it could be."""
    booking = walk.state.bookings.get(target) or Booking(target, "", "")
    texts = {name: entry.typed for name, entry in booking.slots.items() if not entry.declined}
    if slot and _bookable(walk, target, slot, typed):
        texts[slot] = typed
    hole = whole(texts["hole"]) if "hole" in texts else None
    dials = tuple(number(texts[name]) for name in DIALS if name in texts)
    temperature = number(texts["temperature"]) if "temperature" in texts else None
    return hole, dials, temperature


def _bookable(walk: Walk, target: Target, slot: str, typed: str) -> bool:
    try:
        check_figure(walk.route, walk.state, target, slot, typed)
    except EntryRefused:
        return False
    return True
