"""Every booking as a row: raw figures as typed, the length term by term, what it means, where it stands in the logs.

Job.history ──► chords, doubtful, struck and not read ones too     ┐
surveys     ──► control frame and dial zero                        ┴──► one table, in order of reading time
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from msgspec import Struct

from fieldtui.handover.columns import Cell, Sheet, figure
from fieldtui.handover.reading_columns import READINGS, U
from fieldtui.handover.things import Instruments
from fieldtui.job import Job, Survey, reduce_booking
from fieldtui.job.booked import answered
from fieldtui.job.history import Row
from fieldtui.progress import Progress, counted, silent
from fieldtui.reduction import Length, Quantity, Rate
from fieldtui.route import Control, Extensometer, Route, Tape
from fieldtui.survey import DIALS, Booking, Entry, Struck

_SIX = Decimal("0.000001")
Cells = dict[str, Cell]


class _Table(Struct, frozen=True):
    """What every row is made with."""

    job: Job
    versions: Instruments
    zone: ZoneInfo
    progress: Progress

    def local(self, moment: datetime | None) -> datetime | None:
        return None if moment is None else moment.astimezone(self.zone)

    def thing(self, kind: str, thing: Tape | Extensometer | Control | None) -> Cells:
        """The version of an instrument's data that a reading was reduced with."""
        return {} if thing is None else {f"{kind}_version": self.versions.version(thing)}


def readings(job: Job, versions: Instruments, progress: Progress = silent) -> Sheet:
    """The table of readings."""
    table = _Table(job, versions, ZoneInfo(job.route.time_zone), progress)
    rows = [*_chords(table), *_proofs(table)]
    rows.sort(key=lambda row: (str(row["_order"]), str(row["log"]), int(str(row["seq"]))))
    return Sheet("readings", "Readings, as booked and as reduced", READINGS, rows, ("log", "seq"))


def _chords(table: _Table) -> Iterator[Cells]:
    for row in counted("laying out readings", table.job.history(), table.progress):
        booked = row.booked
        yield {
            **_where(table, booked.time, booked.label, booked.survey, booked.place),
            "station": row.station,
            "chord": row.chord,
            "reading": booked.target.reading,
            "outcome": booked.outcome,
            "observer": booked.observer or None,
            "recorder": booked.recorder or booked.observer or None,
            **_raw(booked.figures),
            **_instrument(table, booked.tape, booked.extensometer, row.route if row.length is not None else None),
            **_length(row.length, earlier=booked.outcome == "earlier"),
            **_meaning(table, row),
            "doubtful": row.doubtful,
            "doubt": row.doubt or None,
            "marks": "; ".join(row.marks) or None,
            "confirmed_by": row.confirmed_by or None,
            "reason": booked.reason or None,
            "note": booked.note or None,
            "struck": _struck(booked.struck),
        }


def _proofs(table: _Table) -> Iterator[Cells]:
    """What proves the instrument: control frame and dial zero."""
    for survey in table.job.counting:
        route = table.job.corrections.route(survey.route, survey.started)
        for target, booking in sorted(survey.state.bookings.items()):
            if not target.is_chord:
                yield _proof(table, survey, route, booking)


def _proof(table: _Table, survey: Survey, route: Route, booking: Booking) -> Cells:
    target = booking.target
    first = min((*booking.slots.values(), *_ended(booking)), key=lambda entry: (entry.read_at, entry.seq))
    time = booking.read_at or first.read_at
    length = reduce_booking(route, booking, survey.id) if target.is_frame and booking.was_read else None
    typed = {("dial_1" if slot == "zero" else slot): entry.typed for slot, entry in booking.slots.items()}
    frame = route.controls[0] if target.is_frame and route.controls else None
    observer = answered(survey.state, "reader", time)
    return {
        **_where(table, time, table.job.labels[survey.id], survey.id, first.place),
        "chord": target.chord,
        "part": target.part,
        "reading": target.reading,
        "outcome": booking.outcome or "unfinished",
        "observer": observer or None,
        "recorder": answered(survey.state, "recorder", time) or observer or None,
        **_raw(typed),
        **_instrument(table, booking.tape, booking.extensometer, route if length is not None else None),
        "control_frame": frame.name if frame is not None else None,
        **table.thing("control_frame", frame),
        **_length(length),
        "reason": booking.reason or None,
        "struck": _struck(booking.struck),
    }


def _ended(booking: Booking) -> tuple[Entry, ...]:
    struck = tuple(one.entry for one in booking.struck)
    return struck if booking.ended is None else (booking.ended, *struck)


def _where(table: _Table, time: datetime, label: str, survey: str, place: tuple[str, int]) -> Cells:
    return {
        "_order": time.isoformat(),
        "survey": label,
        "survey_id": survey,
        "time": table.local(time),
        "time_zone": table.zone.key,
        "log": place[0],
        "seq": place[1],
    }


def _raw(typed: Mapping[str, str]) -> Cells:
    return {name: figure(typed[name]) for name in ("hole", *DIALS, "temperature") if name in typed}


def _instrument(table: _Table, tape: str, extensometer: str, route: Route | None) -> Cells:
    cells: Cells = {"tape": tape or None, "extensometer": extensometer or None}
    if route is not None:
        cells |= table.thing("tape", route.tape(tape)) | table.thing("extensometer", route.extensometer(extensometer))
    return cells


def _length(length: Length | None, *, earlier: bool = False) -> Cells:
    if length is None:
        return {}
    terms = length.terms
    whole: Cells = {"length": exact(length.value), "length_u": exact(length.u)}
    if earlier:
        return whole
    return {
        "hole_distance": exact(length.hole_distance),
        "dial": exact(length.dial),
        "dial_is": length.repeats.centre,
        "repeats_agree": length.repeats.agree,
        "raw_length": exact(length.raw),
        "temperature_correction": exact(length.temperature_correction),
        "frame_correction": exact(length.frame_correction),
        **whole,
        **{column: exact(terms[name]) for name, column in U.items() if name in terms},
    }


def _meaning(table: _Table, row: Row) -> Cells:
    return {
        "logged_length": exact(row.logged_length.value) if row.logged_length is not None else None,
        "segment": row.segment,
        "baseline": row.baseline,
        "counts": row.counts,
        **_moved("change", row.since_last),
        "change_since": table.local(row.last_time),
        **_moved("since_baseline", row.since_baseline),
        **_moved("total", row.total),
        "epoch": row.epoch or None,
        **_moved("since_epoch", row.since_epoch),
        **_moved("rate", row.rate),
        "rate_since": table.local(row.rate.since) if row.rate is not None else None,
        "level": row.level.state if row.level is not None else None,
        "level_name": row.level.level if row.level is not None else None,
    }


def _moved(name: str, moved: Quantity | Rate | None) -> Cells:
    return {} if moved is None else {name: exact(moved.value), f"{name}_u": exact(moved.u)}


def _struck(struck: tuple[Struck, ...]) -> str | None:
    """What no longer counts, as in a field book: the old figure, the new one, who and why."""
    told = []
    for one in struck:
        new = f" -> {one.by.typed}" if one.by is not None else ""
        why = ", ".join(part for part in (one.who, one.reason) if part)
        told.append(f"{one.slot} {one.entry.typed}{new}{f' ({why})' if why else ''}")
    return "; ".join(told) or None


def exact(value: Decimal | float) -> Decimal:
    """A figure that was worked out, to a millionth of the small unit, as every export writes it."""
    return (value if isinstance(value, Decimal) else Decimal(repr(value))).quantize(_SIX) + 0
