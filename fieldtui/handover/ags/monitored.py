"""Readings as MOND: each repeat, the tape's temperature, length, change since the baseline, rate, level.

Struck out and unfinished bookings are left out. One that was not read, or of which no length can be worked out, has a
row without a figure that says why.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import UTC
from decimal import Decimal

from msgspec import Struct

from fieldtui.handover.ags import groups
from fieldtui.handover.ags.groups import Group, Heading
from fieldtui.handover.ags.places import NOWHERE
from fieldtui.handover.ags.signs import Signs
from fieldtui.handover.ags.standing import LENGTH, NO_FIGURE
from fieldtui.handover.part import Part
from fieldtui.handover.readings import exact
from fieldtui.job.booked import STRUCK, UNFINISHED
from fieldtui.job.history import Row
from fieldtui.progress import Progress, counted
from fieldtui.reduction import Length
from fieldtui.route import Units
from fieldtui.survey import DIALS

_MOND = (
    Heading("LOCA_ID", "ID"),
    Heading("MONG_ID"),
    Heading("MONG_DIS", "2DP", "m"),
    Heading("MOND_DTIM", "DT", "yyyy-mm-ddThh:mm:ss"),
    Heading("MOND_TYPE", "PA"),
    Heading("MOND_REF"),
    Heading("MOND_INST"),
    Heading("MOND_RDNG", "XN"),
    Heading("MOND_UNIT", "PU"),
    Heading("MOND_METH"),
    Heading("MOND_REM"),
)
_DEGREE = {"degC": "DegC", "degF": "DegF"}
_STATES = ("below", "cannot tell", "above")
_TAPE = "Tape extensometer"


class _Figure(Struct, frozen=True):
    """One row of a booking."""

    type: str
    number: int
    value: Decimal | None
    unit: str
    method: str = _TAPE
    remark: str = ""


def monitored(part: Part, signs: Signs, progress: Progress) -> Group | None:
    """The group; None where nothing was read, since a group has rows."""
    rows = [row for row in part.rows() if row.booked.outcome not in (STRUCK, UNFINISHED)]
    return Group("MOND", _MOND, _rows(rows, part.job.route.units, signs, progress)) if rows else None


def _rows(rows: list[Row], units: Units, signs: Signs, progress: Progress) -> Iterator[groups.Row]:
    seen: Counter[tuple[str, ...]] = Counter()
    for row in counted("writing readings", rows, progress):
        booked = row.booked
        time = booked.time.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="seconds")
        where = f"station {row.station}, chord {row.chord}, survey {booked.label}, {time}"
        place = (signs.field(row.station, where), signs.field(row.chord, where))
        serials = ", ".join(one for one in (booked.tape, booked.extensometer) if one)
        instrument = signs.field(serials, f"{where}, serials")
        for one in _figures(row, units):
            key = (*place, time, one.type, str(one.number))
            seen[key] += 1
            # two bookings of one chord in one second: the later ones are told apart
            reference = f"{one.number}" if seen[key] == 1 else f"{one.number} ({seen[key]})"
            remark = signs.field(one.remark, f"{where}, note or reason")
            yield *place, NOWHERE, time, one.type, reference, instrument, one.value, one.unit, one.method, remark


def _figures(row: Row, units: Units) -> Iterator[_Figure]:
    length = row.length
    if length is None:
        yield _Figure(NO_FIGURE, 1, None, "UNITLESS", remark=_said(row, row.booked.outcome, _typed(row)))
        return
    if row.booked.outcome != "earlier":
        yield from _raw(length, row, units)
    said = _said(row, _u(length.u, units.small))
    centre = "taken over from earlier records" if row.booked.outcome == "earlier" else length.repeats.centre
    yield _Figure(LENGTH, 1, exact(length.value), units.small, f"{_TAPE}; {centre}", said)
    if row.since_baseline is not None:
        since = _u(row.since_baseline.u, units.small)
        yield _Figure("DSPA", 1, exact(row.since_baseline.value), units.small, remark=since)
    if row.rate is not None:
        a_day = f"{units.small}/day"
        since = f"since {row.rate.since.astimezone(UTC).replace(tzinfo=None).isoformat(timespec='seconds')}"
        yield _Figure("VEL", 1, exact(row.rate.value), a_day, remark=f"{since}; {_u(row.rate.u, a_day)}")
    if row.level is not None:
        state = Decimal(_STATES.index(row.level.state))
        name = f": {row.level.level}" if row.level.level else ""
        yield _Figure("STAT", 1, state, "UNITLESS", remark=f"{row.level.state}{name}")


def _raw(length: Length, row: Row, units: Units) -> Iterator[_Figure]:
    """Each repeat as a distance, and the temperature of the tape."""
    typed = [row.booked.figures[slot] for slot in DIALS if row.booked.figures.get(slot)]
    for number, (dial, text) in enumerate(zip(length.figures.dials, typed, strict=True), 1):
        distance = length.hole_distance + length.dial_sign * dial
        yield _Figure("DSTL", number, distance, units.small, remark=f"hole {length.figures.hole}, dial {text}")
    yield _Figure("TEMP", 1, length.figures.temperature, _DEGREE[units.degree], "Thermometer at the tape")


def _said(row: Row, *first: str) -> str:
    """What is known of a booking beside its figures."""
    doubt = f"{'doubtful' if row.doubtful else 'was doubtful'}: {row.doubt}" if row.doubt else ""
    reason = f"kept or not read because: {row.booked.reason}" if row.booked.reason else ""
    note = f"note: {row.booked.note}" if row.booked.note else ""
    return "; ".join(one for one in (*first, doubt, reason, *row.marks, note) if one)


def _typed(row: Row) -> str:
    figures = ", ".join(f"{slot} {text}" for slot, text in row.booked.figures.items() if text)
    return f"as typed: {figures}" if figures else ""


def _u(value: float, unit: str) -> str:
    return f"standard uncertainty {exact(value):f} {unit}"
