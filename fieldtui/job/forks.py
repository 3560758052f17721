"""Logs of one id that part: set aside until a journal says which of them counts."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from fieldtui.job.declared import Kept
from fieldtui.log import Fork, LogFile, LogFolder


def with_settled_forks(logs: LogFolder, kept: Iterable[Kept]) -> LogFolder:
    """The folder with the log that counts taken out of each fork that is settled; the others stay set aside.

    A fork over which two journals differ is not settled.
    """
    said: dict[str, set[str]] = {}
    for one in kept:
        said.setdefault(one.log, set()).add(one.h)
    chosen, left = [], []
    for fork in logs.forks:
        found = _chosen(fork, said.get(fork.log, set()))
        if found is None:
            left.append(fork)
        else:
            chosen.append(found)
    if not chosen:
        return logs
    together = sorted((*logs.logs, *chosen), key=lambda log: (log.path.name, log.id))
    return replace(logs, logs=tuple(together), forks=tuple(left))


def _chosen(fork: Fork, hashes: set[str]) -> LogFile | None:
    if len(hashes) != 1:
        return None
    found = [log for log in fork.logs if log.last is not None and log.last.h in hashes]
    return found[0] if found else None
