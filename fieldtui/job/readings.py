"""Bookings to lengths: each survey reduced with its own route as it was corrected since, its frame taken off where
the route asks for it.

    Survey, Booking ── reduce_booking ──► Length
    Survey ── SurveyReadings.of(bookings) ──► Reading: every booking that has a length, with a reason for doubt if any
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import datetime

from msgspec import Struct

from fieldtui.job.corrections import Corrections
from fieldtui.job.earlier import earlier_length
from fieldtui.job.proof import Held, Instrument, Proof, proof_of, zeros_of
from fieldtui.job.survey import Survey
from fieldtui.reduction import FrameShift, Length, frame_shift, reduce, reduce_frame
from fieldtui.route import ChordKey, Route
from fieldtui.survey import FRAME_KEY, ZERO_KEY, Booking, State, Target

_NOT_HELD = Held()


class Reading(Struct, frozen=True):
    """One booking of a chord, reduced. `booking` names the chord as it was booked, `key` as it is called now."""

    booking: Booking
    length: Length
    time: datetime
    survey: str
    label: str
    doubtful: bool
    note: str = ""
    """Why it is doubtful, or was until a later reading confirmed it."""
    key: ChordKey = ("", "")
    generation: int = 0
    """How often its tape, extensometer or anchors had become other ones by then."""
    logged_length: Length | None = None
    """As reduced with the route that the log holds, where that has been corrected since."""
    counts: bool = True
    """Not doubtful, and the survey's last reading of this chord with this instrument that is not."""
    confirmed_by: str = ""
    """The label of the survey whose reading confirmed it, where it was doubtful."""
    instrument_doubt: bool = False
    """The doubt is over the instrument, and not over this figure alone."""
    marks: tuple[str, ...] = ()
    """What has to be known of its instrument beside: see `proof`."""

    @property
    def order(self) -> tuple[datetime, str, Target]:
        return (self.time, self.survey, self.booking.target)

    @property
    def thing(self) -> tuple[str, str, int]:
        """What makes it comparable with another reading of the chord: tape, extensometer, generation."""
        return (self.length.tape, self.length.extensometer, self.generation)


class Reductions:
    """Each survey with the route that it is reduced with. Lengths of the frame, which many ask for, are kept."""

    def __init__(self, corrections: Corrections) -> None:
        self.corrections = corrections
        self._frames: dict[tuple[str, int], dict[Instrument, dict[str, Length]]] = {}

    def route(self, survey: Survey) -> Route:
        """The survey's route as it was corrected since."""
        return self.corrections.route(survey.route, survey.started)

    def frames(self, survey: Survey, route: Route) -> dict[Instrument, dict[str, Length]]:
        """As `frame_lengths`; the very same lengths each time."""
        key = (survey.id, id(route))
        if key not in self._frames:
            bookings = survey.bookings_of(FRAME_KEY).items()
            self._frames[key] = frames_of(bookings, lambda booking: reduce_booking(route, booking, survey.id))
        return self._frames[key]


def frame_lengths(route: Route, state: State, survey: str) -> dict[Instrument, dict[str, Length]]:
    """The control frame's lengths of one survey: instrument -> part ("start", "between", "end") -> the last one."""
    return frames_of(state.bookings.items(), lambda booking: reduce_booking(route, booking, survey))


def frames_of(
    bookings: Iterable[tuple[Target, Booking]], length_of: Callable[[Booking], Length | None]
) -> dict[Instrument, dict[str, Length]]:
    """As `frame_lengths`, of these bookings."""
    found: dict[Instrument, dict[str, Length]] = {}
    for target, booking in sorted(bookings):
        if target.is_frame and booking.was_read:
            length = length_of(booking)
            if length is not None:
                found.setdefault((booking.tape, booking.extensometer), {})[target.part] = length
    return found


