"""Inverse velocity: 1 / rate against time, as points for people to discuss (Fukuzono 1985; Voight 1988).

Nothing is drawn through them and nothing is read off: no date comes out of here.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from msgspec import Struct

MATTER = "A matter for discussion. The program draws no line through these points and reads no date off them."
_CLEAR = 2.0


class InversePoint(Struct, frozen=True):
    """Days a small unit, with its standard uncertainty to first order."""

    time: datetime
    value: float
    u: float


def inverse_velocities(rates: Iterable[tuple[datetime, float, float]]) -> tuple[InversePoint, ...]:
    """From (time, rate a day, standard uncertainty), closing positive. Only rates of closing that are clearly some:
    one within twice its uncertainty of nothing has no inverse to speak of."""
    return tuple(
        InversePoint(time, 1 / rate, u / rate**2) for time, rate, u in rates if rate > 0 and rate >= _CLEAR * u
    )
