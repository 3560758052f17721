"""A disk that loses what a real one may lose.

Files lie in a real folder, which plays the page cache. Beside it this model keeps what is on the medium, page by page.
A good fsync brings dirty pages to the medium. A failed one drops them: they stay readable, count as clean, and a
second fsync says yes (so Linux does; "PostgreSQL's fsync surprise", LWN 2018). Eviction or a power cut then shows the
medium's version.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from fieldtui.log import OsCalls

Choose = Callable[[int], bool]  # given a page number: does it survive?


@dataclass
class Image:
    """One file: its medium, its dirty pages, and whether its name is on the medium."""

    medium: bytearray = field(default_factory=bytearray)
    dirty: set[int] = field(default_factory=set)
    named: bool = False


class PagedDisk(OsCalls):
    """OsCalls over a real folder, with the medium beside it."""

    def __init__(self, page: int = 64) -> None:
        super().__init__()
        self.page = page
        self.files: dict[Path, Image] = {}
        self.open_fds: dict[int, Path] = {}
        self.fsync_fails: Choose | None = None  # pages that reach the medium although the next fsync fails

    def create(self, path: Path) -> int:
        fd = super().create(path)
        self.files[path] = Image()
        self.open_fds[fd] = path
        return fd

    def open_append(self, path: Path) -> int:
        fd = super().open_append(path)
        self.open_fds[fd] = path
        return fd

    def close(self, fd: int) -> None:
        self.open_fds.pop(fd, None)
        super().close(fd)

    def write(self, fd: int, data: bytes) -> int:
        start = os.fstat(fd).st_size
        written = super().write(fd, data)
        pages = range(start // self.page, (start + max(written, 1) - 1) // self.page + 1)
        self.files[self.open_fds[fd]].dirty.update(pages)
        return written

    def fsync(self, fd: int) -> None:
        path = self.open_fds[fd]
        fails, self.fsync_fails = self.fsync_fails, None
        self._bring(path, fails or (lambda page: True))
        if fails is not None:
            raise OSError(errno.EIO, "input/output error")

    def fsync_folder(self, folder: Path) -> None:
        for path, image in self.files.items():
            if path.parent == folder:
                image.named = True

    def _bring(self, path: Path, chosen: Choose) -> None:
        """Dirty pages become clean; the chosen ones are on the medium."""
        image, cache = self.files[path], path.read_bytes()
        image.medium += bytes(len(cache) - len(image.medium))
        for page in sorted(image.dirty):
            if chosen(page):
                span = slice(page * self.page, (page + 1) * self.page)
                image.medium[span] = cache[span]
        image.dirty.clear()

    def evict(self) -> None:
        """Clean pages leave the cache: from now on the medium's version is read."""
        for path, image in self.files.items():
            cache = bytearray(path.read_bytes())
            for page in range(len(cache) // self.page + 1):
                span = slice(page * self.page, (page + 1) * self.page)
                if page not in image.dirty:
                    part = bytes(image.medium[span])
                    cache[span] = part + bytes(len(cache[span]) - len(part))
            _put(path, bytes(cache))

    def power_cut(self, *, page_survives: Choose, size_grows: bool, name_survives: bool) -> None:
        """All processes end; what was not synced may be there or not, as chosen."""
        for fd in list(self.open_fds):
            self.close(fd)
        for path, image in list(self.files.items()):
            if not image.named and not name_survives:
                path.unlink()
                del self.files[path]
                continue
            size = len(image.medium)
            if image.dirty and size_grows:
                self._bring(path, page_survives)
            elif image.dirty:
                self._bring(path, lambda page, size=size: page_survives(page) and page * self.page < size)
                del image.medium[size:]
            image.named = True
            _put(path, bytes(image.medium))


def _put(path: Path, content: bytes) -> None:
    """In place: a descriptor that is open sees it too, as it would see the page cache change."""
    with path.open("r+b") as file:
        file.write(content)
        file.truncate()
