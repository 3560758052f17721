"""A derived index of a folder: with a thousand surveys, only logs that have changed are read again.

    read_indexed(folder, Derive) ──► LogFolder as `read_folder` gives it, and what was derived of each log: Derived

It holds closed, whole logs alone: what `verify` would call whole and nobody writes again. Of each it keeps size and
times of the file, the SHA-256 of its bytes, what a LogFile tells without its records, and pieces that the caller has
derived from it, by names of the caller's. It can be deleted at any time. Where it is spoilt, stale, of another version,
or cannot be written, the logs are read: it is never the truth. A file that was written so shortly before it was indexed
that its times might not tell a later change is held against the SHA-256 (as git does with its index). Damage behind
unchanged times is seen by `verify`, and whenever the log itself is read.

`index_file` is the file itself, `later` a sequence read when it is asked for.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from hashlib import sha256
from pathlib import Path
from stat import S_ISREG
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.log.calls import OS, OsCalls
from fieldtui.log.folder import LogFolder, logs_by_name, refuse_no_file, together
from fieldtui.log.index_file import Entry, IndexFile, Pieces, Told, load, save
from fieldtui.log.later import Chained, Later
from fieldtui.log.reader import LogFile, content_and_lock, log_of, read_log, scan
from fieldtui.log.record import Record
from fieldtui.log.refusals import LogRefused

NAME = ".index"
RACY_NS = 2_000_000_000
"""A file's times may stand still for so long while it changes: two seconds on the coarsest of file systems."""


class Derive(Struct, frozen=True):
    """How the caller derives pieces of a closed, whole log: name -> bytes without a newline; None: not to be kept.

    Another `version` derives other pieces.
    """

    version: str
    pieces: Callable[[LogFile], Mapping[str, bytes] | None]


class Derived:
    """What was derived of the logs of a folder, read from the index when it is asked for."""

    def __init__(
        self,
        index: IndexFile | None,
        derive: Derive,
        folder: Path,
        names: Mapping[str, str],
        calls: OsCalls,
        made: Mapping[str, Pieces],
    ) -> None:
        """`names` of files, by log; `made` are pieces of a file each, by its name, that no index could take up."""
        self._index, self._derive, self._folder, self._names, self._calls = index, derive, folder, names, calls
        self._anew: dict[str, Mapping[str, bytes]] | None = None
        if index is None:
            self._anew = {log: made[name] for log, name in names.items()}

    @property
    def logs(self) -> frozenset[str]:
        """The ids of the logs of which there are pieces."""
        return frozenset(self._names)

    def names(self) -> Iterable[str]:
        """The names that any log has a piece of."""
        if self._index is not None and self._anew is None:
            return self._index.parts
        return {name: None for pieces in self._from_logs().values() for name in pieces}

    def pieces(self, name: str) -> Mapping[str, bytes]:
        """The pieces of that name, read anew each time: log id -> piece."""
        if self._index is not None and self._anew is None:
            found = self._index.pieces(name)
            if found is not None:
                return {log: found[file] for log, file in self._names.items() if file in found}
        return {log: pieces[name] for log, pieces in self._from_logs().items() if name in pieces}

    def _from_logs(self) -> dict[str, Mapping[str, bytes]]:
        """The index has been spoilt or taken away since it was opened: everything from the logs, as if it never was."""
        if self._anew is None:
            read = ((log, read_log(self._folder / file, calls=self._calls)) for log, file in self._names.items())
            made = {log: self._derive.pieces(whole) for log, whole in read}
            self._anew = {log: pieces or {} for log, pieces in made.items()}
        return self._anew


def read_indexed(folder: Path, derive: Derive, *, calls: OsCalls = OS) -> tuple[LogFolder, Derived]:
    """Read a folder through its index, which is brought up to date where the folder can be written."""
    known = load(folder / NAME, derive.version)
    entries = known.entries if known is not None else {}
    logs: list[LogFile] = []
    unread: list[LogRefused] = []
    kept: list[Entry] = []
    new: dict[str, Pieces] = {}
    begun = time.time_ns()
    for name, path in logs_by_name(folder).items():
        try:
            log, entry, pieces = _log(path, entries.get(name), derive, calls, begun)
        except LogRefused as refused:
            unread.append(refused)
            continue
        logs.append(log)
        kept += [entry] if entry is not None else []
        if pieces is not None:
            new[name] = pieces
    found = replace(together(logs), unread=tuple(unread))
    kept = _with_hashes(kept, logs)
    index = known
    if new or kept != list(entries.values()):
        index = save(folder / NAME, derive.version, known, kept, new) or known
        if index is known and known is not None:
            _drop(known)
    # only its regions are read from now on
    regions = replace(index, entries={}) if index is not None else None
    return found, Derived(regions, derive, folder, _held(found, kept), calls, new)


def _drop(known: IndexFile) -> None:
    """An index that could not be brought up to date is taken away, if that can be done: the next one is made anew."""
    try:
        known.path.unlink(missing_ok=True)
    except OSError:  # a folder that cannot be written keeps it: stale entries are not believed
        return


