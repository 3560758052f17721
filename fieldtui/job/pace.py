"""How fast a chord was moving when it was last read: what may have moved in a gap is pace x gap."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal

from fieldtui.reduction import Length, rate

_DAY = timedelta(days=1)


def pace(readings: Sequence[tuple[datetime, Length]], over_hours: Decimal) -> float | None:
    """Small units a day, whichever way, at the last of these readings, which are in order of time.

    It is the size of the rate that the last reading has: the slope from the newest reading at least so much older.
    Where none is so old, from the oldest; None where there is a single one.
    """
    if not readings:
        return None
    time, last = readings[-1]
    found = rate(last, time, readings[:-1], over_hours) or rate(last, time, readings[:1], Decimal(0))
    return None if found is None else abs(float(found.value))


def days(gap: timedelta) -> float:
    """A span of time in days, whichever way it goes."""
    return abs(gap / _DAY)
