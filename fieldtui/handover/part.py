"""The part of a job that is exported: the job as it had been read by a time, and the rows from a time on.

What was declared since (`--as-of`) stands in the figures; what was said since is left out of the notes.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from zoneinfo import ZoneInfo

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.handover.columns import Sheet
from fieldtui.handover.report.scope import moment, refuse_turned_round, until
from fieldtui.job import Job
from fieldtui.job.history import Row
from fieldtui.survey import read_time


class Part(Struct, frozen=True):
    """`job` holds what had been read by `end`, where that is given; rows are those read from `begin` on."""

    job: Job
    begin: datetime | None = None
    end: datetime | None = None

    def has(self, time: datetime) -> bool:
        """Whether what was read or said at a time is in it."""
        return (self.begin is None or time >= self.begin) and (self.end is None or time <= self.end)

    def rows(self) -> list[Row]:
        """The bookings that are in it."""
        return [row for row in self.job.history() if self.has(row.booked.time)]

    def of(self, sheet: Sheet) -> Sheet:
        """The rows of a table that are in it. Every row has a time."""
        return replace(
            sheet, rows=[row for row in sheet.rows if isinstance(at := row["time"], datetime) and self.has(at)]
        )

    def made(self) -> datetime | None:
        """The date that an export bears: the end, else the last reading, so that the same logs give the same bytes.

        Where nothing was read, the last entry of any log; nothing where there is none.
        """
        return self.end or max(self._times(), default=None) or max(self._written(), default=None)

    def _times(self) -> Iterable[datetime]:
        return (row.booked.time for row in self.job.history())

    def _written(self) -> Iterable[datetime]:
        return (read_time(log.last.at) for log in self.job.logs.logs if log.last is not None)


def part_of(job: Job, since: str = "", as_of: str = "") -> Part:
    """Days and times as they are typed, in the route's zone. `FieldError` for one that is none."""
    zone = ZoneInfo(job.route.time_zone)
    begin = moment(since, zone, "--since") if since else None
    end = moment(as_of, zone, "--as-of", end_of_day=True) if as_of else None
    refuse_turned_round(begin, end, since)
    return Part(until(job, end) if end is not None else job, begin, end)
