"""What the instrument of a survey is worth: is the survey in doubt, and what is marked on every length of it.

    frame lengths, what they are held against, dial zeros, certificates ── proof_of ──► Proof: doubts, marks

A doubt keeps a reading from being compared with until a later survey confirms it. A mark says what a reader of the
length has to know, and changes nothing: a certificate that has run out, a frame that drifts, an instrument not proven.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from msgspec import Struct

from fieldtui.reduction import Length, show_change
from fieldtui.reduction.chart import Chart
from fieldtui.reduction.frame_proof import DRIFTS, FrameProof, prove_all
from fieldtui.reduction.repeats import CRITICAL_RANGE_FACTOR
from fieldtui.route import Extensometer, Route, Tape
from fieldtui.survey import Booking, Target, number

Instrument = tuple[str, str]
"""(tape serial, extensometer serial)."""


class Held(Struct, frozen=True):
    """What a survey's frame is held against: the first survey's lengths, and the chart of all surveys before."""

    reference: tuple[Length, ...] = ()
    chart: Chart | None = None


class Proof(Struct, frozen=True):
    """Of one survey with one tape and extensometer."""

    doubts: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()

    @property
    def doubt(self) -> str:
        """All doubts in one text; empty where there is none."""
        return "; ".join(self.doubts)

    @property
    def mark(self) -> str:
        return "; ".join(self.marks)


def proof_of(
    route: Route,
    instrument: Instrument,
    parts: Mapping[str, Length],
    zeros: Sequence[Decimal],
    held: Held,
    at: datetime,
) -> Proof:
    """What a survey's instrument is worth.

    `parts` are the survey's frame lengths with it, `zeros` the dial zeros in order of reading, small units; `at` is
    when the survey was begun.
    """
    frames = frame_proofs(route, parts, held)
    doubts = [*dict.fromkeys(doubt for one in frames for doubt in one.doubts)]
    marks = [DRIFTS] if any(one.drifts for one in frames) else []
    moved = zero_moved(zeros)
    if moved is not None and abs(moved) > zero_limit(route, instrument[1]):
        doubts.append(f"dial zero moved by {show_change(moved, route.units)} {route.units.small} during the survey")
    marks += _not_proven(route, parts, zeros)
    marks += run_out(route, instrument, at)
    return Proof(tuple(doubts), tuple(marks))


def frame_proofs(route: Route, parts: Mapping[str, Length], held: Held) -> tuple[FrameProof, ...]:
    """Every reading of the control frame in one survey with one instrument, judged."""
    if not route.controls:
        return ()
    return prove_all(parts, route.controls[0], route.coverage_factor, held.reference, held.chart)


def _not_proven(route: Route, parts: Mapping[str, Length], zeros: Sequence[Decimal]) -> Iterator[str]:
    missing = [] if zeros else ["dial zero"]
    if route.controls and not parts:
        missing.append("control frame")
    if missing:
        yield f"instrument not proven: no {' and no '.join(missing)}"


# -- the dial zero ------------------------------------------------------------------------------------------------


def zeros_of(bookings: Mapping[Target, Booking], extensometer: str) -> tuple[Decimal, ...]:
    """The dial zeros among a survey's bookings, read with an extensometer, in order of reading, small units."""
    found = [
        booking
        for target, booking in bookings.items()
        if target.is_zero and booking.extensometer == extensometer and booking.was_read and "zero" in booking.slots
    ]
    found.sort(key=lambda booking: booking.read_order)
    return tuple(number(booking.slots["zero"].typed) for booking in found)


def zero_moved(zeros: Sequence[Decimal]) -> Decimal | None:
    """The largest change of the dial zero since the survey's first, signed, small units; None for fewer than two."""
    return max((value - zeros[0] for value in zeros[1:]), key=abs, default=None)


def zero_limit(route: Route, extensometer: str) -> Decimal:
    """How far the dial zero may move in a survey: it goes into every length whole, so the frame's limit counts.

    Without a frame the critical difference of two repeats (ISO 5725-6) takes its place."""
    if route.controls:
        return route.controls[0].limit
    found = route.extensometer(extensometer)
    if found is None:
        return Decimal("Infinity")
    return CRITICAL_RANGE_FACTOR[2] * found.repeatability


# -- certificates -------------------------------------------------------------------------------------------------


def run_out(route: Route, instrument: Instrument, at: datetime) -> Iterator[str]:
    """A sentence for the tape's and the extensometer's certificate, where it had run out by the day of a time."""
    today = at.astimezone(ZoneInfo(route.time_zone)).date()
    tape, extensometer = route.tape(instrument[0]), route.extensometer(instrument[1])
    things: tuple[tuple[str, Tape | Extensometer | None], ...] = (("tape", tape), ("extensometer", extensometer))
    for what, thing in things:
        if thing is not None and past(thing.certificate_until, today):
            yield f"certificate of {what} {thing.serial} ran out on {thing.certificate_until}"


def past(until: date | None, today: date) -> bool:
    """Whether a certificate has run out; its last day still counts."""
    return until is not None and today > until
