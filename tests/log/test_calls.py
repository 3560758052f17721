"""The system's calls with a stand-in for the systems that are not at hand: macOS and Windows run nowhere here."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest

from faultlab.job import Ticking
from fieldtui.log import LogRefused, LogWriter, OsCalls, read_log
from fieldtui.log.calls import LOCK_BYTE, read_all


@pytest.fixture
def fd(tmp_path: Path) -> Iterator[int]:
    fd = os.open(tmp_path / "file", os.O_RDWR | os.O_CREAT | os.O_APPEND)
    yield fd
    os.close(fd)


class FullSync(SimpleNamespace):
    """fcntl as macOS has it."""

    F_FULLFSYNC = 51

    def fcntl(self, fd: int, command: int) -> None:
        self.asked.append((fd, command))
        if self.code:
            raise OSError(self.code, "stand-in")


@pytest.mark.parametrize(("code", "synced"), [(0, False), (errno.ENOTSUP, True), (errno.EINVAL, True)])
def test_macos_syncs_to_the_medium_and_falls_back_where_that_is_unsupported(
    code: int, synced: bool, fd: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain: list[int] = []
    monkeypatch.setattr(os, "fsync", plain.append)
    fcntl = FullSync(asked=[], code=code)
    OsCalls(fcntl=fcntl).fsync(fd)
    assert fcntl.asked == [(fd, 51)]
    assert plain == ([fd] if synced else [])


def test_macos_full_sync_that_fails_is_a_failure(fd: int, monkeypatch: pytest.MonkeyPatch) -> None:
    plain: list[int] = []
    monkeypatch.setattr(os, "fsync", plain.append)
    with pytest.raises(OSError, match="stand-in"):
        OsCalls(fcntl=FullSync(asked=[], code=errno.EIO)).fsync(fd)
    assert plain == []


class ByteLock:
    """msvcrt as Windows has it: one byte at the file's position."""

    LK_NBLCK, LK_UNLCK = 2, 0

    def __init__(self, code: int = 0) -> None:
        self.asked: list[tuple[int, int, int]] = []
        self.code = code

    def locking(self, fd: int, mode: int, length: int) -> None:
        self.asked.append((mode, os.lseek(fd, 0, os.SEEK_CUR), length))
        if self.code:
            raise OSError(self.code, "stand-in")


def test_windows_locks_one_byte_below_2_to_31_and_reads_from_the_beginning(fd: int) -> None:
    os.write(fd, b"content")
    lock = ByteLock()
    calls = OsCalls(msvcrt=lock, platform="win32")
    assert calls.lock(fd)
    calls.unlock(fd)
    assert lock.asked == [(2, LOCK_BYTE, 1), (0, LOCK_BYTE, 1)]
    assert LOCK_BYTE < 2**31
    assert read_all(calls, fd) == b"content"
    calls.write(fd, b" more")  # O_APPEND: wherever the lock has left the position
    assert read_all(calls, fd) == b"content more"


@pytest.mark.parametrize("code", [errno.EACCES, errno.EDEADLK])
def test_windows_lock_that_another_holds(code: int, fd: int) -> None:
    assert not OsCalls(msvcrt=ByteLock(code), platform="win32").lock(fd)


def test_windows_opens_as_bytes_and_syncs_no_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "O_BINARY", 1 << 28, raising=False)
    monkeypatch.setattr(os, "O_NOINHERIT", 1 << 27, raising=False)
    opened: list[int] = []
    monkeypatch.setattr(os, "open", lambda path, flags, mode=0: opened.append(flags) or 3)
    calls = OsCalls(msvcrt=ByteLock(), platform="win32")
    calls.create(tmp_path / "a")
    calls.open_append(tmp_path / "a")
    calls.open_read(tmp_path / "a")
    calls.fsync_folder(tmp_path)  # nothing is opened for it
    assert len(opened) == 3
    assert all(flags & (1 << 28) and flags & (1 << 27) for flags in opened)
    assert opened[0] & os.O_EXCL
    assert opened[0] & os.O_APPEND
    assert opened[1] & os.O_APPEND


def test_a_disk_that_syncs_no_folders_is_no_failure_and_an_error_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for code, fails in ((errno.EINVAL, False), (errno.ENOTSUP, False), (errno.EIO, True)):

        def refuse(fd: int, code: int = code) -> None:
            raise OSError(code, "stand-in")

        monkeypatch.setattr(os, "fsync", refuse)
        if fails:
            with pytest.raises(OSError, match="stand-in"):
                OsCalls().fsync_folder(tmp_path)
        else:
            OsCalls().fsync_folder(tmp_path)


def test_a_disk_that_cannot_lock_takes_no_log_and_is_still_read(tmp_path: Path) -> None:
    class Unlockable(OsCalls):
        def lock(self, fd: int, *, shared: bool = False) -> bool:
            raise OSError(errno.ENOLCK, "No locks available")

    named = {"survey": "s", "label": "", "scope": "", "after": (), "clock": Ticking()}
    with pytest.raises(LogRefused, match="No locks available"):
        LogWriter.create(tmp_path, calls=Unlockable(), **named)
    good = LogWriter.create(tmp_path, **named)
    good.close()
    assert read_log(good.path, calls=Unlockable()).state == "unclosed"
