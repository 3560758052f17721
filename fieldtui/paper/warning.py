"""What is to be looked at in a row that is booked all the same. Pure: the clock's time is an argument."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from fieldtui.job.ahead import ahead_of


def of_time(time: datetime, now: datetime) -> Iterator[str]:
    """A row that says it was read later than it is now."""
    if ahead := ahead_of(now, time):
        yield f"its time is {ahead} ahead of this computer's clock ({now:%Y-%m-%d %H:%M} UTC): look at the date"
