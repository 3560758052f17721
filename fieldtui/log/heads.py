"""Which heads a new log must name, so that each log witnesses the tails of those before it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, Protocol

from fieldtui.log.folder import LogFolder, read_folder


class Numbered(Protocol):
    """A record's place in its log."""

    @property
    def seq(self) -> int: ...
    @property
    def h(self) -> str: ...


class Tip(Protocol):
    """What is needed of a log here."""

    @property
    def path(self) -> Path: ...
    @property
    def id(self) -> str: ...
    @property
    def last(self) -> Numbered | None: ...
    @property
    def named(self) -> Sequence[Mapping[str, Any]]: ...
    @property
    def continues(self) -> Mapping[str, Any] | None: ...
    @property
    def begun(self) -> bool: ...


def heads(logs: Path | LogFolder | Iterable[Tip]) -> list[dict[str, Any]]:
    """Every head that no other log names, as `after` of a new log takes them, in order of file name.

    A log that another one continues has no head of its own.
    """
    if isinstance(logs, Path):
        logs = read_folder(logs)
    if isinstance(logs, LogFolder):
        logs = [*logs.logs, *(log for fork in logs.forks for log in fork.logs)]
    every: list[Tip] = sorted((log for log in logs if log.begun), key=lambda log: (log.path.name, log.id))
    named = {(str(head["log"]), int(head["seq"]), str(head["h"])) for log in every for head in log.named}
    continued = {str(log.continues["log"]) for log in every if log.continues is not None}
    found: dict[tuple[str, int, str], dict[str, Any]] = {}
    for log in every:
        if log.last is None or log.id in continued:
            continue
        key = (log.id, log.last.seq, log.last.h)
        if key not in named:
            found[key] = {"log": log.id, "seq": log.last.seq, "h": log.last.h}
    return list(found.values())
