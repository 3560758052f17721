"""The table of a chord: raw figures as typed, the length term by term, what it means. Every cell is text."""

from __future__ import annotations

from decimal import Decimal

from msgspec import Struct

from fieldtui.handover.report.words import NONE, SHAPES, Words
from fieldtui.job.history import Row
from fieldtui.reduction import Length
from fieldtui.survey import DIALS

_SHORT = 8
"""Characters."""


class ReadingRow(Struct, frozen=True):
    """One booking with a length. `doubtful` and `open` are said in the row besides being drawn."""

    time: str
    survey: str
    """Its label, where that is not the day itself."""
    hole: str
    dials: str
    temperature: str
    hole_distance: str
    dial: str
    temperature_correction: str
    frame_correction: str
    length: str
    length_u: str
    since_last: str
    since_baseline: str
    rate: str
    level: str
    segment: str
    remark: str
    doubtful: bool

    @property
    def told_below(self) -> bool:
        """Whether its remark is too long for the table's last column and stands in a line of its own."""
        return len(self.remark) > _SHORT


def reading_row(row: Row, words: Words, *, still_open: bool) -> ReadingRow:
    """`ValueError` for a booking without a length."""
    length, booked = row.length, row.booked
    if length is None:
        raise ValueError("not read")
    earlier = booked.outcome == "earlier"
    typed = booked.figures
    return ReadingRow(
        time=words.time(booked.time),
        survey="" if booked.label == words.day(booked.time) else booked.label,
        hole=typed.get("hole", NONE),
        dials=" ".join(typed[slot] for slot in DIALS if typed.get(slot)) or NONE,
        temperature=typed.get("temperature", NONE),
        hole_distance=NONE if earlier else words.length(length.hole_distance),
        dial=NONE if earlier else _dial(length, words),
        temperature_correction=NONE if earlier else _fine(length.temperature_correction, words),
        frame_correction=NONE if earlier else _fine(length.frame_correction, words),
        length=_fine(length.value, words, sign=False),
        length_u=words.expanded(length.u),
        since_last=words.plus_minus(row.since_last),
        since_baseline="baseline"
        if row.baseline and row.since_baseline is None
        else words.plus_minus(row.since_baseline),
        rate=words.plus_minus(row.rate),
        level="" if row.level is None else level_word(row),
        segment=NONE if row.segment is None else str(row.segment),
        remark="; ".join(_remarks(row, still_open)),
        doubtful=row.doubtful,
    )


def level_word(row: Row) -> str:
    """`■ above notice`, `▲ cannot tell notice`, `○ below`, or a dash where no level has a say."""
    if row.level is None:
        return NONE
    name = f" {row.level.level}" if row.level.level is not None else ""
    return f"{SHAPES[row.level.state]} {row.level.state}{name}"


def _dial(length: Length, words: Words) -> str:
    sign = "−" if length.dial_sign < 0 else ""
    return f"{sign}{_fine(length.dial, words, sign=False)}"


def _fine(value: Decimal, words: Words, *, sign: bool = True) -> str:
    """One decimal more than elsewhere: whoever adds the terms up comes to the length as it stands there."""
    rounded = value.quantize(Decimal(1).scaleb(-words.route.units.decimals - 1)) + 0
    return f"{rounded:+f}" if sign else f"{rounded:f}"


def _remarks(row: Row, still_open: bool) -> list[str]:
    said = []
    if row.baseline:
        said.append("baseline")
    if row.doubtful:
        said.append(f"doubtful, not counted: {row.doubt}")
    elif row.confirmed_by:
        said.append(f"doubted ({row.doubt}), confirmed by {row.confirmed_by}")
    elif not row.counts:
        said.append("read again in this survey")
    if row.length is not None and row.length.repeats.agree is False:
        median = ", their median counts" if row.length.repeats.centre == "median" else ""
        said.append(f"repeats do not agree{median}")
    if row.logged_length is not None:
        said.append("the route was corrected since")
    if row.booked.outcome == "earlier":
        said.append("taken over")
    if row.booked.note:
        said.append(row.booked.note)
    if still_open:
        said.append("survey open")
    return said
