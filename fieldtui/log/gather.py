"""Logs from several folders brought together in one. Commutative, associative, idempotent; no source is written.

A log is known by its id, a record by (log id, seq, h). Of two copies where one has all records of the other, the one
with more is kept. Copies that part, or of which each has what the other has not, are all kept, under names that
tell them apart; a fork so kept is folded by nobody until a journal settles it (`together` puts it aside).

What lies in the target afterwards follows from the set of logs alone, not from the order in which they came: names are
made of what the logs say, never of what the files were called.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from hashlib import sha256
from pathlib import Path
from typing import Any

from msgspec import Struct, field
from msgspec.structs import asdict

from fieldtui.log.beyond import Beyond, beyond
from fieldtui.log.calls import OS, OsCalls
from fieldtui.log.folder import SUFFIX, Fork, Missing, log_paths, read_folder, read_path, with_heads
from fieldtui.log.reader import LogFile
from fieldtui.log.refusals import LogRefused, WriteFailed
from fieldtui.log.stick import content_of, write_beside

Progress = Callable[[int, int], None]  # files done, files in all


class Gathered(Struct, frozen=True):
    """What a gathering did, and what is to be told."""

    into: Path
    new: tuple[str, ...]  # names of files
    longer: tuple[str, ...]
    same: int
    never_begun: tuple[str, ...]  # sources in which nothing was ever saved
    open_here: tuple[str, ...]  # logs of the target that another program has open: left as they are
    forks: tuple[Fork, ...] = ()
    missing: tuple[Missing, ...] = ()
    damaged: tuple[str, ...] = ()
    unread: tuple[LogRefused, ...] = field(default=())
    beyond: tuple[Beyond, ...] = ()

    @property
    def needs_attention(self) -> bool:
        return bool(self.forks or self.missing or self.damaged or self.open_here or self.unread or self.beyond)

    def as_data(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "into": str(self.into),
            "new": list(self.new),
            "longer": list(self.longer),
            "same": self.same,
            "never_begun": list(self.never_begun),
            "open_here": list(self.open_here),
            "damaged": list(self.damaged),
            "forks": [
                {"log": fork.log, "seq": fork.seq, "paths": [str(log.path) for log in fork.logs]} for fork in self.forks
            ],
            "missing": [asdict(one) for one in self.missing],
            "unread": [str(one) for one in self.unread],
            "beyond": [str(one) for one in self.beyond],
            "needs_attention": self.needs_attention,
        }


class Copy(Struct, frozen=True):
    """One file of a log: its records by number and hash, and where its bytes are."""

    log: str
    stem: str  # what its name begins with: time of creation and the first of the id
    records: frozenset[tuple[int, str]]
    size: int
    digest: str  # SHA-256 of the bytes
    path: Path
    here: bool  # in the target
    locked: bool

    def gives_way_to(self, other: Copy) -> bool:
        """True where the other has all that this has, and more of it or the same in other bytes."""
        if self.records == other.records:
            return (self.size, self.digest, self.here) < (other.size, other.digest, other.here)
        return self.records < other.records


def gather(sources: Sequence[Path], into: Path, *, progress: Progress | None = None, calls: OsCalls = OS) -> Gathered:
    """Bring the logs of folders (and the folders in them) together in `into`, which is made where it is not there.

    Raises WriteFailed where a copy does not reach the disk; what has been gathered by then stays.
    """
    into.mkdir(parents=True, exist_ok=True)
    into = into.resolve()
    paths = {path.resolve(): False for source in sources for path in logs_below(source)}
    paths |= {path.resolve(): True for path in log_paths(into)}
    read: list[tuple[LogFile, bool]] = []
    never_begun: list[str] = []
    unread: list[LogRefused] = []
    for number, (path, here) in enumerate(sorted(paths.items()), 1):
        try:
            log = read_path(path, calls)
        except LogRefused as refused:
            unread.append(refused)
        else:
            if log.begun or log.beheaded:
                read.append((log, here))
            else:
                never_begun += [] if here else [str(path)]
        if progress is not None:
            progress(number, len(paths))
    logs = with_heads([log for log, _ in read])
    copies = [_copy_of(log, here, calls) for log, (_, here) in zip(logs, read, strict=True)]
    done = _Settling(into, calls)
    for log_id in sorted({copy.log for copy in copies}):
        done.settle([copy for copy in copies if copy.log == log_id])
    found = read_folder(into, calls=calls)
    return Gathered(
        into=into,
        new=tuple(done.new),
        longer=tuple(done.longer),
        same=done.same,
        never_begun=tuple(never_begun),
        open_here=tuple(done.open_here),
        forks=found.forks,
        missing=found.missing,
        damaged=tuple(log.path.name for log in (*found.logs, *found.empty) if log.problems),
        unread=tuple(unread),
        beyond=tuple(beyond(found.logs)),
    )


def logs_below(source: Path) -> Iterator[Path]:
    """The file itself, or what bears a log's name in a folder and in the folders in it; hidden files are no logs."""
    if source.is_file():
        yield source
    else:
        found = (path for path in source.rglob("*" + SUFFIX) if not path.name.startswith("."))
        yield from sorted(path for path in found if path.is_file())


