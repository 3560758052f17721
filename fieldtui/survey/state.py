"""The state of a survey: what the records say, and nothing besides.

State ─┬─ said       people, tape, extensometer, face chainages, stage, cautions: the last answer counts
       ├─ bookings   Target -> Booking: hole, dials, temperature as typed, and what became of it
       ├─ calls      who was told of a level, and what they answered
       ├─ struck     answers, notes and calls that no longer count; a booking keeps its own
       ├─ at         the station arrived at
       ├─ going      a target chosen by the surveyor, until it is accepted or given up
       └─ last       the target dealt with last: the walk goes on after it
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from decimal import Decimal

from msgspec import Struct, field

from fieldtui.reduction import Figures
from fieldtui.route import line_of
from fieldtui.survey.call import CallTold
from fieldtui.survey.entered import Entry, Place
from fieldtui.survey.target import DIALS, PLANNED_DIALS, Target
from fieldtui.survey.typed import number, whole

EARLIER = "earlier"
INSTRUMENTS = ("tape", "extensometer")


class Struck(Struct, frozen=True):
    """An entry that no longer counts, and what stands in its place (None: nothing does)."""

    slot: str
    entry: Entry
    by: Entry | None
    reason: str = ""
    who: str = ""
    """Who struck it, where it was struck with a reason and not simply booked over."""


class Booking(Struct, frozen=True):
    """One reading as booked. `outcome` is empty until it is `read`, `kept` or one of the reasons for not reading.

    An `earlier` length, taken over from a spreadsheet, has the slots `length` and `uncertainty` instead of figures.
    """

    target: Target
    tape: str
    extensometer: str
    slots: Mapping[str, Entry] = field(default_factory=dict)
    struck: tuple[Struck, ...] = ()
    outcome: str = ""
    reason: str = ""
    ended: Entry | None = None
    """The record that gave the outcome."""
    tape_said: Place | None = None
    """The answer that the tape comes from: struck or set right, it takes the booking with it."""
    extensometer_said: Place | None = None
    baseline: bool = False
    """An earlier length that was part of the baseline of its day."""

    @property
    def dials(self) -> tuple[Decimal, ...]:
        """The repeat dial readings that stand, in order."""
        taken = (self.slots.get(slot) for slot in DIALS)
        return tuple(number(entry.typed) for entry in taken if entry is not None and not entry.declined)

    @property
    def hole(self) -> int | None:
        return whole(self.slots["hole"].typed) if "hole" in self.slots else None

    @property
    def temperature(self) -> Decimal | None:
        return number(self.slots["temperature"].typed) if "temperature" in self.slots else None

    @property
    def figures_in(self) -> bool:
        """Hole, three dials and temperature are there (or the one figure of a zero check)."""
        wanted = ("zero",) if self.target.is_zero else ("hole", *PLANNED_DIALS, "temperature")
        return all(slot in self.slots for slot in wanted)

    @property
    def was_read(self) -> bool:
        return self.outcome in ("read", "kept")

    @property
    def broken(self) -> bool:
        """Accepted, and not all its figures are there: a damaged log has lost some."""
        return self.was_read and not self.figures_in

    @property
    def is_earlier(self) -> bool:
        """A length taken over from before this program was used: no figures of an instrument behind it."""
        return self.outcome == EARLIER

    @property
    def finished(self) -> bool:
        """Accepted, or booked as not read."""
        return self.outcome != ""

    @property
    def places(self) -> frozenset[Place]:
        """Every record that the booking, as it stands, rests on."""
        entries = [*self.slots.values(), *([self.ended] if self.ended is not None else [])]
        said = [place for place in (self.tape_said, self.extensometer_said) if place is not None]
        return frozenset([*(entry.place for entry in entries), *said])

    @property
    def read_at(self) -> datetime | None:
        """The time of reading: that of the last dial reading, else of the last entry."""
        for slot in (*reversed(DIALS), "zero", "temperature", "hole", "length"):
            entry = self.slots.get(slot)
            if entry is not None and not entry.declined:
                return entry.read_at
        return None

    @property
    def read_order(self) -> int:
        """The running number of the figure that was read last, or of the outcome where it was not read; 0 for a chord
        without figures.
        """
        read = [entry.read_order for entry in self.slots.values() if not entry.declined]
        if not self.was_read and self.ended is not None and self.target.is_frame:
            read.append(self.ended.read_order)
        return max(read, default=0)

    def figures(self) -> Figures | None:
        """The raw figures, once all are in."""
        hole, temperature = self.hole, self.temperature
        if not self.figures_in or hole is None or temperature is None:
            return None
        return Figures(hole, self.dials, temperature)


class Note(Struct, frozen=True):
    """A remark, at a station or chord or for the whole survey."""

    text: str
    entry: Entry
    station: str = ""
    chord: str = ""

    @property
    def line(self) -> tuple[str, str]:
        """As a target's."""
        return line_of((self.station, self.chord))


