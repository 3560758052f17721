"""Entries that a resumption gives back: a page was dropped after a failed fsync, and the copy in `resumed` is durable.

Gap         records that are not in the file, between two that are
copies_in   the proved copies of a `resumed`
close       the records of a gap from those copies, where they fit it
"""

from __future__ import annotations

from msgspec import Struct

from fieldtui.log.record import HASH, PREV, RESUMED, Record, number, proves


class Gap(Struct, frozen=True):
    """Record `before` with hash `h` and record `after` with its `prev` are there, those between are not."""

    before: int
    h: str
    after: int
    prev: str
    first_byte: int
    last_byte: int
    what: str


def copies_in(record: Record) -> dict[int, bytes]:
    """By seq; none where one of them does not prove itself."""
    if record.kind != RESUMED:
        return {}
    lines = [str(copy).encode("ascii", "replace") for copy in record.data.get("copies", ())]
    return {number(line): line for line in lines} if all(proves(line) for line in lines) else {}


def close(gap: Gap, copies: dict[int, bytes]) -> list[bytes] | None:
    """The lost entries of a gap in order; None where these copies, of a later `resumed`, do not close it.

    The copies are the entries of the last write before their resumption. What stood after them can only be
    bookkeeping of recoveries, nothing of the survey, and may be lost.
    """
    if not copies:
        return None
    found: list[bytes] = []
    seq, h = gap.before, gap.h
    while seq + 1 < gap.after and (line := copies.get(seq + 1)) is not None and line[PREV].decode("ascii") == h:
        found.append(line)
        seq, h = seq + 1, line[HASH].decode("ascii")
    if seq + 1 == gap.after:
        return found if h == gap.prev else None
    return found if seq >= max(copies) else None
