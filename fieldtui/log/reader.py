"""A log as read from its file. Readers never append; a log that another program has open is read as it stands.

read_log    one file -> LogFile
scan        bytes -> chain and whole lines, pure
log_of      chain and lines -> LogFile, pure
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from io import BytesIO
from pathlib import Path
from typing import Any, Literal

from msgspec import Struct

from fieldtui.log.calls import OS, OsCalls, read_all
from fieldtui.log.chain import Chain, Damage, Piece
from fieldtui.log.later import Chained
from fieldtui.log.record import (
    AFTER,
    BATCH,
    BOOKKEEPING,
    CLOSED,
    FORMAT,
    LOG,
    RESUMED,
    TORN,
    Record,
    json_parser,
    number,
    parse,
    record_of,
)
from fieldtui.log.refusals import LogRefused
from fieldtui.log.stream import pass_over

LogState = Literal["whole", "unclosed", "open", "torn", "damaged", "empty"]


def state_of(*, damaged: bool, locked: bool, begun: bool, closed: bool, torn: bool) -> LogState:
    """One word for a log: a log that is locked is open, not torn."""
    if damaged:
        return "damaged"
    if locked:
        return "open"
    if not begun:
        return "empty"
    if closed:
        return "whole"
    return "torn" if torn else "unclosed"


class Head(Struct, frozen=True, array_like=True):
    """The last record of a log, without what was booked in it."""

    seq: int
    at: str
    kind: str
    h: str


class LogFile(Struct, frozen=True):
    """One log: its entries in order, and what must be told about its bytes.

    `records` are the entries; what the log writes for itself (`resumed`, `torn`, `batch`, `after`) has had its
    effect and is left out. `beyond` are entries past the point where another file goes on: shown, not folded.
    """

    path: Path
    id: str  # as record 0 says; empty where that is lost
    records: Sequence[Record]
    last: Head | None  # bookkeeping included
    head: dict[str, Any]
    created: str  # booking time of record 0
    after: tuple[dict[str, Any], ...]  # heads of other logs that this one witnesses
    unit: tuple[int, int]  # first and last seq of the last entries written at one go
    chain: Sequence[tuple[int, str]]  # seq and hash of every whole record, bookkeeping included
    size: int
    last_line: tuple[int, int]  # first byte and length of the last line of the file
    locked: bool
    problems: tuple[Damage, ...]
    marks: tuple[Damage, ...]
    piece: Piece | None
    terminated: bool
    resumed: dict[str, Any]  # data of the last resumption, or empty
    beyond: tuple[Record, ...] = ()

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

    def hash_at(self, seq: int) -> str | None:
        """The hash of one record; None where there is none."""
        if self.last is not None and seq == self.last.seq:
            return self.last.h
        return self.chain.hash_at(seq) if isinstance(self.chain, Chained) else dict(self.chain).get(seq)

    @property
    def named(self) -> tuple[dict[str, Any], ...]:
        """Every head of another log that this one names."""
        return self.after if self.continues is None else (*self.after, self.continues)

    @property
    def closed(self) -> bool:
        """True where the closing record was written; such a file is never written again."""
        return self.last is not None and self.last.kind == CLOSED

    @property
    def begun(self) -> bool:
        """True where the creation was complete; before that nothing was said to be saved."""
        return bool(self.head) and (bool(self.problems) or len(self.chain) >= int(self.head.get("with", 1)))

    @property
    def beheaded(self) -> bool:
        """True where record 0, which says which log it is, is damaged and others are whole."""
        return not self.head and len(self.chain) > 0

    @property
    def newer(self) -> bool:
        """True for a format later than this program's: read and counted, not written."""
        return bool(self.head) and self.head.get("format") != FORMAT

    @property
    def holder(self) -> dict[str, Any]:
        """Who opened the log last: machine, pid, user, boot."""
        return self.resumed or self.head

    @property
    def state(self) -> LogState:
        return "open" if self.locked and not self.problems else self.state_at_rest

    @property
    def state_at_rest(self) -> LogState:
        """The state without regard to a program that has it open."""
        return state_of(
            damaged=bool(self.problems),
            locked=False,
            begun=self.begun,
            closed=self.closed,
            torn=self.piece is not None,
        )


