"""Is the instrument proven: control frame against its reference, dial zero, certificates, care.

    Scope ── proof_of ──► Proof: the verdict for the first page, and the section "instrument"

Charts of the instrument belong into `charts_of`: what it gives is drawn in that section, each with its text.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Literal

from fieldtui.handover.report.scope import Scope
from fieldtui.handover.report.svg import Figure
from fieldtui.handover.report.words import NONE, Words
from fieldtui.job import Survey
from fieldtui.job.account import FrameReading
from fieldtui.reduction import FrameVerdict, frame_verdict
from fieldtui.route import Control, Extensometer, Route, Tape
from fieldtui.survey import OUTCOMES

Verdict = Literal["proven", "not proven", "in doubt"]
SHAPES: dict[Verdict, str] = {"proven": "○", "not proven": "▲", "in doubt": "■"}


@dataclass(frozen=True, slots=True)
class FrameRow:
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


@dataclass(frozen=True)
class Proof:
    """`why` are sentences; `frames` and `zeros` the tables; `notes` certificates and care."""

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
    verdict, why = _verdict(scope, words)
    return Proof(
        verdict,
        tuple(why),
        tuple(_frame_row(scope, words, one) for one in scope.job.account.frames if _listed(scope, one)),
        tuple(_zeros(scope, words)),
        tuple(_notes(scope, words)),
        tuple(charts_of(scope, words)),
    )


def charts_of(scope: Scope, words: Words) -> Sequence[Figure]:
    """Charts of the instrument for its section: none are drawn yet."""
    return ()


def _route(scope: Scope, survey_id: str) -> Route:
    survey = scope.job.survey(survey_id) or scope.newest
    return scope.job.corrections.route(survey.route, survey.started)


def _control(scope: Scope, survey_id: str) -> Control | None:
    return next(iter(_route(scope, survey_id).controls), None)


def _listed(scope: Scope, one: FrameReading) -> bool:
    if scope.alone:
        return one.survey == scope.newest.id
    return scope.since is None or one.time >= scope.since


def _judged(scope: Scope, one: FrameReading) -> FrameVerdict | None:
    """None for the readings that are the reference themselves."""
    control = _control(scope, one.survey)
    if control is None or any(length is one.length for length in one.reference):
        return None
    return frame_verdict(one.length, one.reference, control.limit, _route(scope, one.survey).coverage_factor)


def _frame_row(scope: Scope, words: Words, one: FrameReading) -> FrameRow:
    judged, control = _judged(scope, one), _control(scope, one.survey)
    moved = f"{words.plus_minus(judged.difference)}" if judged is not None else "reference"
    limit = f"{control.limit:f}" if control is not None else NONE
    length = f"{words.length(one.length.value)} ±{words.expanded(one.length.u)}"
    return FrameRow(
        words.time(one.time), one.label, one.part, *one.instrument, length, moved, limit, _frame_word(judged)
    )


def _frame_word(judged: FrameVerdict | None) -> str:
    if judged is None:
        return "○ reference"
    if judged.over_limit:
        return "■ beyond its limit" if judged.state == "beyond" else "■ over its limit, by less than can be told"
    return "○ within its limit" if judged.state == "within" else "▲ within, by less than can be told"


def _verdict(scope: Scope, words: Words) -> tuple[Verdict, list[str]]:
    survey = scope.newest
    control = _control(scope, survey.id)
    if control is None:
        return "not proven", ["The route has no control frame to prove the instrument by."]
    own = [one for one in scope.job.account.frames if one.survey == survey.id]
    over = [one for one in own if (judged := _judged(scope, one)) is not None and judged.over_limit]
    said = [_sentence(scope, words, one) for one in own]
    lacking = [part for part in ("start", "end") if part not in {one.part for one in own}]
    said += [_lacking(survey, part) for part in lacking]
    if over:
        return "in doubt", [*said, "Every length read with it in this survey is in doubt until the frame is read anew."]
    if lacking or not _zero_read(survey):
        if not _zero_read(survey):
            said.append("No dial zero was booked in this survey.")
        return "not proven", said
    return "proven", said


def _sentence(scope: Scope, words: Words, one: FrameReading) -> str:
    judged = _judged(scope, one)
    when = {"start": "at the start", "end": "at the end"}.get(one.part, "in between")
    with_ = f"tape {one.instrument[0]}, extensometer {one.instrument[1]}"
    if judged is None:
        return f"Control frame {when}, {with_}: first reading with this instrument, and the reference from now on."
    moved = f"{words.plus_minus(judged.difference)} {words.small}, limit {judged.limit:f}"
    return f"Control frame {when}, {with_}: moved by {moved}: {_frame_word(judged)[2:]}."


def _lacking(survey: Survey, part: str) -> str:
    for target, booking in survey.state.bookings.items():
        if target.is_frame and target.part == part and booking.outcome in OUTCOMES:
            return f"Control frame not read at the {part}: {booking.reason or OUTCOMES[booking.outcome]}."
    still = ", the survey is still open" if survey.open else ""
    return f"Control frame not read at the {part}{still}."


def _zero_read(survey: Survey) -> bool:
    return any(target.is_zero and booking.finished for target, booking in survey.state.bookings.items())


def _zeros(scope: Scope, words: Words) -> Iterator[tuple[str, str, str, str]]:
    for survey in scope.job.counting:
        if scope.alone and survey.id != scope.newest.id:
            continue
        for target, booking in sorted(survey.state.bookings.items()):
            at = booking.read_at
            if target.is_zero and at is not None and (scope.since is None or at >= scope.since):
                typed = booking.slots["zero"].typed if "zero" in booking.slots else NONE
                yield words.time(at), scope.job.labels[survey.id], booking.extensometer, typed


def _notes(scope: Scope, words: Words) -> Iterator[str]:
    today, route = scope.as_of.astimezone(words.zone).date(), scope.job.route
    things: list[tuple[str, Tape | Extensometer]] = [("Tape", one) for one in route.tapes]
    things += [("Extensometer", one) for one in route.extensometers]
    for kind, thing in things:
        until = thing.certificate_until
        if until is not None:
            word = "ran out on" if until < today else "holds until"
            yield f"{kind} {thing.serial}: certificate {word} {until.isoformat()}."
    for care in route.care:
        done = [one.at for one in scope.job.journals.care if one.what == care.what and one.at <= scope.as_of]
        if not done:
            yield f"{care.what}: never booked as done; every {care.every_days} days."
            continue
        next_ = max(done) + timedelta(days=care.every_days)
        word = "overdue since" if next_ < scope.as_of else "next on"
        yield f"{care.what}: done {words.day(max(done))}, {word} {words.day(next_)}."
