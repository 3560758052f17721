"""The instruments of a job as things: chart, surveys in doubt and why, repeatability, care, certificates. Data only.

    Job, now ── instruments_of ──► Instruments: what the page in the terminal and the report show

Lengths in the route's small unit. Nothing is drawn here, and no word is said that a screen or a report must not say.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.job.booked import answered
from fieldtui.job.care import Certificate, Given, Tended, care_booked, care_of, certificates_of, due_words
from fieldtui.job.job import Job
from fieldtui.job.kept import KeptBookings
from fieldtui.job.proof import Held, Instrument, Proof, frame_proofs, proof_of, zeros_of
from fieldtui.job.survey import Survey
from fieldtui.job.used import instruments_in
from fieldtui.reduction import Length
from fieldtui.reduction.chart import Chart
from fieldtui.reduction.pooled import Pooled, pooled
from fieldtui.survey import ZERO_KEY

LATELY = 10
"""So many of the last surveys tell how repeatable an instrument is now."""


class FrameRead(Struct, frozen=True):
    """One reading of the control frame."""

    part: str
    value: Decimal
    u: float
    """Standard uncertainty."""
    doubts: tuple[str, ...]
    """Why it puts its survey in doubt."""
    drifts: bool


class SurveyProof(Struct, frozen=True):
    """One survey with one tape and extensometer: how the frame read, the dial zeros, what follows."""

    label: str
    at: datetime
    frames: tuple[FrameRead, ...]
    zeros: tuple[Decimal, ...]
    proof: Proof


class InstrumentPage(Struct, frozen=True):
    """One tape with one extensometer. Surveys in order of time."""

    tape: str
    extensometer: str
    chart: Chart
    """One point a survey; the readings at the ends of surveys are in `surveys` alone."""
    limit: Decimal | None
    """The route's, for a change of the frame; None for a route without one."""
    correct: bool
    """Whether the frame's change is taken off every length."""
    surveys: tuple[SurveyProof, ...]

    @property
    def in_doubt(self) -> tuple[SurveyProof, ...]:
        """Surveys whose lengths are in doubt with this instrument."""
        return tuple(one for one in self.surveys if one.proof.doubts)

    @property
    def marked(self) -> tuple[SurveyProof, ...]:
        """Surveys whose lengths are marked, in doubt or not."""
        return tuple(one for one in self.surveys if one.proof.marks)


class Repeatability(Struct, frozen=True):
    """Of an extensometer over its last surveys, against what the route states."""

    extensometer: str
    stated: Decimal
    surveys: int
    every: Pooled | None
    by_observer: tuple[tuple[str, Pooled], ...]
    """By who read, in order of the names."""


class Instruments(Struct, frozen=True):
    pages: tuple[InstrumentPage, ...]
    """In order of the first survey with each."""
    repeatability: tuple[Repeatability, ...]
    care: tuple[Tended, ...]
    certificates: tuple[Certificate, ...]


def instruments_of(job: Job, now: datetime | None = None) -> Instruments:
    """Everything about the instruments of a job, as at a time (default: now)."""
    at = now or datetime.now(UTC)
    route = job.corrections.route(job.route, at)
    return Instruments(
        tuple(_pages(job, at)),
        tuple(_repeatability(job, at)),
        care_of(route, _care(job), at),
        certificates_of(route, at),
    )


def before_survey(job: Job, now: datetime | None = None) -> tuple[str, ...]:
    """What has to be said of the instruments before a survey: certificates, care that is due, a frame that drifts."""
    at = now or datetime.now(UTC)
    route = job.corrections.route(job.route, at)
    care = care_of(route, _care(job), at)
    told = list(due_words(care, certificates_of(route, at)))
    for (tape, extensometer), chart in job.account.charts.items():
        last = chart.points[-1] if chart.points else None
        named = route.tape(tape) is not None and route.extensometer(extensometer) is not None
        if last is not None and named and (last.outside or last.drifted):
            what = "drifts" if last.drifted else "was outside what is usual in the last survey"
            told.append(f"the control frame with tape {tape} and extensometer {extensometer} {what}")
    return tuple(told)