def _copy_of(log: LogFile, here: bool, calls: OsCalls) -> Copy:
    at, name = log.created, log.id
    if log.beheaded:  # nothing says which log it is: named by its first whole record
        at, name = log.records[0].at if log.records else "", log.chain[0][1]
    at = at.replace("-", "").replace(":", "").partition(".")[0].removesuffix("Z")
    content = content_of(log.path, calls)[: log.size]
    return Copy(
        log=name,
        stem=f"{at}Z-{name[:8]}",
        records=frozenset(log.chain),
        size=log.size,
        digest=sha256(content).hexdigest(),
        path=log.path,
        here=here,
        locked=log.locked,
    )


class _Settling(Struct):
    """Puts the copies of one log after another in their places in the target."""

    into: Path
    calls: OsCalls
    new: list[str] = field(default_factory=list)
    longer: list[str] = field(default_factory=list)
    open_here: list[str] = field(default_factory=list)
    same: int = 0
    ours: frozenset[Path] = frozenset()  # files of the log in hand that the target has

    def settle(self, copies: Sequence[Copy]) -> None:
        kept = [one for one in copies if not any(one.gives_way_to(other) for other in copies)]
        kept = list({one.digest: one for one in sorted(kept, key=lambda one: one.here)}.values())
        here = [one for one in copies if one.here]
        self.ours = frozenset(one.path for one in here)
        places = {self._place(one, alone=len(kept) == 1): one for one in kept}
        moved = [(place, one) for place, one in places.items() if one.path != place]
        leaving = [one for one in here if one.path not in places]
        if not moved and not leaving:
            self.same += 1
            return
        if any(one.locked for one in here):
            self.open_here.append(kept[0].stem)
            return
        for place, one in moved:
            self._put(one, place)
        for one in leaving:  # all that they had is in what was put, and durable
            one.path.unlink(missing_ok=True)
        (self.longer if here else self.new).append(kept[0].stem)

    def _place(self, one: Copy, *, alone: bool) -> Path:
        return self.into / (one.stem + ("" if alone else f"-{one.digest[:8]}") + SUFFIX)

    def _put(self, one: Copy, place: Path) -> None:
        try:
            content = content_of(one.path, self.calls)[: one.size]
            if place not in self.ours and place.exists() and not content.startswith(content_of(place, self.calls)):
                raise LogRefused("Another file has the name of this log.", where=str(place), todo="Move it elsewhere.")
            write_beside(content, place, self.calls)
        except OSError as error:
            raise WriteFailed(
                f"The log was not gathered: {error.strerror or error}.",
                where=str(place),
                todo="Make space or mend the disk, and gather again; no source has been changed.",
            ) from error
