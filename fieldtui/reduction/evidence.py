"""What this survey says beside the chord in hand: other chords read, temperatures, events, earlier bookings.

Other      another chord's reading of this survey, with how far it was from what was expected
Evidence   all of them, as they stand when a figure is booked
"""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from functools import cached_property
from typing import ClassVar

from msgspec import Struct

from fieldtui.reduction.following import off_variance
from fieldtui.reduction.ground import Event
from fieldtui.reduction.length import Length
from fieldtui.route.model import ChordKey


class Other(Struct, frozen=True, dict=True):
    """A complete reading of another chord in this survey."""

    key: ChordKey
    length: Length
    time: datetime
    off: float
    """Booked minus expected, small units, what was expected not having leant on other chords of this survey."""
    spread: float
    """Standard deviation of a clean reading about the expected, small units."""
    agrees: bool = True
    """Whether it was not doubted itself: what is in doubt says nothing of other chords."""

    @cached_property
    def own(self) -> float:
        """Variance of its own error of reading, small units squared: worked out once, since every explanation asks."""
        return off_variance(None, self.length)

    @property
    def z(self) -> float:
        """How far off, in spreads."""
        return self.off / self.spread


class Evidence(Struct, frozen=True):
    """What there is beside the chord. Everything is of this survey."""

    others: tuple[Other, ...] = ()
    """In the order they were read."""
    temperatures: tuple[Decimal, ...] = ()
    """Tape temperatures booked so far, degree, in order."""
    events: tuple[Event, ...] = ()
    """Blasts and stages since the last survey, where the ground does not know of them."""
    again: tuple[Length, ...] = ()
    """Earlier complete bookings of this chord in this survey, in order."""

    NONE: ClassVar[Evidence]

    def at_station(self, station: str) -> tuple[Other, ...]:
        """The other chords of a station that were read."""
        return tuple(other for other in self.others if other.key[0] == station)


Evidence.NONE = Evidence()