def _held(found: LogFolder, kept: Sequence[Entry]) -> dict[str, str]:
    """The logs of which pieces are at hand, with the names of their files: whole, each in one file, not read anew."""
    several = Counter(entry.log for entry in kept)
    unread = {log.id for log in found.logs if isinstance(log.records, Later)}  # one that is cut short has been read
    return {entry.log: entry.name for entry in kept if several[entry.log] == 1 and entry.log in unread}


def _log(
    path: Path, entry: Entry | None, derive: Derive, calls: OsCalls, begun: int
) -> tuple[LogFile, Entry | None, Pieces | None]:
    """One log: from its entry where that still fits, else read; its new entry and pieces where it is to be kept.

    `begun`, before any of the files was looked at, in nanoseconds as a file's times: one that was written since then is
    young enough, whenever it is looked at.
    """
    try:
        status = path.stat()
    except OSError:  # gone since the folder was looked into, or not to be told
        refuse_no_file(path)
        return read_log(path, calls=calls), None, None
    if not S_ISREG(status.st_mode):
        refuse_no_file(path)
    times = (status.st_size, status.st_mtime_ns, status.st_ctime_ns)
    racy = max(status.st_mtime_ns, status.st_ctime_ns) > begun - RACY_NS
    if entry is not None and (entry.size, entry.mtime_ns, entry.ctime_ns) == times:
        if not entry.racy:
            return _from(entry, path, calls), entry, None
        if sha256(content_and_lock(path, calls)[0]).hexdigest() == entry.sha256:
            return _from(entry, path, calls), replace(entry, racy=racy), None
    content, locked = content_and_lock(path, calls)
    log = log_of(path, content, *scan(content), locked=locked)
    if log.state_at_rest != "whole" or log.newer or locked or len(content) != status.st_size or not _is_text(path.name):
        return log, None, None
    pieces = derive.pieces(log)
    if pieces is None:
        return log, None, None
    told = _entry(log, times, racy, sha256(content).hexdigest())
    # as its entry tells it from now on: the records of a thousand logs at once would take ten times the memory
    return _from(told, path, calls), told, pieces


def _is_text(name: str) -> bool:
    """Whether a file's name was UTF-8: the index holds no other."""
    try:
        name.encode()
    except UnicodeEncodeError:
        return False
    return True


def _entry(log: LogFile, times: tuple[int, int, int], racy: bool, digest: str) -> Entry:
    """What a LogFile tells without its records."""
    assert log.last is not None
    told = Told(
        last=log.last,
        head=log.head,
        created=log.created,
        after=None if log.after == _after(log.head) else log.after,
        unit=log.unit,
        last_line=log.last_line,
        marks=log.marks,
        resumed=log.resumed,
        records=len(log.records),
        chain=len(log.chain),
        hashes={},
    )
    return Entry(log.path.name, log.id, *times, racy, digest, told)


class _Unread:
    """A log that its entry tells of, read once when its records or its hashes are asked for."""

    __slots__ = ("_calls", "_log", "_path")

    def __init__(self, path: Path, calls: OsCalls) -> None:
        self._path, self._calls = path, calls
        self._log: LogFile | None = None

    def _read(self) -> LogFile:
        if self._log is None:
            self._log = read_log(self._path, calls=self._calls)
        return self._log

    def records(self) -> Sequence[Record]:
        return self._read().records

    def chain(self) -> Sequence[tuple[int, str]]:
        return self._read().chain


def _from(entry: Entry, path: Path, calls: OsCalls) -> LogFile:
    """The log as its entry tells it; records and hashes come from the file when they are asked for."""
    told, unread = entry.told, _Unread(path, calls)
    return LogFile(
        path=path,
        id=entry.log,
        records=Later(told.records, unread.records),
        last=told.last,
        head=told.head,
        created=told.created,
        after=_after(told.head) if told.after is None else told.after,
        unit=told.unit,
        chain=Chained(told.chain, unread.chain, _hashes(told)),
        size=entry.size,
        last_line=told.last_line,
        locked=False,
        problems=(),
        marks=told.marks,
        piece=None,
        terminated=True,
        resumed=told.resumed,
    )


def _after(head: Mapping[str, Any]) -> tuple[dict[str, Any], ...]:
    return tuple(head.get("after", ()))


def _hashes(told: Told) -> dict[int, str]:
    return {told.last.seq: told.last.h, **told.hashes}


def _with_hashes(kept: Sequence[Entry], logs: Sequence[LogFile]) -> list[Entry]:
    """The entries with the hashes that other logs name in them, so that these logs need not be read for that."""
    lasts = {(entry.log, entry.told.last.seq) for entry in kept}
    named: dict[str, set[int]] = {}
    for log in logs:
        for head in log.named:
            one = (str(head["log"]), int(head["seq"]))
            if one not in lasts:  # mostly a log is named as it was closed
                named.setdefault(one[0], set()).add(one[1])
    if not named:
        return list(kept)
    by_name = {log.path.name: log for log in logs}
    made = []
    for entry in kept:
        wanted = sorted(named.get(entry.log, set()) - set(_hashes(entry.told)))
        found = {seq: h for seq in wanted if (h := by_name[entry.name].hash_at(seq)) is not None}
        if found:
            entry = replace(entry, told=replace(entry.told, hashes={**entry.told.hashes, **found}))
        made.append(entry)
    return made
