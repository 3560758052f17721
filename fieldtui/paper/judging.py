"""What each row means: its length, what it says against earlier readings, whether it agrees. Pure.

Sitting, Sitting … ── judge_rows(Before) ──► row by row in order of time: Judged ──► Before.add
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from fieldtui.job.readings import doubt_of_frame, frame_lengths, shift
from fieldtui.paper.before import Before, Instrument
from fieldtui.paper.plan import Order, Planned, Sitting
from fieldtui.paper.verdict import impossible
from fieldtui.reduction import (
    Assessment,
    Draft,
    Figures,
    FrameShift,
    Length,
    Past,
    Repeats,
    assess,
    judge_repeats,
    reduce_frame,
)
from fieldtui.route import Chord, Extensometer, Route, Station, Tape
from fieldtui.survey import DIALS, number, whole


@dataclass(frozen=True, slots=True)
class Judged:
    """What a row means. Parts are None where they do not apply, or the figures give none."""

    assessment: Assessment | None = None
    length: Length | None = None
    repeats: Repeats | None = None
    agrees: bool | None = None
    doubt: str = ""
    """Why the reading is doubtful, in words; empty where it is not."""

    def explanations_json(self) -> list[dict[str, object]] | None:
        """Likeliest first; None where nothing was weighed."""
        return None

    @property
    def shown(self) -> dict[str, str]:
        """What the answer says of the reading, as the log books it."""
        level = self.assessment.level if self.assessment is not None else None
        told = {"doubt": self.doubt, "level": f"{level.state} {level.level or ''}".strip() if level else ""}
        return {what: text for what, text in told.items() if text}


NOTHING = Judged()


@dataclass
class _Survey:
    """One sitting while its rows go by: the frame's lengths, by instrument and when they were read."""

    sitting: Sitting
    frames: dict[Instrument, list[tuple[Order, str, Length]]] = field(default_factory=dict)
    told: dict[Instrument, tuple[FrameShift | None, str]] = field(default_factory=dict)

    def parts(self, instrument: Instrument, upto: Order | None = None) -> dict[str, Length]:
        """The frame's lengths by part, all of the survey or those before a row; the last of a part counts."""
        read = self.frames.get(instrument, [])
        return {part: length for order, part, length in sorted(read, key=_order) if upto is None or order < upto}


def judge_rows(sittings: Sequence[Sitting], before: Before) -> Iterator[tuple[Sitting, Planned, Judged]]:
    """Every row in order of its time, whichever survey it belongs to, each judged from earlier readings only."""
    surveys = {sitting.label: _Survey(sitting) for sitting in sittings}
    for survey in surveys.values():
        _take_frames(survey, before)
    rows = [(one.order, survey, one) for survey in surveys.values() for one in survey.sitting.planned]
    for _, survey, planned in sorted(rows, key=lambda row: row[0]):
        judged = _judge(survey, planned, before)
        if judged.length is not None and planned.row.is_chord and planned.new:
            past = Past(planned.row.time, judged.length, survey.sitting.label, judged.doubt != "", judged.doubt)
            before.add(planned.target.key, past)
        yield survey.sitting, planned, judged


def _take_frames(survey: _Survey, before: Before) -> None:
    """The control frame's lengths of a survey, booked ones and those of its rows."""
    existing = survey.sitting.existing
    if existing is not None:
        for instrument, parts in frame_lengths(existing.route, existing.state, existing.id).items():
            times = [one.read_at for target, one in existing.state.bookings.items() if target.is_frame]
            first = min(time for time in times if time is not None)
            survey.frames[instrument] = [((first, 0), part, length) for part, length in parts.items()]
    for planned in survey.sitting.planned:
        row = planned.row
        if not planned.target.is_frame or not row.was_read:
            continue
        length = _frame_length(survey.sitting, planned)
        if length is None:
            continue
        instrument = (planned.tape, planned.extensometer)
        survey.frames.setdefault(instrument, []).append((planned.order, planned.target.part, length))
        if planned.new:
            before.add_frame(instrument, Past(row.time, length, survey.sitting.label, False, planned.target.part))


def _judge(survey: _Survey, planned: Planned, before: Before) -> Judged:
    row, route = planned.row, survey.sitting.route
    tape, extensometer = route.tape(planned.tape), route.extensometer(planned.extensometer)
    if not row.was_read or planned.target.is_zero:
        return NOTHING
    if tape is None or extensometer is None:
        return Judged(agrees=False, doubt="the survey's route does not have this tape or extensometer")
    wrong = impossible(route, tape, extensometer, row.slots)
    if planned.target.is_frame:
        length = _frame_length(survey.sitting, planned)
        repeats = judge_repeats(figures(planned).dials, extensometer.repeatability)
        return Judged(length=length, repeats=repeats, agrees=False if wrong else None, doubt=wrong)
    return _judge_chord(survey, planned, before, tape, extensometer, wrong)


def _judge_chord(
    survey: _Survey, planned: Planned, before: Before, tape: Tape, extensometer: Extensometer, wrong: str
) -> Judged:
    """The length as it will stand, with the frame of the whole survey."""
    whole_survey, frame_doubt = _frame_told(survey, (tape.serial, extensometer.serial), before)
    assessment = _assess(survey.sitting, planned, before, tape, extensometer, whole_survey)
    return Judged(assessment, assessment.length, assessment.repeats, False if wrong else None, wrong or frame_doubt)


def _frame_told(survey: _Survey, instrument: Instrument, before: Before) -> tuple[FrameShift | None, str]:
    """What the control frame says of a survey with one instrument: its shift, where it is taken off, and a doubt."""
    if instrument not in survey.told:
        route, parts = survey.sitting.route, survey.parts(instrument)
        reference = before.frame_reference(instrument, survey.sitting.planned[0].row.time, survey.sitting.label)
        survey.told[instrument] = (shift(route, parts, reference), doubt_of_frame(route, parts, reference))
    return survey.told[instrument]


def _assess(
    sitting: Sitting,
    planned: Planned,
    before: Before,
    tape: Tape,
    extensometer: Extensometer,
    frame: FrameShift | None,
) -> Assessment:
    row = planned.row
    station, chord = place(sitting.route, planned)
    read = figures(planned)
    return assess(
        sitting.route,
        station,
        chord,
        Draft(read.hole, read.dials, read.temperature, Decimal(0)),
        before.ground(row.time, sitting.label),
        tape,
        extensometer,
        row.time,
        reading=(sitting.survey, planned.target),
        frame=frame,
    )


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
    route = sitting.route
    tape, extensometer = route.tape(planned.tape), route.extensometer(planned.extensometer)
    read = figures(planned)
    if tape is None or extensometer is None or not tape.has_hole(read.hole):
        return None
    reading = (sitting.survey, planned.target)
    return reduce_frame(read, tape, extensometer, route.controls[0], route.uncertainty, reading=reading)


def _order(read: tuple[Order, str, Length]) -> Order:
    return read[0]
