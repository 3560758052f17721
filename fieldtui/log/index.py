"""A derived index of a folder: with a thousand surveys, only logs that have changed are read again.

It holds name, size and time of each file and what the file said when it was read. It can be deleted at any time, is
rebuilt where it does not fit, and is never the truth: damage to a file whose size and time are unchanged is seen by
`verify` and whenever the log itself is read.

    summaries       a folder -> one Summary a log
    closing_record  the last record of a summed-up log, read by one seek and proved
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from hashlib import sha256
from pathlib import Path
from typing import Any

from pydantic_core import from_json

from fieldtui.log.calls import OS, OsCalls
from fieldtui.log.folder import file_paths
from fieldtui.log.reader import LogFile, State, read_log
from fieldtui.log.record import HASH, Record, parse, proves

NAME = ".index.json"
FORMAT = 1


@dataclass(frozen=True, slots=True)
class Head:
    """The last record of a log."""

    seq: int
    h: str
    kind: str
    at: str


@dataclass(frozen=True, slots=True)
class Summary:
    """One log as it was when it was last read; `state` is never `open`: that is not kept."""

    path: Path
    size: int
    mtime_ns: int
    id: str
    survey: str
    label: str
    scope: str
    state: State
    begun: bool
    records: int
    last: Head | None
    last_line: tuple[int, int]  # first byte and length of the last line
    named: tuple[dict[str, Any], ...]
    continues: dict[str, Any] | None

    @property
    def closed(self) -> bool:
        return self.last is not None and self.last.kind == "closed"


def summaries(folder: Path, *, calls: OsCalls = OS) -> tuple[Summary, ...]:
    """One summary a log, in order of file name; the index is brought up to date where the folder can be written."""
    known = _load(folder / NAME)
    found: list[Summary] = []
    changed = False
    for path in file_paths(folder):
        status = path.stat()
        summary = known.get(path.name)
        if summary is None or (summary.size, summary.mtime_ns) != (status.st_size, status.st_mtime_ns):
            summary = summed_up(read_log(path, calls=calls), status.st_mtime_ns)
            changed = True
        found.append(summary)
    if changed or len(found) != len(known):
        _save(folder / NAME, found)
    return tuple(found)


def summed_up(log: LogFile, mtime_ns: int) -> Summary:
    """A log's summary; a log that is open now is summed up as it will be found after a kill."""
    last = Head(log.last.seq, log.last.h, log.last.kind, log.last.at) if log.last is not None else None
    return Summary(
        path=log.path,
        size=log.size,
        mtime_ns=mtime_ns,
        id=log.id,
        survey=log.survey,
        label=log.label,
        scope=str(log.head.get("scope", "")),
        state=log.state_at_rest,
        begun=log.begun,
        records=len(log.chain),
        last=last,
        last_line=log.last_line,
        named=log.named,
        continues=log.continues,
    )


def closing_record(summary: Summary, *, calls: OsCalls = OS) -> Record | None:
    """The last record, read from its place in the file; None where the file has changed since."""
    start, length = summary.last_line
    fd = calls.open_read(summary.path)
    try:
        calls.seek(fd, start)
        line = calls.read(fd, length)
    finally:
        calls.close(fd)
    if summary.last is None or not proves(line) or line[HASH].decode("ascii") != summary.last.h:
        return None
    return parse(line)


def _load(path: Path) -> dict[str, Summary]:
    """The index by file name; empty where there is none, or it is not one that this program wrote."""
    try:
        content = path.read_bytes()
    except OSError:
        return {}
    proof, _, body = content.partition(b"\n")
    if sha256(body).hexdigest().encode("ascii") != proof:
        return {}
    kept = from_json(body)
    if kept["format"] != FORMAT or kept["fields"] != [field.name for field in fields(Summary)]:
        return {}
    return {entry["path"]: _summary(path.parent, entry) for entry in kept["logs"]}


def _summary(folder: Path, entry: Mapping[str, Any]) -> Summary:
    own = dict(entry)
    own["path"] = folder / own["path"]
    own["last"] = Head(**own["last"]) if own["last"] is not None else None
    own["last_line"], own["named"] = tuple(own["last_line"]), tuple(own["named"])
    return Summary(**own)


def _save(path: Path, found: list[Summary]) -> None:
    """Written beside and renamed; where that fails the next opening is slower, nothing else."""
    entries = [{**asdict(summary), "path": summary.path.name} for summary in found]
    names = [field.name for field in fields(Summary)]
    body = json.dumps({"format": FORMAT, "fields": names, "logs": entries}).encode("ascii")
    part = path.with_name(path.name + ".part")
    try:
        part.write_bytes(sha256(body).hexdigest().encode("ascii") + b"\n" + body)
        part.replace(path)
    except OSError:
        return
