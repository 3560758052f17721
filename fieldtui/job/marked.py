"""What is marked on the lengths of a chord, each mark once: how many readings carry it, from when to when."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime

from fieldtui.job.history import Row


def marked(rows: Iterable[Row], time: Callable[[datetime], str]) -> Iterator[str]:
    """Sentences, in the order in which the marks came first; `time` says a time in words. Readings that count alone."""
    carried: dict[str, list[datetime]] = {}
    for row in rows:
        for mark in row.marks if row.length is not None and row.counts else ():
            carried.setdefault(mark, []).append(row.booked.time)
    for mark, times in carried.items():
        many = f"{len(times)} readings, " if len(times) > 1 else ""
        ends = dict.fromkeys((time(times[0]), time(times[-1])))
        yield f"{many}{' to '.join(ends)}: {mark}"
