"""What each row means: its length, what it says against earlier readings, whether it agrees. Pure.

Sitting, Sitting … ── judge_rows(Before) ──► row by row in order of time: Judged ──► Before.add
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from functools import cached_property

from msgspec import Struct, field
from msgspec.structs import replace

from fieldtui.job import Reading
from fieldtui.job.proof import Instrument, Proof, proof_of, zeros_of
from fieldtui.job.readings import frame_lengths, shift
from fieldtui.paper.before import Before
from fieldtui.paper.plan import Order, Planned, Sitting
from fieldtui.paper.tracks import Tracks
from fieldtui.paper.verdict import Weighing, impossible, in_words
from fieldtui.reduction import (
    Assessment,
    Draft,
    Event,
    Figures,
    FrameShift,
    Length,
    Past,
    Repeats,
    Verdict,
    assess,
    judge_repeats,
    reduce,
    reduce_frame,
)
from fieldtui.route import Chord, Extensometer, Route, Station, Tape
from fieldtui.survey import DIALS, Booking, Entry, number, whole


class Judged(Struct, frozen=True):
    """What a row means. Parts are None where they do not apply, or the figures give none."""

    assessment: Assessment | None = None
    length: Length | None = None
    repeats: Repeats | None = None
    verdict: Verdict | None = None
    agrees: bool | None = None
    """Whether the likeliest explanation is that the figures are right."""
    doubt: str = ""
    """Why the reading by itself is doubtful, in words; empty where it is not."""
    frame_doubt: str = ""
    """Why control frame or dial zero put its whole survey in doubt."""
    marks: tuple[str, ...] = ()
    """What has to be known of its instrument beside."""
    twin: Reading | None = None
    """The same reading in another survey."""

    @property
    def doubtful(self) -> bool:
        return self.doubt != "" or self.frame_doubt != ""

    @property
    def all_doubt(self) -> str:
        """Why it is doubtful, over its own figures and over its instrument; empty where it is not."""
        return "; ".join(why for why in (self.doubt, self.frame_doubt) if why)

    @property
    def shown(self) -> dict[str, str]:
        """What the answer says of the reading, as the log books it."""
        level = self.assessment.level if self.assessment is not None else None
        told = {
            "doubt": self.all_doubt,
            "level": f"{level.state} {level.level or ''}".strip() if level else "",
        }
        return {what: text for what, text in told.items() if text}


NOTHING = Judged()


class _Survey(Struct, dict=True):
    """One sitting while its rows go by: the frame's lengths, by instrument and when they were read."""

    sitting: Sitting
    tracks: Tracks
    frames: dict[Instrument, list[tuple[Order, str, Length]]] = field(default_factory=dict)
    zeros: dict[str, list[tuple[Order, Decimal]]] = field(default_factory=dict)
    """The dial zeros, by extensometer."""
    told: dict[tuple[Instrument, tuple[int, ...]], FrameShift | None] = field(default_factory=dict)
    """What the frame takes off, by the very lengths of it that are known: a second sheet may read a part again."""
    proofs: dict[Instrument, Proof] = field(default_factory=dict)

    @cached_property
    def weighing(self) -> Weighing:
        """How its rows are weighed: a new stage began with the first of them."""
        first = self.sitting.planned[0].row.time
        events = (Event(first, "stage"),) if self.sitting.new_stage else ()
        return Weighing(self.sitting.corrected, self.sitting.survey, events, self.tracks)

    def parts(self, instrument: Instrument, upto: Order | None = None) -> dict[str, Length]:
        """The frame's lengths by part, all of the survey or those before a row; the last of a part counts."""
        read = self.frames.get(instrument, [])
        return {part: length for order, part, length in sorted(read, key=_order) if upto is None or order < upto}


