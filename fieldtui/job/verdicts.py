"""The verdicts of one walk: can a booking be right, judged with what the survey itself has shown so far.

    Ground + bookings in order of reading ──► Evidence ──► judge ──► Verdict

A booking is judged from what was read before it. What was worked out for the bookings of the survey is kept for as long
as they stay as they are: a key asks for one verdict, not for all of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from msgspec import Struct

from fieldtui.reduction import (
    Event,
    Evidence,
    Ground,
    Known,
    Length,
    Other,
    Verdict,
    expect,
    judge,
)
from fieldtui.reduction.misreading import ask_twice
from fieldtui.route import Route
from fieldtui.survey import Booking, State, Target, instruments


class Judged(Struct, frozen=True):
    """A complete booking of this survey with its verdict, and what it is to the chords read after it."""

    booking: Booking
    length: Length
    verdict: Verdict
    other: Other | None


class Verdicts:
    """Verdicts over the bookings of one survey. `before` are the answers of the survey before it."""

    def __init__(self, route: Route, ground: Ground, before: Mapping[str, str], begun: datetime) -> None:
        self.route = route
        self.known = Known(route, ground)
        self._before = before
        self._begun = begun
        self._judged: list[Judged] = []
        self._twice: dict[tuple[Target, str, str, datetime], bool] = {}

    def of(self, state: State, target: Target, length: Length, at: datetime) -> Verdict:
        """The verdict over a reading of a chord, booked or being typed, read at a time."""
        tape, extensometer = instruments(self.route, state, target)
        station = self.route.station(target.station)
        chord = station.chord(target.chord) if station is not None else None
        if tape is None or extensometer is None or station is None or chord is None:
            raise KeyError(target)
        evidence = self._evidence(state, target, at)
        return judge(self.known, station, chord, length, tape, extensometer, at, evidence=evidence)

    def follow(self, state: State, lengths: Mapping[Target, tuple[Booking, Length]]) -> None:
        """Take note of the complete bookings of the survey, as they stand now, in order of reading."""
        wanted = sorted(lengths.values(), key=lambda pair: (pair[0].read_at or self._begun, pair[0].target))
        same = 0
        while (
            same < min(len(wanted), len(self._judged))
            and self._judged[same].booking is wanted[same][0]
            and self._judged[same].length.frame_correction == wanted[same][1].frame_correction
        ):
            same += 1
        del self._judged[same:]
        for booking, length in wanted[same:]:
            at = booking.read_at or self._begun
            verdict = self.of(state, booking.target, length, at)
            self._judged.append(Judged(booking, length, verdict, _other(booking, length, at, verdict)))

    def booked(self, target: Target) -> Judged | None:
        """A complete booking that was taken note of."""
        return next((one for one in self._judged if one.booking.target == target), None)

    @property
    def judged(self) -> tuple[Judged, ...]:
        """All complete bookings that were taken note of, in order of reading."""
        return tuple(self._judged)

    def latest(self) -> tuple[Judged, ...]:
        """The last complete booking of each chord."""
        return tuple({one.booking.target.line: one for one in self._judged}.values())

    def hole_twice(self, state: State, booking: Booking) -> bool:
        """Whether the spread of what is expected is so wide that a hole misread by one would look like movement."""
        entry = booking.slots.get("hole")
        station = self.route.station(booking.target.station)
        chord = station.chord(booking.target.chord) if station is not None else None
        tape, extensometer = instruments(self.route, state, booking.target)
        if entry is None or station is None or chord is None or tape is None or extensometer is None:
            return False
        asked = (booking.target, booking.tape, booking.extensometer, entry.read_at)
        if asked not in self._twice:
            stirred = Evidence(events=self._events(state))
            expected = expect(self.known, station, chord, tape, extensometer, entry.read_at, evidence=stirred)
            self._twice[asked] = expected is None or ask_twice(expected, float(tape.pitch))
        return self._twice[asked]

    def _evidence(self, state: State, target: Target, at: datetime) -> Evidence:
        earlier = [one for one in self._judged if (one.booking.read_at or self._begun) <= at]
        others: dict[tuple[str, str], Other] = {}
        for one in earlier:
            if one.other is not None and one.booking.target.line != target.line:
                others.pop(one.booking.target.line, None)
                others[one.booking.target.line] = one.other
        again = tuple(
            one.length
            for one in earlier
            if one.booking.target.line == target.line and one.booking.target.reading < target.reading
        )
        temperatures = tuple(
            one.booking.temperature
            for one in earlier
            if one.booking.temperature is not None and one.booking.target != target
        )
        return Evidence(tuple(others.values()), temperatures, self._events(state), again)

    def _events(self, state: State) -> tuple[Event, ...]:
        """A stage that is not the last survey's has set the ground moving since."""
        stage = state.answer("stage") or ""
        if not stage or stage == self._before.get("stage", ""):
            return ()
        return (Event(self._begun, "stage"),)


def _other(booking: Booking, length: Length, at: datetime, verdict: Verdict) -> Other | None:
    expected = verdict.expectation
    if expected is None or not expected.alone_spread:
        return None
    off = float(length.value) - expected.alone
    return Other(booking.target.key, length, at, off, expected.alone_spread, not verdict.doubted)
