"""How a log file comes to be open for writing: created, or taken up again.

create          O_EXCL, lock, record 0 and the first records in one write, fsync, fsync of the folder
reopen          lock, read, refuse or heal, `resumed`, fsync
write_durably   one write and one fsync, or OSError
"""

from __future__ import annotations

import errno
import secrets
from collections.abc import Collection, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from msgspec import Struct

from fieldtui import __version__
from fieldtui.log.calls import OsCalls, read_all
from fieldtui.log.folder import continued_by
from fieldtui.log.healing import refuse_to_resume, resumption
from fieldtui.log.identity import Identity
from fieldtui.log.reader import LogFile, log_of, scan
from fieldtui.log.record import AFTER, BOOKKEEPING, FORMAT, GENESIS, LOG, Record, booking_time, parse_one, seal
from fieldtui.log.refusals import LogLocked, LogRefused, WriteFailed

RECORD_0_LIMIT = 1000  # bytes
LOCK_TRIES = 25  # a reader holds the lock for an instant, to see whether the log is open
LOCK_PAUSE = 0.02  # s


class Opened(Struct, frozen=True):
    """A log open, locked and durable up to record `seq`."""

    path: Path
    fd: int
    records: list[Record]
    seq: int
    h: str
    size: int


def create(
    folder: Path,
    *,
    head: Mapping[str, Any],
    after: Sequence[Mapping[str, Any]],
    first: Sequence[tuple[str, Mapping[str, Any]]],
    moment: datetime,
    identity: Identity,
    calls: OsCalls,
    log_id: str | None = None,
    continues: Mapping[str, Any] | None = None,
) -> Opened:
    """A new file; see LogWriter.create."""
    log_id = log_id or secrets.token_hex(16)
    at = booking_time(moment)
    entries = _first_entries({"format": FORMAT, "log": log_id, **head}, identity, after, first, continues)
    lines: list[bytes] = []
    records: list[Record] = []
    h = GENESIS
    for seq, (kind, data) in enumerate(entries):
        lines.append(seal(seq, at, kind, dict(data), h))
        records.append(parse_one(lines[-1][:-1]))
        h = records[-1].h
    if len(lines[0]) > RECORD_0_LIMIT:
        raise LogRefused("The label is too long for the log's first record.", where="label", todo="Shorten it.")
    path = folder / f"{moment.astimezone(UTC):%Y%m%dT%H%M%SZ}-{log_id[:8]}.jsonl"
    content = b"".join(lines)
    fd = _new_file(path, calls)
    try:
        write_durably(fd, content, 0, calls)
        calls.fsync_folder(folder)
    except OSError as error:
        release(fd, calls)
        raise WriteFailed(
            f"The new log was not saved: {error.strerror or error}.",
            where=str(path),
            todo="Make space on the disk or choose another folder.",
        ) from error
    booked = [record for record in records if record.kind not in BOOKKEEPING]
    return Opened(path, fd, booked, len(lines) - 1, h, len(content))


def _first_entries(
    head: dict[str, Any],
    identity: Identity,
    after: Sequence[Mapping[str, Any]],
    first: Sequence[tuple[str, Mapping[str, Any]]],
    continues: Mapping[str, Any] | None,
) -> list[tuple[str, Mapping[str, Any]]]:
    """Record 0 and what is written with it; heads that do not fit record 0 stand in a record of their own."""
    head |= {**identity.as_data(), "program": __version__}
    if continues is not None:
        head["continues"] = dict(continues)
    heads = [dict(named) for named in after]
    room = RECORD_0_LIMIT - len(seal(0, "0000-00-00T00:00:00.000Z", LOG, {**head, "with": 99999, "after": []}, GENESIS))
    fits = 0
    for named in heads:
        room -= len(seal(0, "", "", named, GENESIS)) - len(seal(0, "", "", {}, GENESIS)) + 3
        if room < 0:
            break
        fits += 1
    rest: list[tuple[str, Mapping[str, Any]]] = [(AFTER, {"after": heads[fits:]})] if heads[fits:] else []
    return [(LOG, {**head, "with": 1 + len(rest) + len(first), "after": heads[:fits]}), *rest, *first]


