"""What is around a survey: the clock, the disk, the folder. Looked at before the start and at every entry, told early.

None of this ever stands in the way of booking: a clock that is wrong is said, and one entry sets it right afterwards.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

from fieldtui.log import LogFile, disk_warning, space_left
from fieldtui.survey import read_time

LITTLE_SPACE = 20_000_000
"""Bytes; a survey of a hundred chords takes about half a million."""
JUMP = timedelta(minutes=2)
"""How far the clock may stray from the time that has passed before it is told."""


def elapsed() -> float:
    """Seconds that never jump and go on while the lid is closed, where the system counts those."""
    boot = getattr(time, "CLOCK_BOOTTIME", None)
    return time.clock_gettime(boot) if boot is not None else time.monotonic()


class Watch:
    """Looks at clock and disk while a survey is walked."""

    def __init__(
        self,
        folder: Path,
        started: datetime,
        ticks: Callable[[], float] = elapsed,
        space: Callable[[Path], int] = space_left,
    ) -> None:
        """`ticks` counts seconds and never jumps."""
        self.folder, self.started, self.ticks, self.space = folder, started, ticks, space
        self.begun = ticks()

    def told(self, now: datetime) -> tuple[str, ...]:
        """What has to be said now, in sentences; mostly nothing."""
        return tuple(self._told(now))

    def _told(self, now: datetime) -> Iterator[str]:
        stray = now - self.started - timedelta(seconds=self.ticks() - self.begun)
        if abs(stray) > JUMP:
            way = "forward" if stray > timedelta(0) else "back"
            minutes = abs(stray).total_seconds() / 60
            # said once: from here on the clock is held against itself as it is now
            self.started, self.begun = now, self.ticks()
            # no key: which one opens the list of all actions is for whoever shows this to say
            yield f"The laptop's clock jumped {way} by {minutes:.0f} min. If it is wrong, set the time right."
        try:
            left = self.space(self.folder)
        except OSError:
            yield f"The disk of {self.folder} does not answer."
            return
        if left < LITTLE_SPACE:
            yield f"Only {left / 1e6:.1f} MB are left on the disk of the logs. Make space soon."


def before_start(folder: Path, logs: tuple[LogFile, ...], now: datetime) -> tuple[str, ...]:
    """What has to be said on the start page: a clock behind the last log, an entry that broke off, a network folder."""
    return tuple(_before_start(folder, logs, now))


def _before_start(folder: Path, logs: tuple[LogFile, ...], now: datetime) -> Iterator[str]:
    newest = max((read_time(log.last.at) for log in logs if log.last is not None), default=None)
    if newest is not None and newest > now + JUMP:
        yield (
            f"The laptop's clock says {now:%d %b %Y %H:%M} UTC, but a log was last written at "
            f"{newest:%d %b %Y %H:%M}. Set the clock before you begin."
        )
    for log in logs:
        if broken_off(log) and _named_later(log, logs):
            yield (
                f"{log.path.name}: its end is missing; another log names an entry of it that is not there. Look for "
                "the whole file on the other laptops and sticks before anything is booked in this survey."
            )
        elif broken_off(log):
            yield (
                f"{log.path.name}: the last entry broke off while it was being written. Resume the survey: what is "
                "not there is asked for again."
            )
    warning = disk_warning(folder)
    if warning:
        yield f"{warning} Keep the logs on the laptop's own disk and copy them afterwards."


def broken_off(log: LogFile) -> bool:
    """Whether a log that can be taken up again ends in the beginning of an entry: a torn tail, not damage."""
    return log.piece is not None and not (log.problems or log.locked or log.closed)


def _named_later(log: LogFile, logs: Iterable[LogFile]) -> bool:
    """Whether another log has seen an entry past the last one of this."""
    last = log.last.seq if log.last is not None else -1
    return any(head["log"] == log.id and int(head["seq"]) > last for other in logs for head in other.named)
