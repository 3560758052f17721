"""The logs of a folder as one: which belong together, which fork, which are missing.

read_folder     every log of a folder -> LogFolder
together        logs read already, whatever folders they come from -> LogFolder
continued_by    the file beside a log that goes on with it
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, Protocol, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.log.calls import OS, OsCalls
from fieldtui.log.reader import LogFile, read_log
from fieldtui.log.refusals import LogRefused

SUFFIX = ".jsonl"
RECORD_0 = 1024  # bytes that hold record 0


class _Names(Protocol):
    """A file of a log, and the heads of other logs that it names."""

    @property
    def id(self) -> str: ...
    @property
    def named(self) -> Sequence[Mapping[str, Any]]: ...


Naming = TypeVar("Naming", bound=_Names)


class Fork(Struct, frozen=True):
    """One log id with two records at one seq: both kept, neither folded until a journal settles it."""

    log: str
    seq: int  # where they part
    logs: tuple[LogFile, ...]


class Missing(Struct, frozen=True):
    """A head that a log names and that is not there: a missing log, or a lost tail."""

    log: str
    seq: int
    h: str
    named_by: str  # log id
    what: str


class LogFolder(Struct, frozen=True):
    """`logs` in order of file name, each once; forked ones only in `forks`; in `empty` files nothing was ever saved, or
    the first record is damaged and no copy tells which log they are.

    `unread` is what bears a log's name and is no file, or cannot be read.
    """

    logs: tuple[LogFile, ...]
    forks: tuple[Fork, ...] = ()
    missing: tuple[Missing, ...] = ()
    empty: tuple[LogFile, ...] = ()
    unread: tuple[LogRefused, ...] = ()


def logs_by_name(folder: Path) -> dict[str, Path]:
    """What bears a log's name in a folder, by name, which begins with the time of creation; none if it is not there.

    LogRefused where the folder is there and cannot be looked into.
    """
    try:
        if not folder.is_dir():
            return {}
        paths = {path.name: path for path in folder.iterdir()}
        return {name: paths[name] for name in sorted(paths) if name.endswith(SUFFIX) and not name.startswith(".")}
    except OSError as error:
        raise LogRefused(
            f"The folder of the logs cannot be looked into: {error.strerror or error}.",
            where=str(folder),
            todo="Ask for the right to read it, or look at the disk it lies on.",
        ) from error


def log_paths(folder: Path) -> list[Path]:
    """As `logs_by_name`, without the names."""
    return list(logs_by_name(folder).values())


def read_folder(folder: Path, *, calls: OsCalls = OS) -> LogFolder:
    """Read every log of a folder. One that cannot be read is in `unread` and stands in nobody's way."""
    logs: list[LogFile] = []
    unread: list[LogRefused] = []
    for path in log_paths(folder):
        try:
            logs.append(read_path(path, calls))
        except LogRefused as refused:
            unread.append(refused)
    return replace(together(logs), unread=tuple(unread))


def read_path(path: Path, calls: OsCalls) -> LogFile:
    """What bears a log's name, read; LogRefused where it is no file or cannot be read."""
    refuse_no_file(path)
    return read_log(path, calls=calls)


def refuse_no_file(path: Path) -> None:
    """LogRefused for what is there and is no file, or cannot be told: to open a pipe would wait for ever."""
    try:
        if path.is_file() or not (path.exists() or path.is_symlink()):
            return
    except OSError as error:  # a folder whose names may be read and nothing more
        what = f"The log cannot be read: {error.strerror or error}."
        raise LogRefused(what, where=str(path), todo="Ask for the right to read it.") from error
    what = "This is no file."
    if path.is_dir():
        what = "This is a folder and no log."
    elif path.is_symlink():
        what = "This is a link to a file that is not there."
    raise LogRefused(what, where=str(path), todo="Move it out of the folder of the logs, or bring the log back.")


def file_paths(folder: Path) -> list[Path]:
    """As `log_paths`, without what is no file."""
    return [path for path in log_paths(folder) if path.is_file()]


def continued_by(path: Path, log_id: str, *, calls: OsCalls = OS) -> Path | None:
    """The log beside `path` that goes on where it ends, if there is one; reads the first record of each.

    A file that cannot be read is passed by, as in `read_folder`: it stands in nobody's way.
    """
    sign = f'"continues":{{"log":"{log_id}"'.encode("ascii")
    for other in file_paths(path.parent):
        try:
            if other != path and sign in _beginning(other, calls) and read_log(other, calls=calls).begun:
                return other
        except (OSError, LogRefused):
            continue
    return None


