"""Are these logs whole? Works on bytes: hash and link of every line; only the first records are read as JSON.

    verify          files and folders together -> Verification: forks, missing logs, lost tails, what counts nowhere
    verify_log      one file -> Verdict (in `verdict`)

A chain cannot see a tail that was cut off, nor a chain rebuilt by someone who can: for that the short code of the head
is written down outside the laptop, and given here as `code`.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.structs import asdict

from fieldtui.log.beyond import Beyond, beyond
from fieldtui.log.calls import OS, OsCalls
from fieldtui.log.folder import Missing, log_paths, missing_heads, parting, refuse_no_file, together
from fieldtui.log.reader import head_of, read_log, witnessed
from fieldtui.log.record import parse_or_bare, proves
from fieldtui.log.refusals import LogRefused
from fieldtui.log.stream import FIRST, Progress
from fieldtui.log.verdict import CodeAnswer, Verdict, verify_log

__all__ = ["Parted", "Verdict", "Verification", "verify", "verify_log"]


class Parted(Struct, frozen=True):
    """Files of one log that differ at record `seq`."""

    log: str
    seq: int
    paths: tuple[Path, ...]


class Verification(Struct, frozen=True):
    """Several files verified together."""

    verdicts: tuple[Verdict, ...]
    forks: tuple[Parted, ...] = ()
    missing: tuple[Missing, ...] = ()
    code: str | None = None
    unread: tuple[LogRefused, ...] = ()
    beyond: tuple[Beyond, ...] = ()

    @property
    def code_answer(self) -> CodeAnswer | None:
        """The best answer of any file, or None where no code was given."""
        order: tuple[CodeAnswer, ...] = ("fits", "fits an earlier record", "was not copied well", "fits no record")
        given = {verdict.code_answer for verdict in self.verdicts}
        return next((answer for answer in order if answer in given), None)

    @property
    def needs_attention(self) -> bool:
        """True where something is damaged, torn, forked, missing, unread or past its end, or the code is wrong."""
        if self.forks or self.missing or self.unread or self.beyond or self.code_answer not in {None, "fits"}:
            return True
        return any(verdict.needs_attention for verdict in self.verdicts)

    def as_data(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "logs": [verdict.as_data() for verdict in self.verdicts],
            "forks": [{**asdict(fork), "paths": [str(path) for path in fork.paths]} for fork in self.forks],
            "missing": [asdict(one) for one in self.missing],
            "unread": [str(one) for one in self.unread],
            "beyond": [str(one) for one in self.beyond],
            "code": self.code,
            "code_answer": self.code_answer,
            "needs_attention": self.needs_attention,
        }


def verify(
    places: Sequence[Path], *, code: str | None = None, progress: Progress | None = None, calls: OsCalls = OS
) -> Verification:
    """Verify files and the logs of folders together."""
    paths = [path for place in places for path in (log_paths(place) if place.is_dir() else [place])]
    wanted = _numbers_named(paths, calls)
    verdicts: list[Verdict] = []
    unread: list[LogRefused] = []
    sizes = [path.stat().st_size if path.is_file() else 0 for path in paths]
    for number, path in enumerate(paths):
        before = sum(sizes[:number])

        def so_far(done: int, _: int, before: int = before) -> None:
            if progress is not None:
                progress(before + done, sum(sizes))

        try:
            refuse_no_file(path)
            verdicts.append(verify_log(path, code=code, wanted=wanted, progress=so_far, calls=calls))
        except LogRefused as refused:
            unread.append(refused)
    missing = missing_heads(verdicts, lambda verdict, seq: verdict.hashes.get(seq))
    forks, past = _forks(verdicts, calls), _past_continuation(verdicts, calls)
    return Verification(tuple(verdicts), forks, tuple(missing), code, tuple(unread), past)


def _numbers_named(paths: Sequence[Path], calls: OsCalls) -> frozenset[int]:
    """The numbers of records that any of these logs names in another; a file that cannot be read names none."""
    numbers: set[int] = set()
    for path in paths:
        try:
            refuse_no_file(path)
            with os.fdopen(calls.open_read(path), "rb") as file:
                lines = [file.readline().removesuffix(b"\n") for _ in range(FIRST)]
        except (OSError, LogRefused):
            continue  # it is told when its turn comes
        first = [parse_or_bare(line) for line in lines if proves(line)]
        head = head_of(first)
        named = [*witnessed(first), *([head["continues"]] if "continues" in head else [])]
        numbers |= {int(head["seq"]) for head in named}
    return frozenset(numbers)


def _past_continuation(verdicts: Sequence[Verdict], calls: OsCalls) -> tuple[Beyond, ...]:
    """Entries past the point where another file goes on with their log; only such files are read whole."""
    going_on = [one for one in verdicts if "continues" in one.head]
    ends = [(str(one.head["continues"]["log"]), int(one.head["continues"]["seq"])) for one in going_on]
    past = {one.id for one in verdicts if any(one.id == log and one.seq > seq for log, seq in ends)}
    after = [one for one, (log, _) in zip(going_on, ends, strict=True) if log in past]
    paths = {one.path for one in verdicts if one.id in past} | {one.path for one in after}
    return tuple(beyond(together(read_log(path, calls=calls) for path in sorted(paths)).logs))


def _forks(verdicts: Sequence[Verdict], calls: OsCalls) -> tuple[Parted, ...]:
    """Logs that are here more than once and part; only these are read whole."""
    by_id: dict[str, list[Path]] = {}
    for verdict in verdicts:
        by_id.setdefault(verdict.id, []).append(verdict.path)
    forks = []
    for log_id, paths in by_id.items():
        if log_id and len(paths) > 1:
            seq = parting([read_log(path, calls=calls) for path in paths])
            forks += [Parted(log_id, seq, tuple(paths))] if seq is not None else []
    return tuple(forks)