def judge_rows(sittings: Sequence[Sitting], before: Before) -> Iterator[tuple[Sitting, Planned, Judged]]:
    """Every row in order of its time, whichever survey it belongs to, each judged from earlier readings only."""
    tracks = Tracks()
    surveys = {sitting.label: _Survey(sitting, tracks) for sitting in sittings}
    for survey in surveys.values():
        _take_frames(survey, before)
    rows = [(one.order, survey, one) for survey in surveys.values() for one in survey.sitting.planned]
    for _, survey, planned in sorted(rows, key=lambda row: row[0]):
        judged = _judge(survey, planned, before)
        if judged.length is not None and planned.row.is_chord:
            reading = _reading(survey.sitting, planned, judged, judged.length)
            if (twin := before.twin(reading)) is not None:
                judged = replace(judged, twin=twin)
            if planned.new:
                before.add(reading)
        yield survey.sitting, planned, judged


def _reading(sitting: Sitting, planned: Planned, judged: Judged, length: Length) -> Reading:
    """The row as the job will have it once it is booked."""
    row = planned.row
    slots = {slot: Entry(typed, "", "", row.line, row.time) for slot, typed in row.slots.items()}
    outcome = "kept" if judged.doubt else "read"
    booking = Booking(planned.target, planned.tape, planned.extensometer, slots, outcome=outcome)
    return Reading(
        booking,
        length,
        planned.row.time,
        sitting.survey,
        sitting.label,
        judged.doubtful,
        judged.all_doubt,
        key=planned.target.key,
        counts=not judged.doubtful,
        instrument_doubt=judged.frame_doubt != "",
        marks=judged.marks,
    )


def _take_frames(survey: _Survey, before: Before) -> None:
    """The control frame's lengths of a survey, booked ones and those of its rows."""
    existing = survey.sitting.existing
    if existing is not None:
        for instrument, parts in frame_lengths(survey.sitting.corrected, existing.state, existing.id).items():
            times = [one.read_at for target, one in existing.state.bookings.items() if target.is_frame]
            first = min(time for time in times if time is not None)
            survey.frames[instrument] = [((first, 0), part, length) for part, length in parts.items()]
        for serial in {one.extensometer for target, one in existing.state.bookings.items() if target.is_zero}:
            survey.zeros[serial] = [((existing.started, 0), zero) for zero in zeros_of(existing.state.bookings, serial)]
    for planned in (one for one in survey.sitting.planned if one.counts):
        row = planned.row
        if planned.target.is_zero and row.was_read and planned.new:
            shown = number(row.slots["zero"])
            survey.zeros.setdefault(planned.extensometer, []).append((planned.order, shown))
        if not planned.target.is_frame or not row.was_read:
            continue
        length = _frame_length(survey.sitting, planned)
        if length is None:
            continue
        instrument = (planned.tape, planned.extensometer)
        survey.frames.setdefault(instrument, []).append((planned.order, planned.target.part, length))
        if planned.new:
            before.add_frame(instrument, Past(row.time, length, survey.sitting.survey, False, planned.target.part))


def _judge(survey: _Survey, planned: Planned, before: Before) -> Judged:
    row, route = planned.row, survey.sitting.corrected
    tape, extensometer = route.tape(planned.tape), route.extensometer(planned.extensometer)
    if not row.was_read or planned.target.is_zero or not planned.counts:
        return NOTHING
    if tape is None or extensometer is None:
        return Judged(agrees=False, doubt="the survey's route does not have this tape or extensometer")
    wrong = impossible(route, tape, extensometer, row.slots)
    if planned.target.is_frame:
        length = _frame_length(survey.sitting, planned)
        repeats = judge_repeats(figures(planned).dials, extensometer.repeatability)
        return Judged(length=length, repeats=repeats, doubt=wrong)
    return _judge_chord(survey, planned, before, tape, extensometer, wrong)


