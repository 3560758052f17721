"""What is appended when a log is taken up again: a pure function of its bytes.

    refuse_to_resume    closed, damaged, newer, empty, or with kinds that this program does not know
    resumption          newline, `torn` where a piece must be named, and `resumed` with the last entries

`resumed` repeats the last entry that is not bookkeeping, or all entries of the last write: their page may have been
dropped after a failed fsync, and then these copies are the only durable ones. It never repeats another `resumed`:
copies of copies would double in size. Interrupted at any byte, it can be done again.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from fieldtui.log.reader import LogFile
from fieldtui.log.record import HASH, RESUMED, TORN, number, seal
from fieldtui.log.refusals import LogRefused


def refuse_to_resume(log: LogFile, kinds: Collection[str] | None) -> None:
    """LogRefused where the log takes no more records."""
    where = str(log.path)
    if log.problems:
        first = log.problems[0]
        raise LogRefused(
            f"The log is damaged at record {first.record}, bytes {first.first_byte} to {first.last_byte}; it can be "
            "read and not written.",
            where=where,
            todo="Start a new log that continues it; verify says more.",
        )
    if not log.begun:
        raise LogRefused("The log was never begun: nothing was saved in it.", where=where, todo="Start a new log.")
    if log.newer:
        raise LogRefused(
            f"The log has format {log.head.get('format')}, which is later than this program.",
            where=where,
            todo="Use the program that wrote it.",
        )
    if log.closed:
        raise LogRefused("The log is closed and never written again.", where=where, todo="Start a new one.")
    unknown = sorted({record.kind for record in log.records} - set(kinds)) if kinds is not None else []
    if unknown:
        raise LogRefused(
            f"The log holds kinds of entry that this program does not know: {', '.join(unknown)}.",
            where=where,
            todo="Use the program that wrote it.",
        )


def resumption(log: LogFile, lines: list[bytes], at: str, who: Mapping[str, Any]) -> tuple[bytes, int, str]:
    """The bytes to append, and seq and hash of the last record in them."""
    last = lines[-1]
    seq, h = number(last), last[HASH].decode("ascii")
    addition = b"" if log.terminated else b"\n"
    if log.piece is not None:
        line = seal(seq + 1, at, TORN, dict(log.piece.named), h)
        seq, h = seq + 1, line[:-1][HASH].decode("ascii")
        addition += line
    low, high = log.unit
    copies = [line.decode("ascii") for line in lines if low <= number(line) <= high]
    line = seal(seq + 1, at, RESUMED, {**who, "copies": copies}, h)
    return addition + line, seq + 1, line[:-1][HASH].decode("ascii")
