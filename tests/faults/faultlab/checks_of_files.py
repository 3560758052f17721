"""Checks that guard the rules of one file: how it is made, locked, refused, timed, copied.

As in `checks`: each raises when its rule is broken.
"""

from __future__ import annotations

import errno
import fcntl
import os
import threading
import time
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

import fieldtui.log.calls as system
from faultlab.cuts import NoSync, a_log
from faultlab.failing import FailingCalls
from faultlab.job import WHO, Sitting, Ticking
from fieldtui.log import CopyFailed, LogFile, LogRefused, LogWriter, OsCalls, WriteFailed, copy_to_stick, disk, read_log
from fieldtui.log.calls import OS
from fieldtui.log.record import seal

WANTED = {"create", "open_append", "write", "fsync", "fsync_folder", "saved"}


def a_writer(place: Path, clock: Any = None, **named: Any) -> LogWriter:
    told: dict[str, Any] = {"survey": "s", "label": "", "scope": "", "after": [], "identity": WHO, "calls": NoSync()}
    return LogWriter.create(place / "logs", clock=clock or Ticking(), **{**told, **named})


def made_by_a_sitting(place: Path) -> list[str]:
    """The calls of a sitting, with `saved` where an entry was acknowledged."""
    calls = FailingCalls(NoSync(), 0, 0, "error", for_ever=False)
    at = Sitting(place / "logs", calls)
    for act in (at.start, at.book, lambda: at.book_all(3), at.leave, at.resume, at.book):
        act()
        calls.made.append("saved")
    at.leave()
    return [call for call in calls.made if call in WANTED]


def order(place: Path) -> None:
    """Write, fsync, fsync of the folder, and only then saved; one write each."""
    assert " ".join(made_by_a_sitting(place)) == (
        "fsync_folder "  # the folder itself was new
        "create write fsync fsync_folder saved "  # a new log
        "write fsync saved "  # one entry
        "write fsync saved "  # several at one go
        "saved "  # leaving writes nothing
        "open_append write fsync fsync_folder saved "  # taken up again
        "write fsync saved"
    )


def descriptors(place: Path) -> None:
    """A log is open for appending alone, and no program that is started inherits it."""
    place.mkdir(exist_ok=True)
    for fd in (OS.create(place / "file"), OS.open_append(place / "file")):
        assert fcntl.fcntl(fd, fcntl.F_GETFL) & os.O_APPEND
        assert fcntl.fcntl(fd, fcntl.F_GETFD) & fcntl.FD_CLOEXEC
        os.close(fd)


def other_systems(place: Path) -> None:
    """With stand-ins: macOS syncs to the medium, Windows opens as bytes and locks below 2^31."""
    asked: list[int] = []
    mac = SimpleNamespace(F_FULLFSYNC=51, fcntl=lambda fd, command: asked.append(command))
    place.mkdir(exist_ok=True)
    fd = os.open(place / "file", os.O_RDWR | os.O_CREAT)
    OsCalls(fcntl=mac).fsync(fd)
    os.close(fd)
    assert asked == [51]
    os.O_BINARY, os.O_NOINHERIT = 1 << 28, 1 << 27  # type: ignore[attr-defined]
    try:
        flags = OsCalls(platform="win32")._flags(os.O_RDWR)
    finally:
        del os.O_BINARY, os.O_NOINHERIT  # type: ignore[attr-defined]
    assert flags & (1 << 28)
    assert flags & (1 << 27)
    assert 1 << 30 < system.LOCK_BYTE < 1 << 31


def first_records(place: Path) -> None:
    """Record 0 is below 1 kB; a file that was not written whole at its creation was never begun."""
    with pytest.raises(LogRefused):
        a_writer(place, label="x" * 1000)
    content = a_log(place, 0).read_bytes()
    half = place / "half.jsonl"
    half.write_bytes(content[: content.index(b"\n") + 1])
    assert read_log(half).state == "empty"


def as_typed(place: Path) -> None:
    """Figures come back as they were typed; lines are ASCII; what other readers could not read is refused."""
    writer = a_writer(place, label="stra\N{LATIN SMALL LETTER SHARP S}e \N{LINE SEPARATOR}")
    booked = {"typed": "12.3400", "note": "a\r\n\N{NEXT LINE}b \N{LATIN SMALL LETTER E WITH ACUTE}"}
    writer.append("dial", booked)
    with pytest.raises(ValueError, match="float"):
        writer.append("dial", {"x": float("nan")})
    writer.append("dial", booked)
    writer.close()
    content = writer.path.read_bytes()
    assert content.isascii()
    assert content.count(b"\n") == 3
    assert b"\r" not in content
    assert [record.data for record in read_log(writer.path).records[1:]] == [booked, booked]


def threads(place: Path) -> None:
    """The next entry commits after the last is durable, whichever thread brings it."""

    class Slow(NoSync):
        def fsync(self, fd: int) -> None:
            time.sleep(0.002)

    writer = a_writer(place, calls=Slow())
    failed: list[BaseException] = []

    def book() -> None:
        try:
            for number in range(10):
                writer.append("dial", {"n": number})
        except (WriteFailed, ValueError) as error:
            failed.append(error)

    both = [threading.Thread(target=book) for _ in range(3)]
    for one in both:
        one.start()
    for one in both:
        one.join()
    writer.close()
    log = read_log(writer.path)
    assert not failed, failed
    assert log.problems == ()
    assert [record.seq for record in log.records] == list(range(31))