def _new_file(path: Path, calls: OsCalls) -> int:
    try:
        missing = [folder for folder in (path.parent, *path.parent.parents) if not folder.exists()]
        path.parent.mkdir(parents=True, exist_ok=True)
        for folder in missing:
            calls.fsync_folder(folder.parent)
        fd = calls.create(path)
        try:
            if not _lock(fd, calls):
                raise OSError(errno.EWOULDBLOCK, "the new file is locked by another program")
        except OSError:
            release(fd, calls)
            raise
    except OSError as error:
        raise LogRefused(
            f"No log can be started in this folder: {error.strerror or error}.",
            where=str(path.parent),
            todo="Choose a folder that can be written, on a disk of this machine.",
        ) from error
    return fd


def reopen(
    path: Path, *, moment: datetime, identity: Identity, calls: OsCalls, kinds: Collection[str] | None
) -> Opened:
    """Take up a log again; see LogWriter.reopen."""
    try:
        fd = calls.open_append(path)
    except OSError as error:
        raise LogRefused(
            f"The log cannot be opened for writing: {error.strerror or error}.",
            where=str(path),
            todo="Its records can be read; start a new log in a folder that can be written.",
        ) from error
    try:
        return _take_up(path, fd, moment, identity, calls, kinds)
    except OSError as error:
        release(fd, calls)
        raise WriteFailed(
            f"The log could not be taken up again: {error.strerror or error}.",
            where=str(path),
            todo="What was saved in it is kept; start a new log that continues it.",
        ) from error
    except BaseException:
        release(fd, calls)
        raise


def _take_up(
    path: Path, fd: int, moment: datetime, identity: Identity, calls: OsCalls, kinds: Collection[str] | None
) -> Opened:
    locked = _lock(fd, calls)
    content = read_all(calls, fd)
    chain, lines = scan(content)
    log = log_of(path, content, chain, lines)
    if not locked:
        raise _holder(log)
    refuse_to_resume(log, kinds)
    if (other := continued_by(path, log.id, calls=calls)) is not None:
        raise LogRefused("The log is continued in another file.", where=str(path), todo=f"Take up {other.name}.")
    addition, seq, h = resumption(log, lines, booking_time(moment), {**identity.as_data(), "program": __version__})
    write_durably(fd, addition, len(content), calls)
    calls.fsync_folder(path.parent)
    return Opened(path, fd, list(log.records), seq, h, len(content) + len(addition))


def _lock(fd: int, calls: OsCalls) -> bool:
    for _ in range(LOCK_TRIES):
        if calls.lock(fd):
            return True
        calls.pause(LOCK_PAUSE)
    return False


def _holder(log: LogFile) -> LogLocked:
    told = log.holder
    return LogLocked(
        machine=str(told.get("machine", "")),
        pid=int(told.get("pid", 0)),
        user=str(told.get("user", "")),
        where=str(log.path),
    )


def write_durably(fd: int, content: bytes, size: int, calls: OsCalls) -> None:
    """Append in one write, then fsync. OSError where either fails or the file is no longer what it was.

    A short write is a failure: the rest in a second call would make two chances to be cut.
    """
    found, links = calls.size_and_links(fd)
    if found != size or links == 0:
        raise OSError(errno.ESTALE, "the file has been changed or removed by another program")
    written = calls.write(fd, content)
    if written != len(content):
        raise OSError(errno.ENOSPC, f"only {written} of {len(content)} bytes were written")
    calls.fsync(fd)


def release(fd: int, calls: OsCalls) -> None:
    """Close a file; its lock goes with it. Nothing is lost where this fails: all that was said to be saved is."""
    try:
        calls.close(fd)
    except OSError:
        return
