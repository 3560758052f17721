"""A chord's readings followed in order of time, each with the error that counts against the last.

readings ── follow ──► Followed: the track, and how far each reading was from what was foretold for it
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from math import exp
from types import MappingProxyType

from msgspec import Struct, field

from fieldtui.reduction import sources as names
from fieldtui.reduction.ground import Event, Past
from fieldtui.reduction.laws import BANK, Motion
from fieldtui.reduction.length import Length
from fieldtui.reduction.motion import CALM, Stir, Track

_DAY = timedelta(days=1)
_SHARED = (names.HOLE, names.EXPANSION)

AT_MOST = 60
"""So many of the newest readings are followed: older ones no longer say anything, and a survey must not wait."""
STIR_LENGTH, STIR_RATE, STIR_DAYS = 1.0, 0.8, 4.0
"""What a blast or a new stage may do, standard deviations: mm at once, mm a day, and the days that lasts."""
_AFTERWARDS = 0.05
"""mm a day: of what may remain of it."""


class Followed(Struct, frozen=True):
    """A chord followed to its last reading. The track runs in mm from `origin`, and days from `start`."""

    track: Track
    start: datetime
    origin: float
    """Small units."""
    last: Past
    offs: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    """Survey to how far its reading was off what was foretold, in standard deviations."""
    mm: float = 1.0
    temperatures: tuple[Decimal, ...] = ()
    """Of the newest readings, degree."""

    def day(self, at: datetime) -> float:
        return (at - self.start) / _DAY

    def on(self, past: Past, events: Iterable[Event] = ()) -> Followed:
        """One reading further."""
        variance = off_variance(past.length, self.last.length) / self.mm**2
        value = (float(past.length.value) - self.origin) / self.mm
        stir = stirred(self.last.time, past.time, events) or CALM
        day = self.day(past.time)
        foretold = self.track.foretell(day, variance, stir)
        offs = {**self.offs, past.survey: (value - foretold.mean) / foretold.sd}
        track = self.track.follow(day, value, variance, stir, foretold)
        temperatures = (*self.temperatures[-4:], past.length.figures.temperature)
        return Followed(track, self.start, self.origin, past, MappingProxyType(offs), self.mm, temperatures)


def follow(
    readings: Sequence[Past], events: Iterable[Event] = (), mm: float = 1.0, bank: tuple[Motion, ...] = BANK
) -> Followed | None:
    """Follow readings that are in order of time; None for none. `mm` small units are one millimetre."""
    newest = readings[-AT_MOST:]
    if not newest:
        return None
    first = newest[0]
    known = tuple(events)
    begun = Track.begin(0.0, 0.0, off_variance(None, first.length) / mm**2, bank)
    followed = Followed(
        begun, first.time, float(first.length.value), first, mm=mm, temperatures=(first.length.figures.temperature,)
    )
    for past in newest[1:]:
        followed = followed.on(past, known)
    return followed


def off_variance(length: Length | None, last: Length | None) -> float:
    """Variance of a reading's own error against the chord as the last reading has it; squared small units.

    A punched hole and the tape's steel are the same error in every reading that uses them: they count only as far
    as this reading and the last differ. Without a reading: an ordinary one, with the hole of the last.
    """
    if length is None:
        return _own(last) if last is not None else 0.0
    if last is None:
        return length.u**2
    mine = {source.key: source.effect for source in length.sources}
    theirs = {source.key: source.effect for source in last.sources}
    total = 0.0
    for key, effect in mine.items():
        total += (effect - theirs.get(key, 0.0)) ** 2
    for source in last.sources:
        if source.name in _SHARED and source.key not in mine:
            total += source.effect**2
    return total


def _own(length: Length) -> float:
    return sum(source.effect**2 for source in length.sources if source.name not in _SHARED)


def stirred(since: datetime, until: datetime, events: Iterable[Event]) -> Stir | None:
    """What events between two readings have brought in by the second, mm and days; None for none.

    Something at once, and a velocity that dies away within days: what it has moved and what is left of it go together.
    """
    begun = [event.time for event in events if since < event.time <= until]
    if not begun:
        return None
    passed = (until - min(begun)) / _DAY
    left = exp(-passed / STIR_DAYS)
    moved = STIR_DAYS * (1 - left)
    rate = STIR_RATE**2
    return STIR_LENGTH**2 + rate * moved**2, rate * moved * left, rate * left**2 + _AFTERWARDS**2