def _care(job: Job) -> list[Given]:
    """All care that is booked of the instruments, here and on the routes that share them."""
    return [*care_booked(job.counting, job.journals.care), *job.elsewhere.care]


def _pages(job: Job, now: datetime) -> Iterator[InstrumentPage]:
    account = job.account
    found: dict[Instrument, list[SurveyProof]] = {}
    lengths: dict[str, dict[Instrument, dict[str, Length]]] = {}
    held: dict[str, dict[Instrument, Held]] = {}
    for frame in account.frames:
        lengths.setdefault(frame.survey, {}).setdefault(frame.instrument, {})[frame.part] = frame.length
        held.setdefault(frame.survey, {})[frame.instrument] = Held(frame.reference, frame.chart)
    for survey in (one for one in account.surveys if one.started <= now):
        for instrument in _used(survey):
            parts = lengths.get(survey.id, {}).get(instrument, {})
            against = held.get(survey.id, {}).get(instrument, Held())
            label = account.labels.get(survey.id, survey.label)
            found.setdefault(instrument, []).append(_survey(job, survey, label, instrument, parts, against))
    control = job.route.controls[0] if job.route.controls else None
    for instrument, surveys in found.items():
        chart = account.charts.get(instrument, Chart())
        yield InstrumentPage(
            *instrument,
            replace(chart, points=tuple(point for point in chart.points if point.at <= now)),
            control.limit if control is not None else None,
            control.correct if control is not None else False,
            tuple(surveys),
        )


def _survey(
    job: Job, survey: Survey, label: str, instrument: Instrument, parts: dict[str, Length], held: Held
) -> SurveyProof:
    route = job.corrections.route(survey.route, survey.started)
    zeros = zeros_of(survey.bookings_of(ZERO_KEY), instrument[1])
    frames = tuple(
        FrameRead(one.part, parts[one.part].value, parts[one.part].u, one.doubts, one.drifts)
        for one in frame_proofs(route, parts, held)
    )
    proof = proof_of(route, instrument, parts, zeros, held, survey.started)
    return SurveyProof(label, survey.started, frames, zeros, proof)


def _used(survey: Survey) -> tuple[Instrument, ...]:
    bookings = survey.state.bookings
    return bookings.instruments if isinstance(bookings, KeptBookings) else instruments_in(bookings)


def _repeatability(job: Job, now: datetime) -> Iterator[Repeatability]:
    """Dial figures of everything that was accepted, those that did not agree among them: as it really was."""
    for extensometer in job.corrections.route(job.route, now).extensometers:
        surveys = [one for one in job.counting if one.started <= now and _reads_with(one, extensometer.serial)]
        of_observer: dict[str, list[Sequence[Decimal]]] = {}
        for survey in surveys[-LATELY:]:
            for target, booking in survey.state.bookings.items():
                at = booking.read_at
                if booking.extensometer == extensometer.serial and not target.is_zero and booking.was_read and at:
                    of_observer.setdefault(answered(survey.state, "reader", at), []).append(booking.dials)
        every = pooled(dials for several in of_observer.values() for dials in several)
        by = [(who, pooled(several)) for who, several in sorted(of_observer.items())]
        named = tuple((who, one) for who, one in by if one is not None)
        yield Repeatability(extensometer.serial, extensometer.repeatability, min(len(surveys), LATELY), every, named)


def _reads_with(survey: Survey, extensometer: str) -> bool:
    """Whether a survey may have read anything with an extensometer, by what was answered: no booking is looked at."""
    said = [survey.state.said.get("extensometer"), *survey.state.said_before.get("extensometer", ())]
    return any(entry is not None and entry.typed == extensometer for entry in said)
