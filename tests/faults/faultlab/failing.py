"""System calls of which the k-th fails, once or from then on, in one of three ways."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, Literal

from fieldtui.log import OsCalls

ERRNOS = (errno.EIO, errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EFBIG, errno.ENODEV)
How = Literal["error", "short", "done but error"]
WAYS: tuple[How, ...] = ("error", "short", "done but error")
WATCHED = (
    "create",
    "open_append",
    "open_read",
    "close",
    "write",
    "read",
    "seek",
    "size_and_links",
    "fsync",
    "fsync_folder",
    "lock",
    "unlock",
)


class FailingCalls(OsCalls):
    """`inner` with its k-th watched call failing; `k` = 0 fails nothing and counts."""

    def __init__(self, inner: OsCalls, k: int, code: int, how: How, *, for_ever: bool) -> None:
        super().__init__()
        self.inner, self.k, self.code, self.how, self.for_ever = inner, k, code, how, for_ever
        self.count = 0
        self.made: list[str] = []
        self.healthy = False  # set when the disk is whole again
        for name in WATCHED:
            setattr(self, name, self._watch(name))

    def _watch(self, name: str) -> Callable[..., Any]:
        call = getattr(self.inner, name)

        def watched(*args: Any, **named: Any) -> Any:
            self.count += 1
            self.made.append(name)
            due = self.k and (self.count == self.k or (self.for_ever and self.count > self.k))
            if not due or self.healthy:
                return call(*args, **named)
            return self._failed(name, call, args, named)

        return watched

    def _failed(self, name: str, call: Callable[..., Any], args: tuple[Any, ...], named: dict[str, Any]) -> Any:
        error = OSError(self.code, os.strerror(self.code))
        if self.how == "short" and name == "write":
            fd, data = args
            return call(fd, data[: len(data) // 2])
        if self.how == "done but error" or name == "close":  # a failed close still frees the descriptor
            result = call(*args, **named)
            if name in {"create", "open_append", "open_read"}:  # the caller never sees this descriptor
                self.inner.close(result)
        raise error

    def pause(self, seconds: float) -> None:
        """No test waits."""

    def replace(self, source: Path, target: Path) -> None:
        self.inner.replace(source, target)