def read_log(path: Path, *, calls: OsCalls = OS) -> LogFile:
    """Read one log; LogRefused where the file cannot be read."""
    content, locked = content_and_lock(path, calls)
    return log_of(path, content, *scan(content), locked=locked)


def content_and_lock(path: Path, calls: OsCalls) -> tuple[bytes, bool]:
    """A file's bytes, and whether a writer has it; LogRefused where it cannot be read."""
    try:
        fd = calls.open_read(path)
        try:
            locked = is_open(calls, fd)
            content = read_all(calls, fd)
            locked = locked or is_open(calls, fd)
        finally:
            calls.close(fd)
    except OSError as error:
        raise LogRefused(
            f"The log cannot be read: {error.strerror or error}.", where=str(path), todo="Look at the disk it lies on."
        ) from error
    return content, locked


def is_open(calls: OsCalls, fd: int) -> bool:
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
    passed = pass_over(BytesIO(content), len(content), keep=True)
    return passed.chain, passed.lines


def log_of(path: Path, content: bytes, chain: Chain, taken: list[bytes], *, locked: bool = False) -> LogFile:
    """A log from what `scan` gave; pure."""
    records, unread = _parsed(taken)
    head = head_of(records)
    return LogFile(
        path=path,
        id=str(head.get("log", "")),
        records=tuple(record for record in records if record.kind not in BOOKKEEPING),
        last=Head(last.seq, last.at, last.kind, last.h) if (last := records[-1] if records else None) else None,
        head=head,
        created=records[0].at if records else "",
        after=witnessed(records[:2]),
        unit=_last_unit(records),
        chain=tuple((record.seq, record.h) for record in records),
        size=len(content),
        last_line=_last_line(content),
        locked=locked,
        problems=(*chain.problems, *unread, *_of_another_make(records)),
        marks=tuple(chain.marks),
        piece=chain.piece,
        terminated=chain.terminated,
        resumed=next((record.data for record in reversed(records) if record.kind == RESUMED), {}),
    )


def _last_line(content: bytes) -> tuple[int, int]:
    end = len(content) - content.endswith(b"\n")
    start = content.rfind(b"\n", 0, end) + 1
    return start, end - start


def _parsed(lines: list[bytes]) -> tuple[list[Record], list[Damage]]:
    try:  # all at once, for speed; a line that is odd in some way is looked for below
        values = json_parser()(b"[" + b",".join(lines) + b"]", allow_inf_nan=False)
        return [record_of(value) for value in values], []
    except ValueError:
        records, unread = [], []
    for line in lines:
        try:
            records.append(parse(line))
        except ValueError as error:  # its hash fits, so it was written so: by another program, or by a fault of ours
            seq = number(line)
            unread.append(Damage(seq, seq, 0, 0, f"The record cannot be read: {error}."))
    return records, unread


def head_of(records: Sequence[Record]) -> dict[str, Any]:
    """The data of record 0; empty where it is not there, or does not say what every reader asks of it."""
    if not records or records[0].kind != LOG or records[0].seq != 0:
        return {}
    head = records[0].data
    sound = type(head.get("with", 1)) is int and ("continues" not in head or _names_a_record(head["continues"]))
    return head if sound and isinstance(head.get("after", []), list) else {}


def _of_another_make(records: Sequence[Record]) -> Iterator[Damage]:
    if records and records[0].kind == LOG and records[0].seq == 0 and not head_of(records):
        yield Damage(0, 0, 0, 0, "The first record does not say what it must.")


def _names_a_record(head: Any) -> bool:
    return isinstance(head, dict) and {"log", "h"} <= head.keys() and type(head.get("seq")) is int


def witnessed(first: Sequence[Record]) -> tuple[dict[str, Any], ...]:
    """The heads that a log names: in record 0, and in an `after` record behind it."""
    named: list[dict[str, Any]] = []
    for record in first:
        if record.kind in {LOG, AFTER}:
            after = record.data.get("after")
            named += [head for head in after if _names_a_record(head)] if isinstance(after, list) else []
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
