"""One file verified: its state, its head, and whether a short code fits."""

from __future__ import annotations

import os
from collections.abc import Collection, Mapping
from pathlib import Path
from typing import Any, Literal

from msgspec import Struct
from msgspec.structs import asdict

from fieldtui.log.calls import OS, OsCalls
from fieldtui.log.chain import Damage
from fieldtui.log.reader import LogState, head_of, is_open, read_log, state_of, witnessed
from fieldtui.log.record import CLOSED, kind_of, parse_or_bare
from fieldtui.log.refusals import LogRefused
from fieldtui.log.shortcode import code_fits, code_is_well_copied, short_code
from fieldtui.log.stream import Passed, Progress, pass_over

CodeAnswer = Literal["fits", "fits an earlier record", "fits no record", "was not copied well"]


class Verdict(Struct, frozen=True):
    """What verifying one file gives."""

    path: Path
    head: Mapping[str, Any]  # data of record 0
    state: LogState
    records: int  # whole ones, bookkeeping included
    seq: int
    h: str
    size: int
    problems: tuple[Damage, ...]
    marks: tuple[Damage, ...]
    named: tuple[dict[str, Any], ...]  # heads of other logs that this one witnesses
    hashes: Mapping[int, str]  # at the numbers that other logs name, and at the head
    code_answer: CodeAnswer | None = None

    @property
    def id(self) -> str:
        return str(self.head.get("log", ""))

    @property
    def code(self) -> str:
        """The short code of the head, or empty where there is no record."""
        return short_code(self.h) if self.records else ""

    @property
    def needs_attention(self) -> bool:
        """True where the file is not as it was written. Unclosed is no fault; an open one is being written."""
        return self.state in {"damaged", "torn", "empty"} or (bool(self.marks) and self.state != "open")

    def as_data(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "path": str(self.path),
            "log": self.id,
            "survey": self.head.get("survey", ""),
            "label": self.head.get("label", ""),
            "state": self.state,
            "records": self.records,
            "head": {"seq": self.seq, "h": self.h} if self.records else None,
            "code": self.code,
            "code_answer": self.code_answer,
            "bytes": self.size,
            "damage": [asdict(one) for one in self.problems],
            "marks": [asdict(one) for one in self.marks],
        }


def verify_log(
    path: Path,
    *,
    code: str | None = None,
    wanted: Collection[int] = (),
    progress: Progress | None = None,
    calls: OsCalls = OS,
) -> Verdict:
    """Verify one file; LogRefused where it cannot be read. `progress` is told bytes done and bytes in all."""
    try:
        fd = calls.open_read(path)
        locked = is_open(calls, fd)
        with os.fdopen(fd, "rb", buffering=1 << 20) as file:
            size = os.fstat(fd).st_size
            passed = pass_over(file, size, wanted=wanted, progress=progress)
            locked = locked or is_open(calls, file.fileno())
    except OSError as error:
        raise LogRefused(
            f"The log cannot be read: {error.strerror or error}.", where=str(path), todo="Look at the disk it lies on."
        ) from error
    return _verdict(path, passed, size, locked, _answer(path, passed, code, calls))


def _verdict(path: Path, passed: Passed, size: int, locked: bool, answer: CodeAnswer | None) -> Verdict:
    chain = passed.chain
    first = [parse_or_bare(line) for line in passed.lines]
    head = head_of(first)
    begun = bool(head) and (bool(chain.problems) or passed.records >= int(head.get("with", 1)))
    closed = kind_of(chain.last) == CLOSED
    named = (*witnessed(first), *([head["continues"]] if "continues" in head else []))
    return Verdict(
        path=path,
        head=head,
        state=state_of(
            damaged=bool(chain.problems), locked=locked, begun=begun, closed=closed, torn=chain.piece is not None
        ),
        records=passed.records,
        seq=chain.seq,
        h=chain.h,
        size=size,
        problems=tuple(chain.problems),
        marks=tuple(chain.marks),
        named=named,
        hashes={**passed.hashes, chain.seq: chain.h},
        code_answer=answer,
    )


def _answer(path: Path, passed: Passed, code: str | None, calls: OsCalls) -> CodeAnswer | None:
    if code is None:
        return None
    if not code_is_well_copied(code):
        return "was not copied well"
    if code_fits(code, passed.chain.h):
        return "fits"
    # rare: only now is the whole log kept in memory
    earlier = any(code_fits(code, h) for _, h in read_log(path, calls=calls).chain)
    return "fits an earlier record" if earlier else "fits no record"