def meddling(place: Path) -> None:
    """A file that another program has changed or removed takes no more records."""
    for number, meddle in enumerate((lambda path: path.write_bytes(path.read_bytes() + b"x"), Path.unlink)):
        writer = a_writer(place / str(number))
        meddle(writer.path)
        with pytest.raises(WriteFailed):
            writer.append("dial", {})
        writer.close()


def refusals(place: Path) -> None:
    """What must not be taken up again: damaged, of a newer format, with unknown kinds, continued elsewhere."""

    def refused(path: Path, words: str) -> None:
        before = path.read_bytes()
        with pytest.raises(LogRefused, match=words):
            LogWriter.reopen(path, clock=Ticking(), calls=NoSync(), kinds={"log", "route", "dial"})
        assert path.read_bytes() == before, words

    path = a_log(place / "damaged", 3)
    path.write_bytes(path.read_bytes().replace(b'"1.50"', b'"1.51"'))
    refused(path, r"damaged at record 3, bytes \d+ to \d+")
    path = a_log(place / "kinds", 1)
    with LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()) as writer:
        writer.append("from_the_future", {})
    assert [record.kind for record in read_log(path).records][-1] == "from_the_future"
    refused(path, "from_the_future")
    path = a_log(place / "continued", 1)
    with LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()) as writer:
        writer.continue_in(path.parent).close()
    refused(path, "continued in another file")
    (place / "newer").mkdir()
    path = place / "newer" / "n.jsonl"
    path.write_bytes(seal(0, "", "log", {"format": 2, "log": "ab", "with": 1, "survey": "s"}, "0" * 64))
    assert len(read_log(path).records) == 1
    refused(path, "format 2")


def clock(place: Path) -> None:
    """A clock that jumps is recorded and never refused; the order is that of the numbers; times are UTC."""
    at = datetime(2031, 5, 3, 9, 0, tzinfo=timezone(timedelta(hours=2)))
    moments = iter([at, at + timedelta(hours=5), at - timedelta(days=400), at + timedelta(minutes=1)])
    writer = a_writer(place, clock=lambda: next(moments))
    for number in range(3):
        writer.append("dial", {"n": number})
    writer.close()
    log: LogFile = read_log(writer.path)
    assert writer.path.name.startswith("20310503T070000Z-")
    assert [record.at[:16] for record in log.records] == [
        "2031-05-03T07:00",
        "2031-05-03T12:00",
        "2030-03-29T07:00",
        "2031-05-03T07:01",
    ]
    assert [record.data.get("n") for record in log.records] == [None, 0, 1, 2]
    assert log.problems == ()


def times_of_reading(place: Path) -> None:
    """One entry shifts a survey's times of reading, those before it and those after."""
    from fieldtui.survey import Target, fold

    writer = a_writer(place)
    target = Target("A", "L-R").data()
    figure = {**target, "unit": "mm", "typed": "12.3400", "read_at": "2031-05-03T06:00:00Z"}
    writer.append("figure", {**figure, "slot": "dial_1"})
    writer.append("clock", {"shift_seconds": 3600})
    writer.append("figure", {**figure, "slot": "dial_2"})
    writer.close()
    (booking,) = fold(writer.records, writer.id).bookings.values()
    assert [entry.read_at for entry in booking.slots.values()] == [datetime(2031, 5, 3, 7, 0, tzinfo=UTC)] * 2
    assert booking.slots["dial_1"].typed == "12.3400"


def space(place: Path) -> None:
    """Space is told before it is gone; a disk that does not answer is told too, and stands in nobody's way."""
    from fieldtui.job.conditions import Watch

    now = datetime(2031, 5, 3, 7, 0, tzinfo=UTC)

    def gone(folder: Path) -> int:
        raise OSError(errno.EIO, "gone")

    told = [Watch(place, now, lambda: 0.0, left).told(now) for left in (lambda _: 5_000_000, lambda _: 10**9, gone)]
    assert "5.0 MB are left" in told[0][0]
    assert told[1] == ()
    assert "does not answer" in told[2][0]


def network_disks(place: Path) -> None:
    """The disks that may say saved before it is are known by their kind."""
    mounts = place / "mountinfo"
    place.mkdir(exist_ok=True)
    mounts.write_text("1 1 0:1 / / rw - ext4 /dev/a rw\n2 1 0:2 / /srv rw - nfs4 host:/x rw\n")
    assert "network disk" in disk.disk_warning(Path("/srv/logs"), mounts=mounts, platform="linux")
    assert disk.disk_warning(Path("/home/logs"), mounts=mounts, platform="linux") == ""


def stick(place: Path) -> None:
    """A copy is read back; another file of that name stays; the log is not touched, whatever the stick does."""

    class Lying(NoSync):
        def write(self, fd: int, data: bytes) -> int:
            return super().write(fd, data[:-1] + b"?")

    path, folder = a_log(place, 3), place / "stick"
    folder.mkdir()
    before = path.read_bytes()
    with pytest.raises(CopyFailed):
        copy_to_stick(path, folder, Lying())
    (folder / path.name).write_bytes(b"another\n")
    copy = copy_to_stick(path, folder, NoSync())
    assert copy.read_bytes() == before == path.read_bytes()
    assert (folder / path.name).read_bytes() == b"another\n"
    calls = FailingCalls(NoSync(), 0, 0, "error", for_ever=False)
    (place / "other").mkdir()
    copy_to_stick(path, place / "other", calls)
    made = [call for call in calls.made if call in ("create", "write", "fsync", "fsync_folder")]
    assert made == ["create", "write", "fsync", "fsync_folder"]
