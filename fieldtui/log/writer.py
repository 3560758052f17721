"""The one writer of a log: a record is durable when `append` returns.

    create        a new file: exclusive, locked, record 0 and the first records, fsync, fsync of its folder
    reopen        lock, read, heal a torn tail, repeat the last entries in `resumed`
    append        one line, one write, one fsync
    append_all    many lines, one write, one fsync
    continue_in   after a failed write: a new file that names the last saved record of this one
    close         release the lock; writes nothing

A failed write or fsync ends the file for writing. fsync is never tried again: the system may have dropped the page
and would say yes to a second call.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from threading import Lock
from typing import Any, NoReturn

from fieldtui.log import opening
from fieldtui.log.calls import OS, OsCalls
from fieldtui.log.identity import Identity
from fieldtui.log.reader import LogFile
from fieldtui.log.record import BATCH, BOOKKEEPING, CLOSED, Record, booking_time, parse, seal
from fieldtui.log.refusals import LogRefused, WriteFailed

Entry = tuple[str, Mapping[str, Any]]
Clock = Callable[[], datetime]


class LogWriter:
    """An open log. `records` are its entries so far, as `LogFile.records` has them."""

    def __init__(self, opened: opening.Opened, *, clock: Clock, calls: OsCalls, identity: Identity | None) -> None:
        self.path = opened.path
        self.records = opened.records
        self._fd: int | None = opened.fd
        self._seq, self._h, self._size = opened.seq, opened.h, opened.size
        self._dead = False
        self._turn = Lock()  # one entry commits after the last is durable, whichever thread brings it
        self._clock, self._calls, self._identity = clock, calls, identity

    @classmethod
    def create(
        cls,
        folder: Path,
        *,
        survey: str,
        label: str,
        scope: str,
        after: Sequence[Mapping[str, Any]],
        first: Sequence[Entry] = (),
        clock: Clock,
        identity: Identity | None = None,
        calls: OsCalls = OS,
        log_id: str | None = None,
        continues: Mapping[str, Any] | None = None,
    ) -> LogWriter:
        """A new log with record 0 and `first` (the route), durable on return.

        A closing record at the end of `first` goes by itself, as in `append_all`. The folder is made where it is not
        there. Raises LogRefused where the folder takes no file or the label is too
        long for record 0, WriteFailed where the first records did not reach the disk.
        """
        head = {"survey": survey, "label": label, "scope": scope}
        closing = len(first) - 1 if first and first[-1][0] == CLOSED else len(first)
        moment = clock()
        opened = opening.create(
            folder,
            head=head,
            after=after,
            first=first[:closing],
            moment=moment,
            identity=identity or Identity.of_this_process(),
            calls=calls,
            log_id=log_id,
            continues=continues,
        )
        writer = cls(opened, clock=clock, calls=calls, identity=identity)
        try:
            writer.append_all(first[closing:], [moment] * len(first[closing:]))
        except BaseException:
            writer.close()
            raise
        return writer

    @classmethod
    def reopen(
        cls,
        path: Path,
        *,
        clock: Clock,
        calls: OsCalls = OS,
        identity: Identity | None = None,
        kinds: Collection[str] | None = None,
    ) -> LogWriter:
        """Go on with a log that was not closed.

        Raises LogLocked where another program has it, LogRefused where it is closed, damaged, continued elsewhere, of a
        newer format, holds a kind of entry outside `kinds`, or cannot be written; WriteFailed where the
        resumption did not reach the disk.
        """
        opened = opening.reopen(
            path,
            moment=clock(),
            identity=identity or Identity.of_this_process(),
            calls=calls,
            kinds=kinds,
        )
        return cls(opened, clock=clock, calls=calls, identity=identity)

    @property
    def id(self) -> str:
        return str(self.records[0].data["log"])

    @property
    def closed(self) -> bool:
        """True after the closing record; the file is never written again."""
        return self.records[-1].kind == CLOSED

    @property
    def dead(self) -> bool:
        """True after a failed write: only `continue_in` goes on."""
        return self._dead

    @property
    def tip(self) -> dict[str, Any]:
        """The last saved record, as `after` names it."""
        return {"log": self.id, "seq": self._seq, "h": self._h}

    def append(self, kind: str, data: Mapping[str, Any]) -> Record:
        """Book one entry; durable on return.

        WriteFailed where it did not reach the disk; LogRefused where this log takes no entries; TypeError or
        ValueError, with nothing written, for data that JSON cannot hold.
        """
        with self._turn:
            self._refuse_unless_open(kind)
            line = seal(self._seq + 1, booking_time(self._clock()), kind, dict(data), self._h)
            record = parse(line)
            self._commit(line, record.seq, record.h)
            self.records.append(record)
            return record

    def append_all(self, entries: Sequence[Entry], ats: Sequence[datetime] | None = None) -> list[Record]:
        """Book many entries with one write and one fsync; all are durable on return, none is said to be before.

        A closing record goes by itself, after the others are durable: a closed file cannot be healed.
        """
        times = [booking_time(at) for at in ats] if ats is not None else [booking_time(self._clock())] * len(entries)
        if len(times) != len(entries):
            raise ValueError("as many times as entries")
        with self._turn:
            if len(entries) > 1 and entries[-1][0] == CLOSED:
                return self._append_unit(entries[:-1], times[:-1]) + self._append_unit(entries[-1:], times[-1:])
            return self._append_unit(entries, times)

    def _append_unit(self, entries: Sequence[Entry], times: Sequence[str]) -> list[Record]:
        if not entries:
            return []
        for kind, _ in entries:
            self._refuse_unless_open(kind)
        numbered = [(at, kind, dict(data)) for at, (kind, data) in zip(times, entries, strict=True)]
        if len(numbered) > 1:
            # names the extent of this write, so that a resumption knows which entries to repeat
            numbered.insert(0, (times[0], BATCH, {"records": len(entries)}))
        lines, records = [], []
        h = self._h
        for seq, (at, kind, data) in enumerate(numbered, self._seq + 1):
            lines.append(seal(seq, at, kind, data, h))
            records.append(parse(lines[-1]))
            h = records[-1].h
        self._commit(b"".join(lines), records[-1].seq, h)
        booked = [record for record in records if record.kind not in BOOKKEEPING]
        self.records += booked
        return booked

    def continue_in(
        self, folder: Path, *, first: Sequence[Entry] = (), after: Sequence[Mapping[str, Any]] = ()
    ) -> LogWriter:
        """A new log, here or elsewhere, that goes on after the last saved record of this one.

        Without `first` the entry behind record 0 (the route) is repeated. This writer is released once the new file is
        durable; where that fails too, another folder can be tried.
        """
        new = LogWriter._going_on(
            self.records, self.tip, folder, first, after, self._clock, self._calls, self._identity
        )
        self._dead = True
        self.close()
        return new

    @classmethod
    def continuing(
        cls,
        old: LogFile,
        folder: Path,
        *,
        clock: Clock,
        first: Sequence[Entry] = (),
        after: Sequence[Mapping[str, Any]] = (),
        calls: OsCalls = OS,
        identity: Identity | None = None,
    ) -> LogWriter:
        """A new log that goes on after a log which cannot be written: damaged, or on a disk that takes no more.

        LogRefused where the old one has no first record or is closed; else as `create`.
        """
        if old.last is None or not old.head or old.closed:
            raise LogRefused("There is nothing to go on from.", where=str(old.path), todo="Start a new log.")
        tip = {"log": old.id, "seq": old.last.seq, "h": old.last.h}
        return cls._going_on(old.records, tip, folder, first, after, clock, calls, identity)

    @classmethod
    def _going_on(
        cls,
        records: Sequence[Record],
        tip: Mapping[str, Any],
        folder: Path,
        first: Sequence[Entry],
        after: Sequence[Mapping[str, Any]],
        clock: Clock,
        calls: OsCalls,
        identity: Identity | None,
    ) -> LogWriter:
        head = records[0].data
        again = [(record.kind, record.data) for record in records[1:2] if record.seq < head.get("with", 1)]
        return cls.create(
            folder,
            survey=head["survey"],
            label=head["label"],
            scope=head["scope"],
            after=after,
            first=first or again,
            clock=clock,
            identity=identity,
            calls=calls,
            continues=tip,
        )

    def close(self) -> None:
        """Release the lock and the file; writes nothing, may be called twice."""
        if self._fd is not None:
            fd, self._fd = self._fd, None
            opening.release(fd, self._calls)

    def __enter__(self) -> LogWriter:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _refuse_unless_open(self, kind: str) -> None:
        if kind in BOOKKEEPING or not kind:
            raise ValueError(f"{kind!r} is not a kind of entry")
        if self._dead:
            self._fail("An earlier record did not reach the disk; this file takes no more.")
        if self._fd is None:
            raise LogRefused("The log has been released.", where=str(self.path), todo="Open it again.")
        if self.closed:
            raise LogRefused(
                "The log is closed and never written again.", where=str(self.path), todo="Start a new one."
            )

    def _commit(self, content: bytes, seq: int, h: str) -> None:
        """Write and sync; whatever happens in between, this file takes no more unless all of it went well."""
        if self._fd is None:
            raise LogRefused("The log has been released.", where=str(self.path), todo="Open it again.")
        self._dead = True
        try:
            opening.write_durably(self._fd, content, self._size, self._calls)
        except OSError as error:
            self._fail(f"The record was not saved: {error.strerror or error}.", error)
        self._size += len(content)
        self._seq, self._h = seq, h
        self._dead = False

    def _fail(self, what: str, error: OSError | None = None) -> NoReturn:
        raise WriteFailed(
            what,
            where=str(self.path),
            todo="The figures on the screen are not saved; go on in a new file, here once there is space or elsewhere.",
        ) from error
