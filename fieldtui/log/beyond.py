"""Entries past the point where another file goes on with their log: they are shown, and folded by nobody.

The last entry of a log whose disk failed may stand there and be booked again in the file that goes on: that one is not
lost. Any other was booked by somebody who took up the old file where the new one was not to be seen.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence

from msgspec import Struct

from fieldtui.log.reader import LogFile
from fieldtui.log.record import Record


class Beyond(Struct, frozen=True):
    """`entries` of `log` that count nowhere, since `goes_on` goes on before them."""

    log: LogFile
    goes_on: LogFile
    entries: tuple[Record, ...]

    def __str__(self) -> str:
        count = len(self.entries)
        stand = f"{count} entries stand" if count > 1 else "one entry stands"
        return (
            f"{self.log.path.name}: {stand} past the point where {self.goes_on.path.name} goes on, booked at "
            f"{self.entries[0].at} and later; what stands there counts nowhere"
        )


def beyond(logs: Sequence[LogFile]) -> Iterator[Beyond]:
    """Every log with entries that count nowhere."""
    for log in logs:
        if not log.beyond:  # as nearly always: others are looked through only for one that has some
            continue
        going_on = [other for other in logs if other.continues is not None and other.continues["log"] == log.id]
        again = {_entry(record) for other in going_on for record in other.records}
        lost = tuple(record for record in log.beyond if _entry(record) not in again)
        if lost and going_on:
            yield Beyond(log, going_on[0], lost)


def _entry(record: Record) -> tuple[str, str]:
    return record.kind, json.dumps(record.data, sort_keys=True)
