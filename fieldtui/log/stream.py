"""A log passed over once, block by block: hash and link of every line.

The way through a sound block is short: hash every line, and compare what the lines say with what they must say. A
block that does not fit goes line by line through the chain, which says what is wrong.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from hashlib import sha256
from typing import BinaryIO

from msgspec import Struct, field

from fieldtui.log.chain import Chain
from fieldtui.log.record import HASH, number

BLOCK = 1 << 18  # bytes
FIRST = 2  # records kept at least: record 0, and more heads behind it

Progress = Callable[[int, int], None]  # bytes done, bytes in all


class Passed(Struct):
    """What one pass has seen: `lines` are the whole records in order, all of them or the first."""

    chain: Chain = field(default_factory=Chain)
    lines: list[bytes] = field(default_factory=list)
    records: int = 0
    hashes: dict[int, str] = field(default_factory=dict)  # at the numbers asked for


def pass_over(
    file: BinaryIO,
    size: int,
    *,
    keep: bool = False,
    wanted: Collection[int] = (),
    progress: Progress | None = None,
) -> Passed:
    """Read a file to its end; `keep` keeps every line, `wanted` are numbers of records whose hashes are kept.

    A line without its newline is the last: where a writer is just adding it, what follows belongs to the next look.
    """
    passed = Passed()
    chain, start, tail = passed.chain, 0, b""
    while not tail and (lines := file.readlines(BLOCK)):
        if _sound(chain, lines):
            start += sum(map(len, lines))
            if keep or wanted or len(passed.lines) < FIRST:
                _note(passed, [line[:-1] for line in lines], keep, wanted)
            else:
                passed.records += len(lines)
        else:
            for line in lines:
                if not line.endswith(b"\n"):
                    tail = line
                    break
                _note(passed, chain.take(line[:-1], start), keep, wanted)
                start += len(line)
        if progress is not None:
            progress(start, size)
    _note(passed, chain.finish(tail, start), keep, wanted)
    if chain.restored and keep:
        passed.lines.sort(key=number)
    return passed


def _sound(chain: Chain, lines: Sequence[bytes]) -> bool:
    """True where all lines are records in order, and the chain then stands behind them; else nothing has happened."""
    if not chain.settled:
        return False
    found = [sha256(line[:-73]).hexdigest() for line in lines]
    ends = [f',"prev":"{prev}","h":"{h}"}}\n' for prev, h in zip([chain.h, *found], found, strict=False)]
    if b"".join([line[-147:] for line in lines]) != "".join(ends).encode("ascii"):
        return False
    after = chain.seq + 1
    numbers = [b'{"seq":%d,"at":"' % seq for seq in range(after, after + len(lines))]
    if not all(map(bytes.startswith, lines, numbers)):
        return False
    chain.stand_at(chain.seq + len(lines), found[-1], lines[-1][:-1])
    return True


def _note(passed: Passed, whole: list[bytes], keep: bool, wanted: Collection[int]) -> None:
    """Count whole records, and keep what was asked for."""
    passed.records += len(whole)
    passed.lines += whole if keep else whole[: max(FIRST - len(passed.lines), 0)]
    if wanted:
        passed.hashes |= {seq: line[HASH].decode("ascii") for line in whole if (seq := number(line)) in wanted}
