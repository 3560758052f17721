"""The rules of one file, each broken; as in `broken`."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime, timedelta
from json import JSONEncoder
from pathlib import Path
from typing import Any
from unittest.mock import patch

from msgspec.structs import replace

import fieldtui.log.calls as system
from faultlab.broken import Variant, put
from fieldtui.job import conditions
from fieldtui.log import LogFile, LogWriter, OsCalls, disk, opening, reader, record, refusals, stick, writer
from fieldtui.log.record import seal
from fieldtui.log.refusals import LogRefused
from fieldtui.survey import fold


class _NoTurn:
    """A lock that keeps nobody waiting."""

    def __enter__(self) -> None:
        return

    def __exit__(self, *_: object) -> None:
        return


def _in_two_writes(fd: int, content: bytes, size: int, calls: OsCalls) -> None:
    calls.write(fd, content[:-1])
    calls.write(fd, content[-1:])
    calls.fsync(fd)


def _unlooked(fd: int, content: bytes, size: int, calls: OsCalls) -> None:
    if calls.write(fd, content) != len(content):
        raise OSError("short")
    calls.fsync(fd)


def _flags_without(*names: str) -> Variant:
    right = OsCalls._flags

    def flags(self: OsCalls, flags: int) -> int:
        made = right(self, flags)
        for name in names:
            made &= ~getattr(os, name, 0)
        return made

    return put(OsCalls, "_flags", flags)


def _inherited() -> Variant:
    right = OsCalls.create

    def create(self: OsCalls, path: Path) -> int:
        fd = right(self, path)
        os.set_inheritable(fd, True)
        return fd

    return put(OsCalls, "create", create)


def _encoder(**settings: Any) -> Variant:
    encode = JSONEncoder(separators=(",", ":"), **settings).encode
    return put(record, "_encode", encode)


def _sealed_as_numbers() -> Variant:
    def figures(data: Mapping[str, Any]) -> dict[str, Any]:
        return {key: _number(value) for key, value in data.items()}

    def sealed(seq: int, at: str, kind: str, data: Mapping[str, Any], prev: str) -> bytes:
        return seal(seq, at, kind, figures(data), prev)

    return put(writer, "seal", sealed)


def _number(value: Any) -> Any:
    try:
        return float(value)
    except (TypeError, ValueError):
        return value


def _utf8_lines() -> Variant:
    """Lines of UTF-8, as a program would write that means well."""
    encode = JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode

    def sealed(seq: int, at: str, kind: str, data: Mapping[str, Any], prev: str) -> bytes:
        body = f'{{"seq":{seq},"at":{encode(at)},"kind":{encode(kind)},"data":{encode(data)},"prev":"{prev}"'.encode()
        return b'%b,"h":"%b"}\n' % (body, record.sha256(body).hexdigest().encode("ascii"))

    @contextmanager
    def variant() -> Iterator[None]:
        with patch.object(writer, "seal", sealed), patch.object(opening, "seal", sealed):
            yield

    return variant


def _reopens(*words: str) -> Variant:
    """Refuses everything but what these words speak of."""
    right = opening.refuse_to_resume

    def refuse(log: LogFile, kinds: Any) -> None:
        try:
            right(log, kinds)
        except LogRefused as refused:
            if not any(word in str(refused) for word in words):
                raise

    return put(opening, "refuse_to_resume", refuse)


def _refuses_a_clock_that_goes_back() -> Variant:
    right = LogWriter.append

    def append(self: LogWriter, kind: str, data: Mapping[str, Any]) -> Any:
        booked = right(self, kind, data)
        if booked.at < self.records[-2].at:
            raise LogRefused("The clock has gone back.")
        return booked

    return put(LogWriter, "append", append)


def _by_time() -> Variant:
    right = reader.log_of

    def log_of(*given: Any, **named: Any) -> LogFile:
        log = right(*given, **named)
        return replace(log, records=tuple(sorted(log.records, key=lambda one: one.at)))

    return put(reader, "log_of", log_of)


def _local_time(moment: datetime) -> str:
    return moment.replace(tzinfo=None).isoformat("T", "milliseconds") + "Z"


def _holder_unknown() -> Variant:
    def refused(log: LogFile) -> refusals.LogLocked:
        return refusals.LogLocked(machine="", pid=0, user="", where=str(log.path))

    return put(opening, "_holder", refused)


def _unlocks_once_made() -> Variant:
    right = opening.create

    def create(*given: Any, calls: OsCalls, **named: Any) -> Any:
        opened = right(*given, calls=calls, **named)
        calls.unlock(opened.fd)
        return opened

    return put(opening, "create", create)


def _not_read_back(content: bytes, target: Path, calls: OsCalls) -> None:
    part = target.with_name(target.name + stick.PART)
    part.unlink(missing_ok=True)
    stick._write_new(part, content, calls)
    calls.replace(part, target)
    calls.fsync_folder(target.parent)


def _shifts_only_what_comes() -> Variant:
    def shift(state: Any, record: Any, log: str) -> Any:
        return replace(state, shift=state.shift + timedelta(seconds=record.data["shift_seconds"]))

    return lambda: patch.dict(fold.__globals__["_KINDS"], {"clock": shift})


NOT_APPENDING = _flags_without("O_APPEND")
INHERITED = _inherited()
TEXT_MODE = _flags_without("O_BINARY")
BEGUN_AT_ONCE = put(LogFile, "begun", property(lambda log: bool(log.head)))
LONG_RECORD_0 = put(opening, "RECORD_0_LIMIT", 1 << 20)
TWO_WRITES = put(opening, "write_durably", _in_two_writes)
NOT_LOOKED_AT = put(opening, "write_durably", _unlooked)
MAC_STOPS_AT_THE_DRIVE = put(OsCalls, "fsync", lambda self, fd: os.fsync(fd))
LOCK_TOO_FAR = put(system, "LOCK_BYTE", 1 << 31)
NO_TURN = put(writer, "Lock", _NoTurn)
NOT_A_NUMBER = _encoder(allow_nan=True)
AS_NUMBERS = _sealed_as_numbers()
UTF8 = _utf8_lines()
DAMAGED_REOPENS = _reopens("damaged")
NEWER_REOPENS = _reopens("later than this program")
UNKNOWN_REOPENS = _reopens("does not know")
CONTINUED_REOPENS = put(opening, "continued_by", lambda *_, **__: None)
CLOCK_REFUSED = _refuses_a_clock_that_goes_back()
BY_TIME = _by_time()
LOCAL_TIME = put(writer, "booking_time", _local_time)
ONLY_LATER_SHIFTED = _shifts_only_what_comes()
HOLDER_UNKNOWN = _holder_unknown()
UNLOCKS_ONCE_MADE = _unlocks_once_made()
LOCKED_IS_TORN = put(LogFile, "state", property(lambda log: log.state_at_rest))
SPACE_UNTOLD = put(conditions, "LITTLE_SPACE", 0)
NFS_UNKNOWN = put(disk, "NETWORK", ("smb",))
NOT_READ_BACK = put(stick, "write_beside", _not_read_back)
LAID_OVER = put(stick, "_free_name", lambda wanted, content, calls: wanted)
