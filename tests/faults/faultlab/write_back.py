"""A program, its crashes, and a disk that loses pages, driven by a state machine."""

from __future__ import annotations

import errno
import tempfile
from collections.abc import Callable
from pathlib import Path
from shutil import rmtree
from typing import Any

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
)

from faultlab.disk import PagedDisk
from faultlab.job import Sitting, lost
from fieldtui.errors import FieldError
from fieldtui.log import LogWriter

WAYS = st.sampled_from(["well", "well", "well", "fsync", "fsync", "error", "short", "done but error"])
MASKS = st.integers(0, 255)


def chosen(mask: int) -> Callable[[int], bool]:
    """Pages picked by the bits of a mask."""
    return lambda page: bool(mask >> (page % 8) & 1)


class FlakyDisk(PagedDisk):
    """A paged disk whose next write can fail in three ways."""

    next_write = "well"

    def write(self, fd: int, data: bytes) -> int:
        way, self.next_write = self.next_write, "well"
        if way == "error":
            raise OSError(errno.EIO, "input/output error")
        if way == "short":
            return super().write(fd, data[: len(data) * 2 // 3])
        written = super().write(fd, data)
        if way == "done but error":
            raise OSError(errno.EIO, "input/output error")
        return written

    def arm(self, way: str, mask: int) -> None:
        if way == "fsync":
            self.fsync_fails = chosen(mask)
        else:
            self.next_write = way


class WriteBack(RuleBasedStateMachine):
    """A program, its crashes, and a disk that loses pages."""

    writer: type[LogWriter] = LogWriter

    @initialize(page=st.sampled_from([48, 64, 200, 512, 4096]))
    def begin(self, page: int) -> None:
        self.root = Path(tempfile.mkdtemp())
        self.disk = FlakyDisk(page)
        self.at = Sitting(self.root / "logs", self.disk, writer=self.writer)
        self.at.start()

    def _try(self, way: str, mask: int, act: Callable[..., None], *args: Any) -> None:
        self.disk.arm(way, mask)
        try:
            act(*args)
        except FieldError:
            pass
        finally:
            self.disk.arm("well", 0)
            self.disk.fsync_fails = None

    @rule(size=st.integers(0, 300), number=st.integers(0, 5), way=WAYS, mask=MASKS)
    def book(self, size: int, number: int, way: str, mask: int) -> None:
        """One entry, or several at one go; without an open log, take one up first."""
        if self.at.writer is None:
            self._try("well", 0, self.at.resume)
        if self.at.writer is not None:
            self._try(way, mask, *((self.at.book_all, number) if number > 1 else (self.at.book, size)))

    @rule(number=st.integers(1, 4), way=WAYS, mask=MASKS)
    def book_survey(self, number: int, way: str, mask: int) -> None:
        """A survey from paper; then the program is started anew and shows what is there."""
        self.at.leave()
        self._try(way, mask, self.at.book_survey, number)
        self._try("well", 0, self.at.resume)

    @rule(way=WAYS, mask=MASKS)
    def go_on(self, way: str, mask: int) -> None:
        """In a new file where the last write failed, or in the same one after the program was ended."""
        if self.at.writer is None:
            self._try(way, mask, self.at.resume)
        elif self.at.writer.dead:
            self._try(way, mask, self.at.go_on)

    @rule(fails=st.booleans(), mask=MASKS, number=st.integers(1, 4), way=WAYS, again=MASKS)
    def killed(self, fails: bool, mask: int, number: int, way: str, again: int) -> None:
        """The program is ended, often just after a sync that failed, and started again."""
        if fails:
            self.book(200, number, "fsync", mask)
        self.at.leave()
        self._try(way, again, self.at.resume)

    @rule(mask=MASKS, grows=st.booleans(), names=st.booleans(), way=WAYS, again=MASKS)
    def power_cut(self, mask: int, grows: bool, names: bool, way: str, again: int) -> None:
        self.at.leave()
        self.disk.power_cut(page_survives=chosen(mask), size_grows=grows, name_survives=names)
        self.nothing_is_lost()
        self._try(way, again, self.at.resume)

    @rule()
    def evict(self) -> None:
        self.disk.evict()

    @invariant()
    def nothing_is_lost(self) -> None:
        assert lost(self.at) == []

    def teardown(self) -> None:
        if hasattr(self, "at"):
            self.at.leave()
            rmtree(self.root)


QUICK = settings(
    max_examples=80,
    stateful_step_count=30,
    deadline=None,
    derandomize=True,
    database=None,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)
