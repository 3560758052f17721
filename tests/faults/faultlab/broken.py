"""The log's rules, each broken: a variant is put in place, and the check that guards the rule must go red.

Every variant is small and plausible: what a tired programmer would have written.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

from msgspec.structs import replace

from faultlab.disk import PagedDisk
from fieldtui.log import LogFile, LogWriter, OsCalls, chain, folder, healing, opening, reader, record, stream, writer
from fieldtui.log.record import HASH, HEAD

Variant = Callable[[], Any]


def put(target: object, name: str, value: object) -> Variant:
    """A variant that replaces one name of a module or class."""
    return lambda: patch.object(target, name, value)


def put_everywhere(name: str, value: object) -> Variant:
    """A variant for a function that several modules have imported."""

    @contextmanager
    def variant() -> Iterator[None]:
        with patch.object(record, name, value), patch.object(chain, name, value):
            yield

    return variant


def _proves_by_shape(line: bytes) -> bool:
    return record.looks_complete(line, 0) and HEAD.match(line) is not None


def _proves_by_hash_alone(line: bytes) -> bool:
    return record.sha256(line[:-72]).hexdigest().encode() == line[HASH] and HEAD.match(line) is not None


def _unlinked(line: bytes, seq: int, prev: str) -> bool:
    return line.startswith(b'{"seq":%d,' % seq) and record.proves(line)


def _resumption(**broken: bool) -> Variant:
    right = healing.resumption

    def variant(log: LogFile, lines: list[bytes], at: str, who: Mapping[str, Any]) -> tuple[bytes, int, str]:
        if broken.get("no_copy"):
            log = replace(log, unit=(0, -1))
        if broken.get("last_copy_only"):
            log = replace(log, unit=(log.unit[1], log.unit[1]))
        if broken.get("copy_of_copies"):
            last = int(HEAD.match(lines[-1])[1])  # type: ignore[index]
            log = replace(log, unit=(last, last))
        if broken.get("no_newline"):
            log = replace(log, terminated=True)
        if broken.get("unnamed"):
            log = replace(log, piece=None)
        return right(log, lines, at, who)

    return put(opening, "resumption", variant)


def _durably(*, sync: bool = True, retry: bool = False, short: bool = False, twice: bool = False) -> Variant:
    def variant(fd: int, content: bytes, size: int, calls: OsCalls) -> None:
        written = calls.write(fd, content)
        if written != len(content) and not short:
            raise OSError("short")
        try:
            for _ in range(sync + twice):
                calls.fsync(fd)
        except OSError:
            if not retry:
                raise
            calls.fsync(fd)

    return put(opening, "write_durably", variant)


def _truncates() -> Variant:
    right = opening._take_up

    def variant(path: Path, fd: int, *others: Any) -> Any:
        content = path.read_bytes()
        if not content.endswith(b"\n"):
            os.truncate(path, content.rfind(b"\n") + 1)
        return right(path, fd, *others)

    return put(opening, "_take_up", variant)


def _goes_on_writing() -> Variant:
    right = LogWriter._commit

    def variant(self: LogWriter, content: bytes, seq: int, h: str) -> None:
        try:
            right(self, content, seq, h)
        finally:
            self._dead = False
            self._size = os.fstat(self._fd).st_size if self._fd is not None else 0

    return put(LogWriter, "_commit", variant)


def _reader_heals() -> Variant:
    right = reader.read_all

    def variant(calls: OsCalls, fd: int) -> bytes:
        content = right(calls, fd)
        if content and not content.endswith(b"\n"):
            with Path(f"/proc/self/fd/{fd}").open("ab") as file:
                file.write(b"\n")
        return content

    return put(reader, "read_all", variant)


def _an_unended_line_is_torn() -> Variant:
    right = chain.Chain.finish

    def variant(self: chain.Chain, tail: bytes, start: int) -> list[bytes]:
        if tail and record.proves(tail):
            self.terminated = False
            self.piece = chain.Piece(start, tail)
            return []
        return right(self, tail, start)

    return put(chain.Chain, "finish", variant)


def _the_last_byte_spoils_the_record() -> Variant:
    right = chain.Chain._examine

    def variant(self: chain.Chain, line: bytes, start: int, newline: bytes) -> Any:
        if record.proves(line) or not record.proves(line[:-1]):
            return right(self, line, start, newline)
        self._set_aside(line + newline, start)
        return iter(())

    return put(chain.Chain, "_examine", variant)


def _lockf(self: OsCalls, fd: int, *, shared: bool = False) -> bool:
    try:
        self.fcntl.lockf(fd, self.fcntl.LOCK_EX | self.fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _not_exclusive(self: OsCalls, path: Path) -> int:
    return os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND)


def _closed_can_be_reopened() -> Variant:
    return put(opening, "refuse_to_resume", lambda log, kinds: None)


def _sound(*, hashes: bool = True, links: bool = True, numbers: bool = True) -> Variant:
    """The short way through a sound block, with one comparison left out."""

    def variant(chained: chain.Chain, lines: list[bytes]) -> bool:
        seq, h = chained.seq, chained.h
        for line in lines:
            said = line[-67:-3].decode("ascii", "replace")
            fits = record.sha256(line[:-73]).hexdigest() == said and line[-74:-67] == b'","h":"'
            if (hashes and not fits) or (links and line[-138:-74].decode("ascii", "replace") != h):
                return False
            if not line.endswith(b"\n") or (numbers and not line.startswith(b'{"seq":%d,' % (seq + 1))):
                return False
            seq, h = seq + 1, said
        chained.stand_at(seq, h, lines[-1][:-1])
        return True

    return put(stream, "_sound", variant)


BLOCK_HASH_UNCHECKED = _sound(hashes=False)
BLOCK_LINK_UNCHECKED = _sound(links=False)
BLOCK_NUMBER_UNCHECKED = _sound(numbers=False)
CLOSING_WITH_THE_REST = put(writer, "CLOSED", "never")
HASH_UNCHECKED = put_everywhere("proves", _proves_by_shape)
SHAPE_UNCHECKED = put_everywhere("proves", _proves_by_hash_alone)
LINK_UNCHECKED = put_everywhere("follows", _unlinked)
NO_NEWLINE_FIRST = _resumption(no_newline=True)
PIECE_UNNAMED = _resumption(unnamed=True)
NO_COPY = _resumption(no_copy=True)
LAST_COPY_ONLY = _resumption(last_copy_only=True)
COPY_OF_COPIES = _resumption(copy_of_copies=True)
TRUNCATES = _truncates()
UNENDED_IS_TORN = _an_unended_line_is_torn()
LAST_BYTE_SPOILS = _the_last_byte_spoils_the_record()
ALL_IS_DAMAGE = put(chain, "looks_complete", lambda line: True)
ALL_IS_TORN = put(chain, "looks_complete", lambda line: False)
NO_SYNC = _durably(sync=False)
SYNC_AGAIN = _durably(retry=True)
SYNC_AGAIN_ALWAYS = _durably(twice=True)
SHORT_IS_ENOUGH = _durably(short=True)
GOES_ON_WRITING = _goes_on_writing()
NO_FOLDER_SYNC = put(PagedDisk, "fsync_folder", lambda self, folder: None)
FOLDS_BEYOND = put(folder, "_cut_where_continued", lambda logs: logs)
READER_HEALS = _reader_heals()
NO_LOCK = put(OsCalls, "lock", lambda self, fd, shared=False: True)
LOCKF = put(OsCalls, "lock", _lockf)
NOT_EXCLUSIVE = put(OsCalls, "create", _not_exclusive)
CLOSED_REOPENS = _closed_can_be_reopened()
