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
from hashlib import sha256

from msgspec import Struct

from fieldtui.log.copies import Gap, close, copies_in
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
    parse_or_bare,
    proves,
)


class Damage(Struct, frozen=True, array_like=True):
    """What is told of records `record` to `last_record`, bytes `first_byte` to `last_byte` (from 0, both included)."""

    record: int
    last_record: int
    first_byte: int
    last_byte: int
    what: str


class Piece(Struct, frozen=True):
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
        self.restored = 0  # records given back by a later one: they come after it, out of order
        self._wrong = bytearray()  # bytes since the last whole record that are no record
        self._wrong_at = 0
        self._gaps: list[Gap] = []  # a later resumption may close them

    @property
    def settled(self) -> bool:
        """True where nothing stands open before the next line."""
        return not self._wrong and not self._gaps

    def stand_at(self, seq: int, h: str, last: bytes) -> None:
        """Go on after a record that was found in order; `stream` passes over sound blocks by itself."""
        self.seq, self.h, self.last = seq, h, last

    def take(self, line: bytes, start: int) -> list[bytes]:
        """The whole records that this line (its newline taken off) brings, mostly itself."""
        explains = bool(self._wrong) or (bool(self._gaps) and kind_of(line) == RESUMED)
        if not explains and follows(line, self.seq + 1, self.h):
            self._accept(line, self.seq + 1)
            return [line]
        return list(self._examine(line, start, b"\n"))

    def finish(self, tail: bytes, start: int) -> list[bytes]:
        """Take what stands after the last newline, and judge what is left over."""
        taken: list[bytes] = []
        if tail:
            self.terminated = False
            taken = list(self._examine(tail, start, b""))
            if not self._wrong:
                end = start + len(tail) - 1
                self._mark(self.seq, end, end, "The last newline is missing; the record is whole.")
        if self._wrong:
            self._judge_tail()
        for gap in self._gaps:
            last = max(gap.after - 1, gap.before + 1)
            self.problems.append(Damage(gap.before + 1, last, gap.first_byte, gap.last_byte, gap.what))
        self.problems.sort(key=lambda found: found.first_byte)
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
        seq, prev = number(line), line[PREV].decode("ascii")
        in_order = seq == self.seq + 1 and prev == self.h
        if in_order and not self._wrong and not self._gaps:
            self._accept(line, seq)
            yield line
            return
        # what stands behind a fault is mostly none of its explanation: only a resumption is read for its copies
        copies = copies_in(parse_or_bare(line)) if kind_of(line) == RESUMED else {}
        if in_order and self._wrong:
            self._between(parse_or_bare(line), start)
        elif seq <= self.seq:
            last = start + len(line) - 1
            self.problems.append(Damage(seq, seq, start, last, "A record whose number has been used before."))
            self._wrong.clear()
            return
        elif not in_order:
            self._gaps.append(self._gap(seq, prev, start, len(line)))
        for gap in list(self._gaps if copies else ()):
            if (given := close(gap, copies)) is not None:
                self._gaps.remove(gap)
                yield from self._given_back(gap, given)
        self._wrong.clear()
        self._accept(line, seq)
        yield line

    def _accept(self, line: bytes, seq: int) -> None:
        self.seq = seq
        self.h = line[HASH].decode("ascii")
        self.last = line

    def _left_over(self) -> Piece:
        return Piece(self._wrong_at, bytes(self._wrong))

    def _between(self, record: Record, start: int) -> None:
        """Bytes between two records in order: a piece if the second names it, else damage.

        A piece whose bytes have changed since is still a piece: it was never a record. (Its page was dropped after
        a failed fsync, or it was changed later.)
        """
        named = self._left_over().named
        where = (self._wrong_at, max(start - 1, self._wrong_at))
        length = (record.data.get("offset"), record.data.get("length"))
        if record.kind != TORN or not self._wrong.endswith(b"\n") or length != (named["offset"], named["length"]):
            what = "Bytes between two records that belong to none."
            self.problems.append(Damage(record.seq - 1, record.seq, *where, what))
        elif record.data.get("sha256") != named["sha256"]:
            self._mark(record.seq, *where, "An unfinished record, named by the record after it and changed since.")
        else:
            self._mark(record.seq, *where, "An unfinished record, named by the record after it.")

    def _gap(self, seq: int, prev: str, start: int, length: int) -> Gap:
        """What is not there between the last whole record and record `seq`, whose line begins at `start`."""
        if self._wrong:
            region = (self._wrong_at, self._wrong_at + len(self._wrong.removesuffix(b"\n") or b"\n") - 1)
            return Gap(self.seq, self.h, seq, prev, *region, "The bytes do not fit their own hash.")
        if seq > self.seq + 1:
            return Gap(self.seq, self.h, seq, prev, start, start, "Records are missing here.")
        what = "The record does not follow the one before it."
        return Gap(self.seq, self.h, seq, prev, start, start + length - 1, what)

    def _given_back(self, gap: Gap, lines: list[bytes]) -> list[bytes]:
        self.restored += len(lines)
        last = max(gap.after - 1, gap.before + 1)
        what = "Lost in the file, restored from the copy after it."
        self.marks.append(Damage(gap.before + 1, last, gap.first_byte, gap.last_byte, what))
        return lines

    def _mark(self, record: int, first: int, last: int, what: str) -> None:
        self.marks.append(Damage(record, record, first, last, what))

    def _judge_tail(self) -> None:
        """A tail is torn where no line of it was ever complete; a closed log has no torn tail."""
        complete = sum(looks_complete(line) for line in bytes(self._wrong).split(b"\n"))
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
        self.piece = self._left_over()


def _inner_record(line: bytes) -> int:
    """Where a record that proves itself begins inside a line and runs to its end; 0 where none does."""
    for found in HEAD.finditer(line, 1):
        if proves(line[found.start() :]):
            return found.start()
    return 0
