"""Surveys to logs: each is written and synced once, and is then there whole or not at all.

    Sitting + entries ── Desk.book ──► Booked rows: Place

A survey that is not there yet, or whose logs are closed, gets a log of its own, written with one write from its first
record to `closed`: a kill in the middle leaves a file that was never begun, which nobody folds. A survey that waits in
the tunnel to be gone on with gets the rows appended to its own log, and stays open.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from msgspec import Struct

from fieldtui.job import SURVEY, Job, Survey, route_record
from fieldtui.job.closing import closing_data
from fieldtui.job.readings import frame_lengths, shift
from fieldtui.job.walk import Clock
from fieldtui.log import LogFile, LogWriter, Record, heads, short_code
from fieldtui.paper.before import Before
from fieldtui.paper.entries import Entry
from fieldtui.paper.plan import Sitting
from fieldtui.paper.standing import Place, first_records
from fieldtui.reduction import FrameShift
from fieldtui.survey import KINDS, State, Target, fold


class Written(Struct, frozen=True):
    """A survey's rows on the disk: where each booking stands, and a closed log's code for the field book."""

    places: Mapping[Target, Place]
    file: str
    code: str


class Draft(Struct, frozen=True):
    """A record that is not written yet, for the fold."""

    seq: int
    at: str
    kind: str
    data: Mapping[str, Any]


class Desk:
    """Writes the surveys of a sheet one after another; each log witnesses the one before."""

    def __init__(self, job: Job, before: Before, clock: Clock) -> None:
        self._folder: Path = job.folder
        self._route = job.route
        self._before = before
        self._clock = clock
        self._heads = heads(job.logs)

    def book(self, sitting: Sitting, entries: Sequence[Entry]) -> Written:
        """Write a survey's new rows. Errors: those of `LogWriter`; nothing of the survey is booked then."""
        waiting = _waiting(sitting.existing)
        if waiting is not None:
            return self._appended(waiting, entries)
        now = self._clock()
        closed = ("closed", self._closing(sitting, entries, now))
        writer = LogWriter.create(
            self._folder,
            survey=sitting.survey,
            label=sitting.label,
            scope=SURVEY,
            after=self._heads,
            first=[("route", route_record(self._route)), *entries, closed],
            clock=lambda: now,
        )
        writer.close()
        self._heads = [writer.tip]
        return _written(writer, writer.records)

    def _appended(self, log: LogFile, entries: Sequence[Entry]) -> Written:
        writer = LogWriter.reopen(log.path, clock=self._clock, kinds=KINDS)
        try:
            records = writer.append_all(entries)
        finally:
            writer.close()
        self._heads.append(writer.tip)
        return _written(writer, records)

    def _closing(self, sitting: Sitting, entries: Sequence[Entry], now: datetime) -> dict[str, Any]:
        existing = sitting.existing
        start = existing.state if existing is not None else State()
        state = fold(drafts(entries, now), "", start)
        frames = frame_lengths(sitting.route, state, sitting.survey)
        first = min(planned.row.time for planned in sitting.planned)

        def taken_off(tape: str, extensometer: str) -> FrameShift | None:
            instrument = (tape, extensometer)
            reference = self._before.frame_reference(instrument, first, sitting.survey)
            return shift(sitting.route, frames.get(instrument, {}), reference)

        return closing_data(sitting.route, state, sitting.survey, taken_off)


def drafts(entries: Sequence[Entry], at: datetime) -> Iterator[Draft]:
    """Entries as records, before they are written: for the fold that the closing record is made from."""
    return (Draft(seq, at.isoformat(), kind, data) for seq, (kind, data) in enumerate(entries, 2))


def _waiting(survey: Survey | None) -> LogFile | None:
    """The log of a survey that is not closed and can be gone on with."""
    if survey is None or survey.state.closed:
        return None
    last = survey.logs[-1]
    return None if last.problems else last


def _written(writer: LogWriter, records: Sequence[Record]) -> Written:
    found = first_records((record.kind, record.data, record.seq) for record in records)
    places = {target: Place(writer.id, writer.path.name, seq) for target, seq in found}
    return Written(places, writer.path.name, short_code(writer.records[-1].h) if writer.closed else "")
