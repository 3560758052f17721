"""Is the instrument proven: control frame, dial zero, certificates and care, as `job.instrument` has them.

    Scope ── proof_of ──► Proof: the verdict for the first page, and the section "instrument"

Charts of the instrument belong into `charts_of`: what it gives is drawn in that section, each with its text.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from msgspec import Struct

from fieldtui.counted import counted
from fieldtui.handover.report.instrument_plots import frame_plot
from fieldtui.handover.report.scope import Scope
from fieldtui.handover.report.svg import Figure
from fieldtui.handover.report.words import NONE, Words
from fieldtui.job import Survey
from fieldtui.job.framed import FrameReading
from fieldtui.job.instrument import FrameRead, Instruments, SurveyProof, instruments_of
from fieldtui.reduction import FrameVerdict, frame_verdict
from fieldtui.reduction.frame_proof import PARTS
from fieldtui.route import Control
from fieldtui.survey import OUTCOMES

Verdict = Literal["proven", "proven with reservations", "not proven", "in doubt"]
SHAPES: dict[Verdict, str] = {"proven": "○", "proven with reservations": "▲", "not proven": "▲", "in doubt": "■"}
Reads = dict[tuple[str, str, str, str], FrameRead]
"""(survey's label, tape, extensometer, part) -> the frame as judged."""


class FrameRow(Struct, frozen=True):
    """One reading of the control frame, in text."""

    time: str
    survey: str
    part: str
    tape: str
    extensometer: str
    length: str
    moved: str
    limit: str
    verdict: str


class Proof(Struct, frozen=True):
    """`why` are sentences; `frames` and `zeros` the tables; `notes` certificates, care and repeatability."""

    verdict: Verdict
    why: tuple[str, ...]
    frames: tuple[FrameRow, ...]
    zeros: tuple[tuple[str, str, str, str], ...]
    notes: tuple[str, ...]
    charts: tuple[Figure, ...] = ()

    @property
    def shape(self) -> str:
        return SHAPES[self.verdict]


def proof_of(scope: Scope, words: Words) -> Proof:
    """What proves the instrument in the scope's survey, and every reading of frame and zero that the tables list."""
    known = instruments_of(scope.job, scope.as_of)
    reads: Reads = {
        (survey.label, page.tape, page.extensometer, frame.part): frame
        for page in known.pages
        for survey in page.surveys
        for frame in survey.frames
    }
    verdict, why = _verdict(scope, words, known, reads)
    return Proof(
        verdict,
        tuple(why),
        tuple(_frame_row(scope, words, one, reads) for one in _frames(scope) if _listed(scope, one)),
        tuple(_zeros(scope, words)),
        tuple(_notes(words, known)),
        tuple(charts_of(known, words)),
    )


def charts_of(known: Instruments, words: Words) -> Sequence[Figure]:
    """The control frame's chart of each tape with extensometer, for their section."""
    drawn = (frame_plot(page, words, number) for number, page in enumerate(known.pages, 1))
    return [one for one in drawn if one is not None]


def _frames(scope: Scope) -> list[FrameReading]:
    """In order of time, and of the parts of a survey."""
    return sorted(scope.job.account.frames, key=lambda one: (one.time, PARTS.index(one.part)))


def _control(scope: Scope, survey: Survey) -> Control | None:
    return next(iter(scope.job.corrections.route(survey.route, survey.started).controls), None)


def _listed(scope: Scope, one: FrameReading) -> bool:
    if scope.alone:
        return one.survey == scope.newest.id
    return scope.since is None or one.time >= scope.since


def _against_limit(scope: Scope, one: FrameReading) -> FrameVerdict | None:
    """None for the readings that are the reference themselves."""
    survey = scope.job.survey(one.survey) or scope.newest
    control = _control(scope, survey)
    if control is None or any(length is one.length for length in one.reference):
        return None
    return frame_verdict(one.length, one.reference, control.limit, scope.job.route.coverage_factor)


def _frame_row(scope: Scope, words: Words, one: FrameReading, reads: Reads) -> FrameRow:
    judged = _against_limit(scope, one)
    return FrameRow(
        words.time(one.time),
        one.label,
        one.part,
        *one.instrument,
        f"{words.length(one.length.value)} ±{words.expanded(one.length.u)}",
        words.plus_minus(judged.difference) if judged is not None else "reference",
        f"{judged.limit:f}" if judged is not None else NONE,
        _frame_word(judged, reads.get((one.label, *one.instrument, one.part))),
    )


def _frame_word(judged: FrameVerdict | None, read: FrameRead | None) -> str:
    if read is not None and read.doubts:
        return f"■ {'; '.join(read.doubts)}"
    if judged is None:
        return "○ reference"
    drifts = ", but the frame drifts" if read is not None and read.drifts else ""
    if judged.state == "within":
        return f"{'▲' if drifts else '○'} within its limit{drifts}"
    return f"{'▲' if drifts else '○'} within its limit, though its uncertainty reaches past it{drifts}"


def _verdict(scope: Scope, words: Words, known: Instruments, reads: Reads) -> tuple[Verdict, list[str]]:
    survey, label = scope.newest, scope.job.labels[scope.newest.id]
    own = [(page.tape, page.extensometer, one) for page in known.pages for one in page.surveys if one.label == label]
    if _control(scope, survey) is None:
        return "not proven", ["The route has no control frame to prove the instrument by.", *_said(own)]
    frames = [one for one in _frames(scope) if one.survey == survey.id]
    said = list(_sentences(scope, words, frames, reads))
    lacking = [part for part in ("start", "end") if part not in {one.part for one in frames}]
    said += [*(_lacking(survey, part) for part in lacking), *_said(own)]
    if any(one.proof.doubts for _, _, one in own):
        return "in doubt", [*said, "Lengths read with it in this survey are doubtful, and counted when confirmed."]
    zeros = all(one.zeros for _, _, one in own)
    if lacking or not zeros or not own:
        return "not proven", said
    return "proven with reservations" if any(one.proof.marks for _, _, one in own) else "proven", said


def _said(own: Sequence[tuple[str, str, SurveyProof]]) -> Iterator[str]:
    """What is doubted of an instrument and marked on its lengths."""
    for tape, extensometer, one in own:
        for told in (*one.proof.doubts, *one.proof.marks):
            yield f"Tape {tape}, extensometer {extensometer}: {told}."


def _sentences(scope: Scope, words: Words, frames: Sequence[FrameReading], reads: Reads) -> Iterator[str]:
    """One for each tape with extensometer: how the frame read at the start, in between, at the end."""
    for instrument in dict.fromkeys(one.instrument for one in frames):
        told = []
        for one in (one for one in frames if one.instrument == instrument):
            judged = _against_limit(scope, one)
            when = f"at the {one.part}" if one.part != "between" else "in between"
            if judged is None:
                told.append(f"{when} its first reading with them, the reference from now on")
                continue
            word = _frame_word(judged, reads.get((one.label, *instrument, one.part)))[2:]
            moved = f"{words.plus_minus(judged.difference)} {words.small} of {judged.limit:f}"
            told.append(f"{when} {moved}, {word}")
        yield f"Control frame, tape {instrument[0]}, extensometer {instrument[1]}: {'; '.join(told)}."


def _lacking(survey: Survey, part: str) -> str:
    for target, booking in survey.state.bookings.items():
        if target.is_frame and target.part == part and booking.outcome in OUTCOMES:
            return f"Control frame not read at the {part}: {booking.reason or OUTCOMES[booking.outcome]}."
    still = ", the survey is still open" if survey.open else ""
    return f"Control frame not read at the {part}{still}."


def _zeros(scope: Scope, words: Words) -> Iterator[tuple[str, str, str, str]]:
    for survey in scope.job.counting:
        if scope.alone and survey.id != scope.newest.id:
            continue
        for target, booking in sorted(survey.state.bookings.items()):
            at = booking.read_at
            if target.is_zero and at is not None and (scope.since is None or at >= scope.since):
                typed = booking.slots["zero"].typed if "zero" in booking.slots else NONE
                yield words.time(at), scope.job.labels[survey.id], booking.extensometer, typed


def _notes(words: Words, known: Instruments) -> Iterator[str]:
    for one in known.certificates:
        if one.until is not None:
            shape = {"good": "○", "runs out soon": "▲"}.get(one.state, "■")
            yield f"{shape} Certificate of {one.what} {one.serial}: {one.state}, last day {one.until.isoformat()}."
    for care in known.care:
        last = f"last on {words.day(care.last.at)}" if care.last is not None else "never booked"
        due = f"due on {care.due.isoformat()}" if care.due is not None else "due now"
        yield f"{'▲' if care.overdue else '○'} {care.what}: every {counted(care.every_days, 'day')}, {last}, {due}."
    digits = words.route.units.decimals + 1
    for own in known.repeatability:
        if own.every is not None:
            found = own.every
            yield (
                f"Repeatability of extensometer {own.extensometer} over its last {counted(own.surveys, 'survey')}: "
                f"{found.s:.{digits}f} {words.small} (95 %: {found.low:.{digits}f} to {found.high:.{digits}f}, "
                f"{counted(found.readings, 'reading')}); the route states {own.stated:f}."
            )
