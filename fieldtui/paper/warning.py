"""What is to be looked at in a row that is booked all the same. Pure: the clock's time is an argument."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from fieldtui.job import Reading
from fieldtui.job.ahead import ahead_of
from fieldtui.survey.times import stamp


def of_time(time: datetime, now: datetime) -> Iterator[str]:
    """A row that says it was read later than it is now."""
    if ahead := ahead_of(now, time):
        yield f"its time is {ahead} ahead of this computer's clock ({now:%Y-%m-%d %H:%M} UTC): look at the date"


def of_twin(twin: Reading | None) -> Iterator[str]:
    """A row that stands in another survey too. Both stay: which is one too many is for somebody to say."""
    if twin is None:
        return
    entry = min(twin.booking.slots.values(), key=lambda one: one.order)
    where = f"log {entry.log[:8]}, record {entry.seq}" if entry.log else f"line {entry.seq}"
    yield (
        f"the same figures stand in survey {twin.label}, read {stamp(twin.time)} ({where}): what was read once counts "
        "twice; strike one of the two out in the journal"
    )
