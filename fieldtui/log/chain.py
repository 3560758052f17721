"""From bytes to a chain of records: what is whole, what is torn, what is damaged, and where.

A `Chain` takes the lines of a file in order and gives back those that are whole records. It keeps no lines, so it
works on files of any length. What it keeps is what a person must be told:

    problems    damage: the log is read, never written again
    marks       accepted and told: a piece that a later record names, an entry restored from its copy, a last byte
    piece       a torn tail: the start of a record that was not finished

Pure: no file is opened here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256

from fieldtui.log.record import (
    CLOSED,
    GENESIS,
    HASH,
    HEAD,
    PREV,
    RESUMED,
    TORN,
    Record,
    follows,
    kind_of,
    looks_complete,
    number,
    parse,
    proves,
)


@dataclass(frozen=True, slots=True)
class Damage:
    """What is told of records `record` to `last_record`, bytes `first_byte` to `last_byte` (from 0, both included)."""

    record: int
    last_record: int
    first_byte: int
    last_byte: int
    what: str


@dataclass(frozen=True, slots=True)
class Piece:
    """Bytes at the end of a file that are no whole record."""

    offset: int
    content: bytes

    @property
    def named(self) -> dict[str, int | str]:
        """As a `torn` record names it: without the newline that an interrupted recovery may have put there."""
        content = self.content.removesuffix(b"\n")
        return {"offset": self.offset, "length": len(content), "sha256": sha256(content).hexdigest()}


class Chain:
    """Takes lines in order; see the module."""

    def __init__(self) -> None:
        self.seq = -1
        self.h = GENESIS
        self.last = b""
        self.problems: list[Damage] = []
        self.marks: list[Damage] = []
        self.piece: Piece | None = None
        self.terminated = True
        self._wrong = b""  # bytes since the last whole record that are no record
        self._wrong_at = 0

    def take(self, line: bytes, start: int) -> list[bytes]:
        """The whole records that this line (its newline taken off) brings, mostly itself."""
        if not self._wrong and follows(line, self.seq + 1, self.h):
            self._accept(line)
            return [line]
        return list(self._examine(line, start, b"\n"))

    def finish(self, tail: bytes, start: int) -> list[bytes]:
        """Take what stands after the last newline, and judge what is left over."""
        taken: list[bytes] = []
        if tail:
            self.terminated = False
            if not self._wrong and follows(tail, self.seq + 1, self.h):
                self._accept(tail)
                self._mark(self.seq, start, start + len(tail) - 1, "The last newline is missing; the record is whole.")
                return [tail]
            taken = list(self._examine(tail, start, b""))
        if self._wrong:
            self._judge_tail()
        return taken

    def _examine(self, line: bytes, start: int, newline: bytes) -> Iterator[bytes]:
        if proves(line):
            yield from self._arrive(line, start)
        elif proves(line[:-1]):
            yield from self._arrive(line[:-1], start)
            self._set_aside(line[-1:] + newline, start + len(line) - 1)
        elif (cut := _inner_record(line)) > 0:
            # two lines that lost the newline between them, or a page of zeros before a record
            yield from self._examine(line[:cut], start, b"")
            yield from self._arrive(line[cut:], start + cut)
        else:
            self._set_aside(line + newline, start)

    def _set_aside(self, content: bytes, start: int) -> None:
        if not self._wrong:
            self._wrong_at = start
        self._wrong += content

    def _arrive(self, line: bytes, start: int) -> Iterator[bytes]:
        """A line that proves itself; what stands before it must be explained by it, or is damage."""
        seq = number(line)
        in_order = seq == self.seq + 1 and line[PREV].decode("ascii") == self.h
        if self._wrong or not in_order:
            record = parse(line)
            if in_order and self._is_named(record):
                self._mark(seq, self._wrong_at, start - 1, "An unfinished record, named by the record after it.")
            elif (copies := self._copies_across(record)) is not None:
                self._mark(
                    self.seq + 1, self._wrong_at, start - 1, "Lost in the file, restored from the copy after it."
                )
                yield from copies
            else:
                self._damaged_before(seq, start, len(line), in_order)
                if seq <= self.seq:
                    self._wrong = b""
                    return
            self._wrong = b""
        self._accept(line, seq)
        yield line

    def _accept(self, line: bytes, seq: int | None = None) -> None:
        self.seq = self.seq + 1 if seq is None else seq
        self.h = line[HASH].decode("ascii")
        self.last = line

    def _is_named(self, record: Record) -> bool:
        if record.kind != TORN or not self._wrong.endswith(b"\n"):
            return False
        return {**record.data, **Piece(self._wrong_at, self._wrong).named} == record.data

    def _copies_across(self, record: Record) -> list[bytes] | None:
        """The records that a `resumed` gives back for the gap before it; None where it does not close the gap."""
        if record.kind != RESUMED:
            return None
        seq, h, given = self.seq, self.h, []
        lines = [str(copy).encode("ascii", "replace") for copy in record.data.get("copies", ())]
        for line in lines:
            if not proves(line):
                return None
            if number(line) <= self.seq:
                continue
            if not follows(line, seq + 1, h):
                return None
            seq, h = number(line), line[HASH].decode("ascii")
            given.append(line)
        # between the last copy and the resumption there can only be other resumptions
        if not lines or record.seq <= seq or (record.seq == seq + 1 and record.prev != h):
            return None
        return given

    def _mark(self, record: int, first: int, last: int, what: str) -> None:
        self.marks.append(Damage(record, record, first, last, what))

    def _damaged_before(self, seq: int, start: int, length: int, in_order: bool) -> None:
        """Say what is wrong between the last whole record and record `seq`, whose line begins at `start`."""
        lost = self.seq + 1
        if self._wrong:
            region = (self._wrong_at, self._wrong_at + len(self._wrong.removesuffix(b"\n") or b"\n") - 1)
            if in_order:
                told = Damage(self.seq, seq, *region, "Bytes between two records that belong to none.")
            else:
                told = Damage(lost, max(seq - 1, lost), *region, "The bytes do not fit their own hash.")
        elif seq > lost:
            told = Damage(lost, seq - 1, start, start, "Records are missing here.")
        elif seq == lost:
            told = Damage(
                max(seq - 1, 0), seq, start, start + length - 1, "The record does not follow the one before it."
            )
        else:
            told = Damage(seq, seq, start, start + length - 1, "A record whose number has been used before.")
        self.problems.append(told)

    def _judge_tail(self) -> None:
        """A tail is torn where no line of it was ever complete; a closed log has no torn tail."""
        complete = sum(looks_complete(line) for line in self._wrong.split(b"\n"))
        self.terminated = self._wrong.endswith(b"\n")
        end = self._wrong_at + len(self._wrong)
        if len(self._wrong) == 1 and not self.terminated:
            self._mark(self.seq, self._wrong_at, end - 1, "The last byte is wrong; the record before it is whole.")
        elif complete or kind_of(self.last) == CLOSED:
            lost = self.seq + 1
            what = "The bytes do not fit their own hash." if complete else "Bytes after the closing record."
            last = end - 2 if self.terminated and len(self._wrong) > 1 else end - 1
            self.problems.append(Damage(lost, self.seq + max(complete, 1), self._wrong_at, last, what))
            return
        self.piece = Piece(self._wrong_at, self._wrong)


def _inner_record(line: bytes) -> int:
    """Where a record that proves itself begins inside a line and runs to its end; 0 where none does."""
    for found in HEAD.finditer(line, 1):
        if proves(line[found.start() :]):
            return found.start()
    return 0