def reduce_booking(route: Route, booking: Booking, survey: str, frame: FrameShift | None = None) -> Length | None:
    """The corrected length of a booking, of a chord or of the frame.

    None while figures are missing, where the route does not have the tape or extensometer, where the tape does not
    have the hole, and for the frame of a route without one.
    """
    reading = (survey, booking.target)
    if booking.is_earlier:
        return earlier_length(route, booking, reading)
    figures = booking.figures()
    tape, extensometer = route.tape(booking.tape), route.extensometer(booking.extensometer)
    if figures is None or tape is None or extensometer is None or not figures.dials or not tape.has_hole(figures.hole):
        return None
    if not booking.target.is_frame:
        return reduce(figures, tape, extensometer, route.uncertainty, reading=reading, frame=frame)
    if not route.controls:
        return None
    return reduce_frame(figures, tape, extensometer, route.controls[0], route.uncertainty, reading=reading)


class SurveyReadings:
    """The readings of one survey, as many as are asked for; `held` is what its frame is held against, by instrument."""

    def __init__(self, survey: Survey, held: Mapping[Instrument, Held], reductions: Reductions) -> None:
        self.survey = survey
        self._held = held
        self._route = route = reductions.route(survey)
        self._frames = reductions.frames(survey, route)
        self._shifts = self._shifts_of(route, self._frames)
        self._logged_shifts = self._shifts
        if route is not survey.route:
            self._logged_shifts = self._shifts_of(survey.route, reductions.frames(survey, survey.route))
        self._proofs: dict[Instrument, Proof] = {}

    def of(self, bookings: Mapping[Target, Booking]) -> Iterator[Reading]:
        """Each of some bookings of the survey that is of a chord and has a length."""
        for target, booking in bookings.items():
            time = booking.read_at
            if target.is_chord and time is not None and (booking.was_read or booking.is_earlier):
                instrument = (booking.tape, booking.extensometer)
                length = reduce_booking(self._route, booking, self.survey.id, self._shifts.get(instrument))
                if length is not None:
                    yield self._reading(booking, length, time, instrument)

    def _reading(self, booking: Booking, length: Length, time: datetime, instrument: Instrument) -> Reading:
        survey, logged = self.survey, None
        if self._route is not survey.route:
            logged = reduce_booking(survey.route, booking, survey.id, self._logged_shifts.get(instrument))
        proof = Proof() if booking.is_earlier else self._proof(instrument)
        doubt = "; ".join(why for why in (_doubt(survey, booking), proof.doubt) if why)
        return Reading(
            booking,
            length,
            time,
            survey.id,
            survey.label,
            doubt != "",
            doubt,
            key=booking.target.key,
            logged_length=logged if logged is not None and logged.value != length.value else None,
            instrument_doubt=proof.doubt != "",
            marks=proof.marks,
        )

    def _proof(self, instrument: Instrument) -> Proof:
        if instrument not in self._proofs:
            own, against = self._frames.get(instrument, {}), self._held.get(instrument, _NOT_HELD)
            zeros = zeros_of(self.survey.bookings_of(ZERO_KEY), instrument[1])
            self._proofs[instrument] = proof_of(self._route, instrument, own, zeros, against, self.survey.started)
        return self._proofs[instrument]

    def _shifts_of(
        self, route: Route, frames: Mapping[Instrument, Mapping[str, Length]]
    ) -> dict[Instrument, FrameShift | None]:
        held = self._held
        return {one: shift(route, parts, held.get(one, _NOT_HELD).reference) for one, parts in frames.items()}


def _doubt(survey: Survey, booking: Booking) -> str:
    """Why this booking itself is in doubt, whatever the control frame says."""
    if booking.places & survey.disputed:
        return "two journals amend it differently"
    if booking.outcome == "kept":
        return booking.reason or "kept as booked, though it did not agree"
    return ""


def shift(route: Route, parts: Mapping[str, Length], reference: Sequence[Length]) -> FrameShift | None:
    """What the frame says the instrument has shifted by, where the route takes it off and it can be told."""
    if not route.controls or not route.controls[0].correct or not parts or not reference:
        return None
    return frame_shift(parts.get("start"), parts.get("end"), reference)
