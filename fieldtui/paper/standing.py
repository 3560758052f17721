"""What of a survey is booked already, and where it stands: the rows of a sheet are held against it.

    surveys with one label ──► Standing ── found(row) ──► Booked: the booking, log, seq

Two rows are one and the same reading if station, chord, time of reading, outcome and all figures are the same; of what
was not read station, chord and outcome, and whether a frame or zero is of the start, the end or in between. A tape or
extensometer that the sheet does not name is not compared.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from decimal import Decimal

from msgspec import Struct

from fieldtui.job import Survey
from fieldtui.paper.rows import Row
from fieldtui.route import line_of
from fieldtui.survey import Booking, Target, number
from fieldtui.survey.times import stamp
from fieldtui.survey.words import SLOTS

ENDED = ("accepted", "unread")
Values = frozenset[tuple[str, Decimal | None]]


class Place(Struct, frozen=True):
    """Where a booking stands: the log's id and file name, and the number of its first record there."""

    log: str
    file: str
    seq: int


class Booked(Struct, frozen=True):
    """A booking that is there already, and where it stands."""

    booking: Booking
    place: Place
    since: str = ""
    """What became of it since, in words: struck out, or set right; empty where it stands as it was booked."""


class Standing:
    """The bookings of a survey that is there already."""

    def __init__(self, survey: Survey) -> None:
        self.survey = survey
        self._places = _places(survey)
        self._of: dict[tuple[str, str], list[Booking]] = {}
        for target, booking in sorted(survey.state.bookings.items()):
            self._of.setdefault(target.line, []).append(booking)

    def found(self, row: Row, part: str) -> Booked | None:
        """The booking of a row that is booked already, or None; `part` of the survey, empty for a chord."""
        for booking in self._of.get(line_of((row.station, row.chord)), ()):
            if booking.target not in self._places or not (row.was_read or booking.target.part == part):
                continue
            same = _same_reading(booking, row) if row.was_read else booking.outcome == row.outcome
            if same and booking.finished:
                return Booked(booking, self._places[booking.target])
            if _amended(booking) and _as_booked(booking, row):
                return Booked(booking, self._places[booking.target], _since(booking))
        return None

    def begun(self, row: Row) -> Booked | None:
        """A booking that a kill left half written, to be completed with this row; None where there is none."""
        for booking in self._of.get(line_of((row.station, row.chord)), ()):
            half = not booking.finished and booking.slots and not _amended(booking)
            if half and row.was_read and _part_of(booking, row):
                return Booked(booking, self._places[booking.target])
        return None

    def last_reading(self, station: str, chord: str, part: str) -> int:
        """The number of the newest booking of a chord, or of the frame or zero in a part; 0 where there is none."""
        own = self._of.get(line_of((station, chord)), ())
        return max((booking.target.reading for booking in own if booking.target.part == part), default=0)


def values(slots: Mapping[str, str]) -> Values:
    """Figures by slot as numbers: 12,50 and 12.5 are the same figure."""
    return frozenset((slot, number(typed) if typed.strip() else None) for slot, typed in slots.items())


def sameness(row: Row) -> Hashable:
    """What two rows of a sheet have in common if they book the very same reading."""
    instruments = tuple(row.said.get(what, "") for what in ("tape", "extensometer"))
    time = stamp(row.time) if row.was_read else ""
    return (row.station, row.chord, row.outcome, time, values(row.slots), instruments)


def _same_reading(booking: Booking, row: Row) -> bool:
    return (
        booking.was_read
        and _same_instrument(booking, row)
        and _read_at(booking) == stamp(row.time)
        and _values(booking) == values(row.slots)
    )


def _amended(booking: Booking) -> bool:
    """Whether somebody struck something of it out, with a name: not what was simply booked over."""
    return any(one.who for one in booking.struck)


def _as_booked(booking: Booking, row: Row) -> bool:
    """Whether it is what a row says, as it was before anybody struck anything of it out."""
    if not row.was_read:
        return any(one.slot == "unread" and one.entry.typed == row.outcome for one in booking.struck)
    first = {one.slot: one.entry for one in reversed(booking.struck) if one.who and one.slot not in ENDED}
    slots = {**booking.slots, **first}
    typed = values({slot: entry.typed for slot, entry in slots.items()})
    read = min((stamp(entry.read_at) for entry in slots.values()), default="")
    return _same_instrument(booking, row) and read == stamp(row.time) and typed == values(row.slots)


def _since(booking: Booking) -> str:
    """What was struck out of it, in the words of a field book."""
    told = []
    for one in (one for one in booking.struck if one.who):
        right = f", {one.by.typed} stands instead" if one.by is not None else ""
        what = "" if one.slot in ENDED else f"{SLOTS.get(one.slot, one.slot)} {one.entry.typed} "
        told.append(f"{what}struck out since{right}: {one.reason} ({one.who})")
    return "; ".join(told)


def _part_of(booking: Booking, row: Row) -> bool:
    return (
        _same_instrument(booking, row)
        and _read_at(booking) == stamp(row.time)
        and _values(booking) <= values(row.slots)
    )


def _same_instrument(booking: Booking, row: Row) -> bool:
    stated = (row.said.get("tape", booking.tape), row.said.get("extensometer", booking.extensometer))
    return stated == (booking.tape, booking.extensometer)


def _values(booking: Booking) -> Values:
    return values({slot: entry.typed for slot, entry in booking.slots.items()})


def _read_at(booking: Booking) -> str:
    return stamp(min(entry.read_at for entry in booking.slots.values())) if booking.slots else ""


def _places(survey: Survey) -> dict[Target, Place]:
    found: dict[Target, Place] = {}
    for log in survey.logs:
        for target, seq in first_records((record.kind, record.data, record.seq) for record in log.records):
            found.setdefault(target, Place(log.id, log.path.name, seq))
    return found


def first_records(records: Iterable[tuple[str, Mapping[str, object], int]]) -> Sequence[tuple[Target, int]]:
    """Each booking of a log with the number of its first record."""
    found: dict[Target, int] = {}
    for kind, data, seq in records:
        if kind in ("figure", "unread"):
            found.setdefault(Target.of(data), seq)
    return tuple(found.items())
