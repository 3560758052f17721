"""A log as read from its file. Readers never append; a log that another program has open is read as it stands.

read_log    one file -> LogFile
scan        bytes -> chain and whole lines, pure
log_of      chain and lines -> LogFile, pure
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from fieldtui.log.calls import OS, OsCalls, read_all
from fieldtui.log.chain import Chain, Damage, Piece
from fieldtui.log.record import AFTER, BATCH, BOOKKEEPING, CLOSED, FORMAT, LOG, RESUMED, TORN, Record, number, parse
from fieldtui.log.refusals import LogRefused

State = Literal["whole", "unclosed", "open", "torn", "damaged", "empty"]


@dataclass(frozen=True, slots=True)
class LogFile:
    """One log: its entries in order, and what must be told about its bytes.

    `records` are the entries; what the log writes for itself (`resumed`, `torn`, `batch`, `after`) has had its
    effect and is left out. `beyond` are entries past the point where another file goes on: shown, not folded.
    """

    path: Path
    records: tuple[Record, ...]
    last: Record | None  # the head, bookkeeping included
    head: dict[str, Any]
    after: tuple[dict[str, Any], ...]  # heads of other logs that this one witnesses
    unit: tuple[int, int]  # first and last seq of the last entries written at one go
    chain: tuple[tuple[int, str], ...]  # seq and hash of every whole record, bookkeeping included
    size: int
    locked: bool
    problems: tuple[Damage, ...]
    marks: tuple[Damage, ...]
    piece: Piece | None
    terminated: bool
    resumed: dict[str, Any]  # data of the last resumption, or empty
    beyond: tuple[Record, ...] = ()

    @property
    def id(self) -> str:
        return str(self.head.get("log", ""))

    @property
    def survey(self) -> str:
        return str(self.head.get("survey", ""))

    @property
    def label(self) -> str:
        return str(self.head.get("label", ""))

    @property
    def continues(self) -> dict[str, Any] | None:
        """The log, seq and hash that this file goes on from, or None."""
        return self.head.get("continues")

    @property
    def closed(self) -> bool:
        """True where the closing record was written; such a file is never written again."""
        return self.last is not None and self.last.kind == CLOSED

    @property
    def begun(self) -> bool:
        """True where the creation was complete; before that nothing was said to be saved."""
        return bool(self.head) and (bool(self.problems) or len(self.chain) >= int(self.head.get("with", 1)))

    @property
    def newer(self) -> bool:
        """True for a format later than this program's: read and counted, not written."""
        return bool(self.head) and self.head.get("format") != FORMAT

    @property
    def holder(self) -> dict[str, Any]:
        """Who opened the log last: machine, pid, user, boot."""
        return self.resumed or self.head

    @property
    def state(self) -> State:
        if self.problems:
            return "damaged"
        if self.locked:
            return "open"
        if not self.begun:
            return "empty"
        if self.closed:
            return "whole"
        return "torn" if self.piece is not None else "unclosed"


def read_log(path: Path, *, calls: OsCalls = OS) -> LogFile:
    """Read one log; LogRefused where the file cannot be read."""
    try:
        fd = calls.open_read(path)
        try:
            locked = _is_held(calls, fd)
            content = read_all(calls, fd)
            locked = locked or _is_held(calls, fd)
        finally:
            calls.close(fd)
    except OSError as error:
        raise LogRefused(
            f"The log cannot be read: {error.strerror or error}.", where=str(path), todo="Look at the disk it lies on."
        ) from error
    return log_of(path, content, *scan(content), locked=locked)


def _is_held(calls: OsCalls, fd: int) -> bool:
    """True where a writer has the log; a disk that cannot lock cannot tell, and takes no writer either."""
    try:
        free = calls.lock(fd, shared=True)
        if free:
            calls.unlock(fd)
    except OSError:
        return False
    return not free


def scan(content: bytes) -> tuple[Chain, list[bytes]]:
    """The chain of a file's bytes, and the lines of its whole records."""
    chain = Chain()
    taken: list[bytes] = []
    start = 0
    *lines, tail = content.split(b"\n")
    for line in lines:
        taken += chain.take(line, start)
        start += len(line) + 1
    taken += chain.finish(tail, start)
    if chain.restored:
        taken.sort(key=number)
    return chain, taken


def log_of(path: Path, content: bytes, chain: Chain, taken: list[bytes], *, locked: bool = False) -> LogFile:
    """A log from what `scan` gave; pure."""
    records, unread = _parsed(taken)
    return LogFile(
        path=path,
        records=tuple(record for record in records if record.kind not in BOOKKEEPING),
        last=records[-1] if records else None,
        head=records[0].data if records and records[0].kind == LOG and records[0].seq == 0 else {},
        after=_witnessed(records),
        unit=_last_unit(records),
        chain=tuple((record.seq, record.h) for record in records),
        size=len(content),
        locked=locked,
        problems=(*chain.problems, *unread),
        marks=tuple(chain.marks),
        piece=chain.piece,
        terminated=chain.terminated,
        resumed=next((record.data for record in reversed(records) if record.kind == RESUMED), {}),
    )


def _parsed(lines: list[bytes]) -> tuple[list[Record], list[Damage]]:
    records, unread = [], []
    for line in lines:
        try:
            records.append(parse(line))
        except ValueError as error:  # its hash fits, so it was written so: by another program, or by a fault of ours
            seq = number(line)
            unread.append(Damage(seq, seq, 0, 0, f"The record cannot be read: {error}."))
    return records, unread


def _witnessed(records: list[Record]) -> tuple[dict[str, Any], ...]:
    named: list[dict[str, Any]] = []
    for record in records[:1]:
        named += record.data.get("after", ())
    for record in records[1:2]:
        if record.kind == AFTER:
            named += record.data.get("after", ())
    return tuple(named)


def _last_unit(records: list[Record]) -> tuple[int, int]:
    """The entries of the last write: the only ones whose fsync may have failed, since a writer stops at a failure."""
    entries = [record for record in records if record.kind not in BOOKKEEPING]
    if not entries:
        return (0, -1)
    last = entries[-1].seq
    for record in reversed(records):
        if record.seq >= last:
            continue
        if record.kind in {TORN, RESUMED}:  # durable, or nothing would stand behind it
            break
        if record.kind == BATCH and last <= record.seq + int(record.data.get("records", 0)):
            return (record.seq, last)
        if record.seq == 0 and last < int(record.data.get("with", 1)):
            return (0, last)
    return (last, last)
