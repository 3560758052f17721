"""A disk that is full, a folder that cannot be written, a limit on the size of files: said clearly, nothing lost."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from faultlab.job import WHO, Sitting, Ticking, lost, tokens
from faultlab.mounts import mounted, need_root
from fieldtui.log import LogRefused, LogWriter, OsCalls, WriteFailed, heads, read_folder, read_log, space_left


def test_a_full_disk_says_so_and_the_survey_goes_on_in_a_new_file(tmp_path: Path) -> None:
    need_root()
    with mounted(tmp_path / "small", "-t", "tmpfs", "-o", "size=64k", "tmpfs") as small:
        at = Sitting(small / "logs", OsCalls())
        at.start()
        ballast = small / "ballast"
        ballast.write_bytes(b"." * 20_000)
        with pytest.raises(WriteFailed) as full:
            book_until_it_fails(at)
        assert "No space left on device" in str(full.value) or "bytes were written" in str(full.value)
        assert "not saved" in str(full.value)
        assert space_left(small) < 4096
        assert len(at.acknowledged) > 20
        assert at.writer is not None
        with pytest.raises(WriteFailed):  # the file takes no more, even once there is space
            at.book()
        with pytest.raises(WriteFailed):
            at.writer.continue_in(small / "logs")
        ballast.unlink()
        at.go_on()
        at.book(10)
        assert at.writer.path.parent == small / "logs"
        at.leave()
        assert lost(at) == []
        found = read_folder(small / "logs")
        assert [log.state for log in found.logs] == ["torn", "unclosed"]
        assert heads(found) == [at_head(found.logs[-1])]


def book_until_it_fails(at: Sitting) -> None:
    for _ in range(1000):
        at.book(300)


def at_head(log: object) -> dict[str, object]:
    last = log.last  # type: ignore[attr-defined]
    return {"log": log.id, "seq": last.seq, "h": last.h}  # type: ignore[attr-defined]


def test_a_full_disk_lets_the_survey_go_on_elsewhere(tmp_path: Path) -> None:
    class Full(OsCalls):
        def write(self, fd: int, data: bytes) -> int:
            raise OSError(28, "No space left on device")

    at = Sitting(tmp_path / "logs", OsCalls())
    at.start()
    at.book()
    assert at.writer is not None
    at.writer._calls = Full()
    with pytest.raises(WriteFailed):
        at.book()
    at.writer._calls = OsCalls()
    old = at.writer.path
    at.writer = at.writer.continue_in(at.spare)
    at.book()
    at.leave()
    assert lost(at) == []
    assert sum(tokens(at.folder, at.spare).values()) == 2
    log = read_log(next(at.spare.glob("*.jsonl")))
    assert log.continues == at_head(read_log(old))
    assert log.survey == "survey-1"
    assert [record.kind for record in log.records] == ["log", "route", "entry"]


def test_a_read_only_folder_is_refused_clearly(tmp_path: Path) -> None:
    need_root()
    at = Sitting(tmp_path / "logs", OsCalls())
    at.start()
    at.book()
    at.leave()
    (path,) = (tmp_path / "logs").glob("*.jsonl")
    before = path.read_bytes()
    with mounted(tmp_path / "view", "--bind", str(tmp_path / "logs")) as view:
        subprocess.run(["mount", "-o", "remount,bind,ro", str(view)], check=True)
        with pytest.raises(LogRefused, match="cannot be opened for writing: Read-only file system"):
            LogWriter.reopen(view / path.name, clock=Ticking())
        with pytest.raises(LogRefused, match="No log can be started in this folder: Read-only file system"):
            LogWriter.create(view, survey="s", label="", scope="", after=[], clock=Ticking(), identity=WHO)
        log = read_log(view / path.name)
        assert [record.kind for record in log.records] == ["log", "route", "entry"]
        with LogWriter.continuing(log, tmp_path / "elsewhere", clock=Ticking()) as writer:
            writer.append("entry", {"token": "t1"})
    assert path.read_bytes() == before


LIMITED = """
import resource, sys
from datetime import UTC, datetime
from pathlib import Path
from fieldtui.log import LogWriter, WriteFailed
resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))
writer = LogWriter.create(Path(sys.argv[1]), survey="s", label="", scope="", after=[], clock=lambda: datetime.now(UTC))
number = 0
try:
    while True:
        writer.append("entry", {"token": f"t{number}", "fill": "." * 50})
        number += 1
        print("saved", flush=True)
except WriteFailed as failed:
    print(failed)
    writer = writer.continue_in(Path(sys.argv[1]))
    writer.append("entry", {"token": f"t{number}"})
    print("saved")
"""


def test_a_limit_on_file_size_is_a_failed_write_and_a_new_file_goes_on(tmp_path: Path) -> None:
    done = subprocess.run([sys.executable, "-c", LIMITED, str(tmp_path)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    lines = done.stdout.splitlines()
    saved = lines.count("saved")
    assert "not saved" in done.stdout
    assert saved > 5
    assert sorted(tokens(tmp_path)) == sorted(f"t{number}" for number in range(saved))