def _judge_chord(
    survey: _Survey, planned: Planned, before: Before, tape: Tape, extensometer: Extensometer, wrong: str
) -> Judged:
    """The length as it will stand, with the frame of the whole survey."""
    instrument = (tape.serial, extensometer.serial)
    whole_survey, proof = _frame_told(survey, instrument, before), _proof(survey, instrument, before)
    assessment = _assess(survey.sitting, planned, before, tape, extensometer, whole_survey)
    if assessment.length is None:
        return Judged(assessment, None, assessment.repeats, None, False, wrong, proof.doubt, proof.marks)
    # what the frame showed after the reading is not known at the reading
    so_far = _frame_told(survey, instrument, before, planned.order)
    length = (
        assessment.length if so_far == whole_survey else _length(survey.sitting, planned, tape, extensometer, so_far)
    )
    station, chord = place(survey.sitting.corrected, planned)
    verdict = survey.weighing.weigh(station, chord, length, tape, extensometer, planned.row.time, before)
    doubt = " ".join(part for part in (wrong, "" if verdict.agrees else in_words(verdict)) if part)
    said = (verdict, verdict.agrees, doubt, proof.doubt, proof.marks)
    return Judged(assessment, assessment.length, assessment.repeats, *said)


def _proof(survey: _Survey, instrument: Instrument, before: Before) -> Proof:
    """What the instrument is worth in the whole survey."""
    if instrument not in survey.proofs:
        route, first = survey.sitting.corrected, survey.sitting.planned[0].row.time
        zeros = [zero for _, zero in sorted(survey.zeros.get(instrument[1], []), key=lambda one: one[0])]
        held = before.held(instrument, first, survey.sitting.survey, route)
        survey.proofs[instrument] = proof_of(route, instrument, survey.parts(instrument), zeros, held, first)
    return survey.proofs[instrument]


def _frame_told(
    survey: _Survey, instrument: Instrument, before: Before, upto: Order | None = None
) -> FrameShift | None:
    """What the control frame takes off the lengths of a survey with one instrument, by what was read of it so far."""
    parts = survey.parts(instrument, upto)
    asked = (instrument, tuple(map(id, parts.values())))
    if asked not in survey.told:
        route = survey.sitting.corrected
        reference = before.frame_reference(instrument, survey.sitting.planned[0].row.time, survey.sitting.survey)
        survey.told[asked] = shift(route, parts, reference)
    return survey.told[asked]


def _assess(
    sitting: Sitting,
    planned: Planned,
    before: Before,
    tape: Tape,
    extensometer: Extensometer,
    frame: FrameShift | None,
) -> Assessment:
    row = planned.row
    station, chord = place(sitting.corrected, planned)
    read = figures(planned)
    ground = before.ground(row.time, sitting.survey, (tape.serial, extensometer.serial))
    return assess(
        sitting.corrected,
        station,
        chord,
        Draft(read.hole, read.dials, read.temperature, Decimal(0)),
        ground.segment((station.name, chord.name), tape.serial, extensometer.serial, row.time),
        tape,
        extensometer,
        row.time,
        reading=(sitting.survey, planned.target),
        frame=frame,
    )


def _length(
    sitting: Sitting, planned: Planned, tape: Tape, extensometer: Extensometer, frame: FrameShift | None
) -> Length:
    reading = (sitting.survey, planned.target)
    uncertainty = sitting.corrected.uncertainty
    return reduce(figures(planned), tape, extensometer, uncertainty, reading=reading, frame=frame)


def figures(planned: Planned) -> Figures:
    """The figures of a row that was read."""
    slots = planned.row.slots
    dials = tuple(number(slots[slot]) for slot in DIALS if slots.get(slot))
    return Figures(whole(slots["hole"]), dials, number(slots["temperature"]))


def place(route: Route, planned: Planned) -> tuple[Station, Chord]:
    """The station and chord of a row. `KeyError` if the route has no such chord."""
    station = route.station(planned.row.station)
    chord = station.chord(planned.row.chord) if station is not None else None
    if station is None or chord is None:
        raise KeyError(planned.target)
    return station, chord


def _frame_length(sitting: Sitting, planned: Planned) -> Length | None:
    route = sitting.corrected
    tape, extensometer = route.tape(planned.tape), route.extensometer(planned.extensometer)
    read = figures(planned)
    if tape is None or extensometer is None or not tape.has_hole(read.hole):
        return None
    reading = (sitting.survey, planned.target)
    return reduce_frame(read, tape, extensometer, route.controls[0], route.uncertainty, reading=reading)


def _order(read: tuple[Order, str, Length]) -> Order:
    return read[0]
