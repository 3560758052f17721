"""The file of the derived index: what is told of each log, and the pieces derived of them, one region for each name.

    line 1    SHA-256 of line 2
    line 2    {"format", "version", "logs": [...], "parts": {name: [offset, length, SHA-256]}}
    then      the regions; in each, lines `number piece`, the number being that of the log

A region is read when its pieces are asked for, and proved then. The file is written beside and renamed, never synced:
what does not prove itself is as good as gone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any, BinaryIO

from msgspec import DecodeError, Struct
from msgspec.json import Decoder, encode

from fieldtui.log.chain import Damage
from fieldtui.log.reader import Head

FORMAT = 3
PART = ".part"
_AT_ONCE = 1 << 20
"""So many bytes are asked of the disk at once: line 2 of a thousand logs is as long."""
Pieces = Mapping[str, bytes]


class Told(Struct, frozen=True, array_like=True):
    """What a LogFile tells without its records: of those, and of its hashes, how many there are.

    `hashes` are those that other logs name in it, by number; `after` is None where the head says all of it.
    """

    last: Head
    head: dict[str, Any]
    created: str
    after: tuple[dict[str, Any], ...] | None
    unit: tuple[int, int]
    last_line: tuple[int, int]
    marks: tuple[Damage, ...]
    resumed: dict[str, Any]
    records: int
    chain: int
    hashes: dict[int, str]


class Entry(Struct, frozen=True, array_like=True):
    """What is kept of one file. `racy`: written so shortly before that its times alone do not prove it unchanged."""

    name: str
    log: str
    size: int
    mtime_ns: int
    ctime_ns: int
    racy: bool
    sha256: str
    told: Told


class _Header(Struct):
    """Line 2; with each log, its number."""

    format: int
    version: str
    logs: tuple[tuple[int, Entry], ...]
    parts: dict[str, tuple[int, int, str]]


class IndexFile(Struct, frozen=True):
    """An index as it was found; `numbers` are those of its logs, by file name."""

    path: Path
    proof: bytes
    entries: Mapping[str, Entry]
    numbers: Mapping[str, int]
    parts: Mapping[str, tuple[int, int, str]]
    start: int
    """The first byte of the regions."""

    def pieces(self, part: str) -> Pieces | None:
        """File name -> piece; None where the file is no longer this one, or the region does not prove itself."""
        try:
            with self.path.open("rb") as file:
                if file.readline() != self.proof:
                    return None
                region = self.region(file, part)
        except OSError:
            return None
        if region is None:
            return None
        names = {number: name for name, number in self.numbers.items()}
        found, alike = {}, dict[bytes, bytes]()
        for line in BytesIO(region):
            number, _, piece = line[:-1].partition(b" ")
            found[names[int(number)]] = alike.setdefault(piece, piece)
        return found

    def region(self, file: BinaryIO, part: str) -> bytes | None:
        """The bytes of one name, proved; empty where there are none."""
        if part not in self.parts:
            return b""
        offset, length, digest = self.parts[part]
        file.seek(self.start + offset)
        region = file.read(length)
        return region if sha256(region).hexdigest() == digest else None


def load(path: Path, version: str) -> IndexFile | None:
    """The index, its regions unread; None where there is none, or it is not one of this version."""
    try:
        with path.open("rb", buffering=_AT_ONCE) as file:
            proof, header = file.readline(), file.readline()
    except OSError:
        return None
    if sha256(header).hexdigest().encode("ascii") + b"\n" != proof:
        return None
    try:
        told = _decoder().decode(header)
    except DecodeError:  # of another format
        return None
    if (told.format, told.version) != (FORMAT, version):
        return None
    entries = {entry.name: entry for _, entry in told.logs}
    numbers = {entry.name: number for number, entry in told.logs}
    return IndexFile(path, proof, entries, numbers, told.parts, len(proof) + len(header))


@cache
def _decoder() -> Decoder[_Header]:
    return Decoder(_Header)


def save(
    path: Path, version: str, old: IndexFile | None, kept: Sequence[Entry], new: Mapping[str, Pieces]
) -> IndexFile | None:
    """Write the index of these files: pieces of `new` ones, of the others those that `old` has. None where it fails."""
    numbers = _numbers(old, kept, new)
    part_file = path.with_name(path.name + PART)
    try:
        regions = dict(_regions(old, numbers, new))
        parts, offset = {}, 0
        for name, region in regions.items():
            parts[name] = (offset, len(region), sha256(region).hexdigest())
            offset += len(region)
        logs = tuple((numbers[one.name], one) for one in kept)
        header = encode(_Header(FORMAT, version, logs, parts)) + b"\n"
        proof = sha256(header).hexdigest().encode("ascii") + b"\n"
        part_file.write_bytes(b"".join([proof, header, *regions.values()]))
        part_file.replace(path)
    except (OSError, Spoilt):
        return None
    return IndexFile(path, proof, {one.name: one for one in kept}, numbers, parts, len(proof) + len(header))


class Spoilt(Exception):
    """A region of the old index does not prove itself: the next opening begins a new one."""


def _numbers(old: IndexFile | None, kept: Sequence[Entry], new: Mapping[str, Pieces]) -> dict[str, int]:
    """The number of each file: that of the old index where its pieces stay, else the next that is free."""
    known = old.numbers if old is not None else {}
    free = max(known.values(), default=-1) + 1
    numbers = {}
    for one in kept:
        if one.name in known and one.name not in new:
            numbers[one.name] = known[one.name]
        else:
            numbers[one.name] = free
            free += 1
    return numbers


def _regions(
    old: IndexFile | None, numbers: Mapping[str, int], new: Mapping[str, Pieces]
) -> Iterator[tuple[str, bytes]]:
    staying = {number for name, number in numbers.items() if name not in new}
    gone = frozenset(old.numbers.values()) - staying if old is not None else frozenset()
    names = [*(old.parts if old is not None else ())]
    names += sorted({name for pieces in new.values() for name in pieces} - set(names))
    for name in names:
        lines = [b"%d %b\n" % (numbers[file], pieces[name]) for file, pieces in new.items() if name in pieces]
        before = _before(old, name, gone) if old is not None else b""
        if before or lines:
            yield name, before + b"".join(lines)


def _before(old: IndexFile, name: str, gone: frozenset[int]) -> bytes:
    with old.path.open("rb") as file:
        if file.readline() != old.proof:
            raise Spoilt
        region = old.region(file, name)
    if region is None:
        raise Spoilt
    if not gone:
        return region
    return b"".join(line for line in region.splitlines(keepends=True) if int(line.partition(b" ")[0]) not in gone)