class State(Struct, frozen=True):
    """A survey as its records tell it. Made by `fold`, changed by nothing else."""

    said: Mapping[str, Entry] = field(default_factory=dict)
    said_before: Mapping[str, tuple[Entry, ...]] = field(default_factory=dict)
    """Answers that a later one took the place of: a tape changed in the middle of the survey, another reader."""
    bookings: Mapping[Target, Booking] = field(default_factory=dict)
    notes: tuple[Note, ...] = ()
    calls: tuple[CallTold, ...] = ()
    struck: tuple[Struck, ...] = ()
    at: str | None = None
    going: Target | None = None
    last: Target | None = None
    ending: bool = False
    closed: bool = False
    shift: timedelta = timedelta()
    """What is added to every time of reading, since the laptop's clock was wrong."""
    unknown: int = 0
    """Records of a kind that this version does not know: counted, never guessed at."""
    entered: int = 0
    """How many records of the walk it comes from: the running number of the last one."""
    strays: int = 0
    """Records that strike out an entry which is not there, or is struck already."""

    def answer(self, what: str) -> str | None:
        """What was said last to a question about the whole survey."""
        entry = self.said.get(what)
        return None if entry is None else entry.typed

    def readings(self, key: tuple[str, str]) -> tuple[Booking, ...]:
        """All bookings of one chord in this survey, read from either end, in order of their number."""
        wanted = line_of(key)
        found = [booking for target, booking in self.bookings.items() if target.is_chord and target.line == wanted]
        return tuple(sorted(found, key=lambda booking: booking.target.reading))

    def nameless(self, what: str) -> tuple[Target, ...]:
        """Bookings whose `tape` or `extensometer` is in no record: a damaged log has lost the answer that named it."""
        if what not in INSTRUMENTS:
            return ()
        booked = (one for one in self.bookings.values() if one.slots and not one.is_earlier)
        return tuple(one.target for one in booked if getattr(one, what) == "")

    def last_temperature(self) -> Decimal | None:
        """The tape temperature read last in this survey."""
        entries = [b.slots["temperature"] for b in self.bookings.values() if "temperature" in b.slots]
        if not entries:
            return None
        return number(max(entries, key=lambda entry: entry.read_order).typed)

    def figure_before(self, target: Target | None = None, slot: str = "") -> tuple[Target, str, Entry] | None:
        """The figure booked last, or the one booked before the one in that slot. None where there is none."""
        booked = [
            (booking.target, name, entry)
            for booking in self.bookings.values()
            for name, entry in booking.slots.items()
            if not entry.declined
        ]
        booked.sort(key=lambda one: one[2].order)
        places = [(one, name) for one, name, _ in booked]
        end = places.index((target, slot)) if target is not None and (target, slot) in places else len(booked)
        return booked[end - 1] if end > 0 else None
