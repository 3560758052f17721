"""One sitting at the journal: what was declared goes into a new log of its own, which is closed at the end.

Sitting(job, by) ── declare(kind, data) ──► checked ──► appended and synced ──► close
"""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Any
from zoneinfo import ZoneInfo

from fieldtui.job.job import Job
from fieldtui.job.journal import JOURNAL
from fieldtui.job.shapes import SHAPES, wrong_with
from fieldtui.job.survey import route_record
from fieldtui.log import LogWriter, Record, heads
from fieldtui.survey import EntryRefused, clean_text

Clock = Callable[[], datetime]


class Sitting:
    """A journal being written by one person. The file is begun with the first declaration; none leaves no file."""

    def __init__(self, job: Job, by: str, clock: Clock) -> None:
        self.job = job
        self.by = clean_text(by)
        if not self.by:
            raise EntryRefused("A journal needs the name of who writes it.", todo="Type a name or initials.")
        self._clock = clock
        self._writer: LogWriter | None = None

    @property
    def path(self) -> Path | None:
        """The journal's file; None while nothing has been declared."""
        return self._writer.path if self._writer is not None else None

    def declare(self, kind: str, data: Mapping[str, Any]) -> Record:
        """Book one declaration; durable on return. `EntryRefused` says what is wrong with it and books nothing.

        Errors besides: those of `LogWriter.create` and `append`.
        """
        if kind not in SHAPES:
            raise EntryRefused(f"“{kind}” is nothing that a journal declares.", todo=f"One of: {', '.join(SHAPES)}.")
        whole = {**data, "by": data.get("by") or self.by}
        wrong = wrong_with(kind, whole)
        if wrong:
            raise EntryRefused(f"This cannot be declared: {'; '.join(wrong)}.", todo="Put it right and try again.")
        if self._writer is None:
            self._writer = self._begun()
        return self._writer.append(kind, whole)

    def close(self) -> None:
        """End the sitting: the file is never written again. May be called twice."""
        if self._writer is not None and not self._writer.closed and not self._writer.dead:
            self._writer.append("closed", {})
        if self._writer is not None:
            self._writer.close()

    def _begun(self) -> LogWriter:
        now = self._clock().astimezone(UTC)
        date = now.astimezone(ZoneInfo(self.job.route.time_zone)).date().isoformat()
        return LogWriter.create(
            self.job.folder,
            survey=secrets.token_hex(8),
            label=f"journal {date}",
            scope=JOURNAL,
            after=heads(self.job.logs),
            first=[("route", route_record(self.job.route))],
            clock=self._clock,
        )

    def __enter__(self) -> Sitting:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()


def declare(job: Job, by: str, declarations: Iterable[tuple[str, Mapping[str, Any]]], clock: Clock) -> Path | None:
    """Write a journal in one go; the file, or None where there was nothing to declare. Errors: those of `Sitting`."""
    with Sitting(job, by, clock) as sitting:
        for kind, data in declarations:
            sitting.declare(kind, data)
        return sitting.path