def _beginning(path: Path, calls: OsCalls) -> bytes:
    fd = calls.open_read(path)
    try:
        return calls.read(fd, RECORD_0)
    finally:
        calls.close(fd)


def together(files: Iterable[LogFile]) -> LogFolder:
    """Logs as one, whatever folders they come from; pure. The same log twice counts once, the longer of two."""
    by_id: dict[str, list[LogFile]] = {}
    empty = []
    for log in with_heads(list(files)):
        if log.begun:
            by_id.setdefault(log.id, []).append(log)
        else:
            empty.append(log)
    logs, forks = [], []
    for log_id, same in by_id.items():
        if len(same) == 1:
            logs += same
            continue
        seq = parting(same)
        if seq is None:
            logs.append(united(same))
        else:
            forks.append(Fork(log_id, seq, tuple(same)))
    logs = _cut_where_continued(logs)
    every = [*logs, *(log for fork in forks for log in fork.logs)]
    missing = tuple(missing_heads(every, LogFile.hash_at))
    return LogFolder(tuple(sorted(logs, key=_order)), tuple(forks), missing, tuple(empty))


def with_heads(files: Sequence[LogFile]) -> Sequence[LogFile]:
    """Logs whose first record is damaged, told which they are by a copy that has a record in common with them."""
    if not any(log.beheaded for log in files):
        return files
    whole = {link: log for log in files if log.head for link in log.chain}
    made = []
    for log in files:
        own = next((whole[link] for link in log.chain if link in whole), None) if log.beheaded else None
        made.append(
            log if own is None else replace(log, id=own.id, head=own.head, created=own.created, after=own.after)
        )
    return made


def _order(log: LogFile) -> tuple[str, str]:
    return (log.path.name, log.id)


def parting(same: list[LogFile]) -> int | None:
    """The first seq at which logs of one id differ; None where each is the beginning of the longest."""
    seen: dict[int, str] = {}
    parted: set[int] = set()
    for log in same:
        for seq, h in log.chain:
            if seen.setdefault(seq, h) != h:
                parted.add(seq)
                break
    return min(parted, default=None)


def united(same: Sequence[LogFile]) -> LogFile:
    """Copies of one log as one: the longer; an entry that is damaged in it is taken from a copy where it is whole.

    Of copies alike, the file that still has the name that it was begun with.
    """
    longest = max(same, key=lambda log: (len(log.chain), log.locked, log.size, _own_name(log), log.path.name))
    records = {record.seq: record for log in same for record in log.records}
    chain = {seq: h for log in same for seq, h in log.chain}
    if len(chain) == len(longest.chain):
        return longest
    last = max((log.last for log in same if log.last is not None), key=lambda record: record.seq)
    return replace(
        longest,
        records=tuple(records[seq] for seq in sorted(records)),
        chain=tuple(sorted(chain.items())),
        last=last,
        head=next(log.head for log in same if log.head),
    )


def _own_name(log: LogFile) -> bool:
    return log.path.name.endswith(f"-{log.id[:8]}{SUFFIX}")


def _cut_where_continued(logs: list[LogFile]) -> list[LogFile]:
    """Entries of a log past the point where another goes on are shown, not folded."""
    ends: dict[str, int] = {}
    for log in logs:
        if log.continues is not None:
            named, seq = str(log.continues["log"]), int(log.continues["seq"])
            ends[named] = min(seq, ends.get(named, seq))
    return [_cut(log, ends[log.id]) if log.id in ends else log for log in logs]


def _cut(log: LogFile, seq: int) -> LogFile:
    return replace(
        log,
        records=tuple(record for record in log.records if record.seq <= seq),
        beyond=tuple(record for record in log.records if record.seq > seq),
    )


def missing_heads(files: Sequence[Naming], hash_at: Callable[[Naming, int], str | None]) -> Iterator[Missing]:
    """Heads that files of logs name and that are in none of them.

    `hash_at` gives the hash of a record by the file and its number, None where there is none.
    """
    here: dict[str, list[Naming]] = {}
    for file in files:
        here.setdefault(file.id, []).append(file)
    for file in files:
        for head in file.named:
            log_id, seq, h = str(head["log"]), int(head["seq"]), str(head["h"])
            found = [hash_at(one, seq) for one in here.get(log_id, ())]
            if h in found:
                continue
            if not found:
                what = "The log is not here."
            elif not any(found):
                what = "The log is here and its end is lost."
            else:
                what = "The log is here with another record at this number."
            yield Missing(log_id, seq, h, file.id, what)
