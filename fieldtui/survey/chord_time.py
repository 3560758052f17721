"""How long the chords of a survey took: at the tape, and from one to the next. Shown at its end."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from itertools import pairwise
from statistics import median

from msgspec import Struct

from fieldtui.survey.state import State

_LONGEST = 3600.0
"""Seconds; a longer pause between two chords is a break and not the work."""


class ChordTimes(Struct, frozen=True):
    """Seconds for each chord read, in the order in which they were accepted; times without sense are left out.

    `at_the_tape`: from the hole booked to the reading accepted. `apart`: from one accepted to the next.
    """

    at_the_tape: tuple[float, ...]
    apart: tuple[float, ...]


def chord_times(state: State) -> ChordTimes:
    """What the times of a survey's entries tell of its pace."""
    begun_ended: list[tuple[datetime, datetime]] = []
    for booking in sorted(state.bookings.values(), key=lambda one: one.ended.order if one.ended is not None else 0):
        hole = booking.slots.get("hole")
        if booking.target.is_chord and booking.was_read and booking.ended is not None and hole is not None:
            begun_ended.append((hole.read_at, booking.ended.read_at))
    at_the_tape = [(ended - begun).total_seconds() for begun, ended in begun_ended]
    apart = [(after - before).total_seconds() for (_, before), (_, after) in pairwise(begun_ended)]
    return ChordTimes(worked(at_the_tape), worked(apart))


def worked(seconds: Iterable[float]) -> tuple[float, ...]:
    """The spans, seconds, in which somebody was at work: neither none nor a break."""
    return tuple(one for one in seconds if 0 < one < _LONGEST)


def pace_words(times: ChordTimes) -> str:
    """One sentence, or nothing where no chord tells."""
    if not times.at_the_tape:
        return ""
    shortest, longest = min(times.at_the_tape), max(times.at_the_tape)
    count = len(times.at_the_tape)
    of = f" of {count}, {_span(shortest)} to {_span(longest)}" if count > 1 else ""
    next_one = f"; {_span(median(times.apart))} from one to the next" if times.apart else ""
    return f"A chord took {_span(median(times.at_the_tape))} from hole to accepted (median{of}){next_one}."


def _span(seconds: float) -> str:
    whole = round(seconds)
    return f"{whole} s" if whole < 100 else f"{whole // 60} min {whole % 60:02} s"
