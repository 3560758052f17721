"""Every call to the operating system that the log's promise hangs on, in one small object.

Tests hand in another one: the k-th call fails, the order of calls is recorded, a failed fsync drops the page.

    OsCalls     what all systems do alike
    OS          the one for this system: flock and F_FULLFSYNC, or the byte lock of Windows
"""

from __future__ import annotations

import errno
import os
import shutil
import sys
import time
from pathlib import Path
from types import ModuleType
from typing import Any

CHUNK = 1 << 20
LOCK_BYTE = (1 << 31) - 16  # far past any log; the byte lock of Windows takes offsets below 2^31
UNSUPPORTED = frozenset({errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOTTY})
HELD = frozenset({errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK})


def _module(name: str) -> Any:
    try:
        return __import__(name)
    except ImportError:
        return None


class OsCalls:
    """The system's calls; `fcntl`, `msvcrt` and `platform` may be stand-ins."""

    def __init__(
        self, *, fcntl: ModuleType | Any = None, msvcrt: ModuleType | Any = None, platform: str = sys.platform
    ) -> None:
        self.fcntl: Any = fcntl or _module("fcntl")
        self.msvcrt: Any = msvcrt or _module("msvcrt")
        self.windows = platform == "win32"

    def _flags(self, flags: int) -> int:
        # text mode would turn every newline into two bytes on Windows
        extra = ("O_BINARY", "O_NOINHERIT") if self.windows else ("O_CLOEXEC",)
        for name in extra:
            flags |= getattr(os, name, 0)
        return flags

    def create(self, path: Path) -> int:
        """A new file open for appending; it must not exist."""
        return os.open(path, self._flags(os.O_RDWR | os.O_CREAT | os.O_EXCL | os.O_APPEND), 0o644)

    def open_append(self, path: Path) -> int:
        return os.open(path, self._flags(os.O_RDWR | os.O_APPEND))

    def open_read(self, path: Path) -> int:
        return os.open(path, self._flags(os.O_RDONLY))

    def close(self, fd: int) -> None:
        os.close(fd)

    def write(self, fd: int, data: bytes) -> int:
        return os.write(fd, data)

    def read(self, fd: int, size: int) -> bytes:
        return os.read(fd, size)

    def seek(self, fd: int, offset: int) -> int:
        return os.lseek(fd, offset, os.SEEK_SET)

    def size_and_links(self, fd: int) -> tuple[int, int]:
        status = os.fstat(fd)
        return status.st_size, status.st_nlink

    def fsync(self, fd: int) -> None:
        """To the medium: on macOS fsync alone stops at the drive's cache."""
        full = getattr(self.fcntl, "F_FULLFSYNC", None)
        if full is not None:
            try:
                self.fcntl.fcntl(fd, full)
            except OSError as error:
                if error.errno not in UNSUPPORTED:
                    raise
            else:
                return
        os.fsync(fd)

    def fsync_folder(self, folder: Path) -> None:
        """Make the names in a folder durable; Windows has no such call, some network disks refuse it."""
        if self.windows:
            return
        fd = os.open(folder, os.O_RDONLY | getattr(os, "O_CLOEXEC", 0))
        try:
            os.fsync(fd)
        except OSError as error:
            if error.errno not in UNSUPPORTED:
                raise
        finally:
            os.close(fd)

    def lock(self, fd: int, *, shared: bool = False) -> bool:
        """Take the lock, or say False where another holds it.

        flock belongs to the open file: it outlasts other descriptors of the same process being closed (lockf
        would not), and the kernel frees it after a kill.
        """
        try:
            if self.windows:
                os.lseek(fd, LOCK_BYTE, os.SEEK_SET)
                self.msvcrt.locking(fd, self.msvcrt.LK_NBLCK, 1)
            else:
                self.fcntl.flock(fd, (self.fcntl.LOCK_SH if shared else self.fcntl.LOCK_EX) | self.fcntl.LOCK_NB)
        except OSError as error:
            if error.errno in HELD:
                return False
            raise
        return True

    def unlock(self, fd: int) -> None:
        if self.windows:
            os.lseek(fd, LOCK_BYTE, os.SEEK_SET)
            self.msvcrt.locking(fd, self.msvcrt.LK_UNLCK, 1)
        else:
            self.fcntl.flock(fd, self.fcntl.LOCK_UN)

    def pause(self, seconds: float) -> None:
        time.sleep(seconds)

    def replace(self, source: Path, target: Path) -> None:
        source.replace(target)

    def free_bytes(self, folder: Path) -> int:
        return shutil.disk_usage(folder).free

    def forget_cached(self, fd: int) -> None:
        """Ask that the next read comes from the medium, where the system knows how."""
        advise = getattr(os, "posix_fadvise", None)
        if advise is not None:
            advise(fd, 0, 0, os.POSIX_FADV_DONTNEED)


def read_all(calls: OsCalls, fd: int) -> bytes:
    """The whole file behind a descriptor, from its first byte."""
    calls.seek(fd, 0)
    pieces = []
    while piece := calls.read(fd, CHUNK):
        pieces.append(piece)
    return b"".join(pieces)


OS = OsCalls()
