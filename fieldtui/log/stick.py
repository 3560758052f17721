"""A copy of a log on another disk, and how much space is left. Neither stands in the way of "saved"."""

from __future__ import annotations

import errno
from pathlib import Path

from fieldtui.log.calls import OS, OsCalls, read_all
from fieldtui.log.refusals import CopyFailed

PART = ".part"


def space_left(folder: Path, *, calls: OsCalls = OS) -> int:
    """Bytes that this user can still write on the folder's disk; OSError where the disk does not answer."""
    while not folder.exists() and folder != folder.parent:
        folder = folder.parent
    return calls.free_bytes(folder)


def copy_to_stick(path: Path, folder: Path, calls: OsCalls = OS) -> Path:
    """Copy a log: new name, fsync, rename, read back, compare; gives the copy's path.

    A shorter copy of the same log is replaced, a longer one is kept; anything else of that name stays, and
    the copy takes a name beside it. Raises CopyFailed; the log itself is not touched.
    """
    try:
        content = content_of(path, calls)
        target = _free_name(folder / path.name, content, calls)
        if target.exists() and content_of(target, calls).startswith(content):
            return target
        write_beside(content, target, calls)
    except OSError as error:
        raise CopyFailed(
            f"The copy was not made: {error.strerror or error}.",
            where=str(folder),
            todo="The log itself is saved; try another stick.",
        ) from error
    return target


def _free_name(wanted: Path, content: bytes, calls: OsCalls) -> Path:
    target, count = wanted, 1
    while target.exists():
        there = content_of(target, calls)
        if content.startswith(there) or there.startswith(content):
            return target
        count += 1
        target = wanted.with_name(f"{wanted.stem}-{count}{wanted.suffix}")
    return target


def write_beside(content: bytes, target: Path, calls: OsCalls) -> None:
    """A copy under a new name, synced, renamed, read back and compared; OSError where any of it fails."""
    part = target.with_name(target.name + PART)
    part.unlink(missing_ok=True)
    _write_new(part, content, calls)
    calls.replace(part, target)
    calls.fsync_folder(target.parent)
    if content_of(target, calls) != content:
        raise OSError(errno.EIO, "the copy reads back differently")


def _write_new(path: Path, content: bytes, calls: OsCalls) -> None:
    fd = calls.create(path)
    try:
        if calls.write(fd, content) != len(content):
            raise OSError(errno.ENOSPC, "no space left for the copy")
        calls.fsync(fd)
    finally:
        calls.close(fd)


def content_of(path: Path, calls: OsCalls) -> bytes:
    """The bytes of a file, from the medium where the system can be asked for that."""
    fd = calls.open_read(path)
    try:
        calls.forget_cached(fd)
        return read_all(calls, fd)
    finally:
        calls.close(fd)
