"""A disk that is full, a folder that cannot be written, a limit on the size of files: said clearly, nothing lost."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from faultlab.full import fill_and_go_on, head_of
from faultlab.job import WHO, Sitting, Ticking, lost, tokens
from faultlab.mounts import mounted, need_root
from fieldtui.log import LogRefused, LogWriter, OsCalls, WriteFailed, read_log


def test_a_full_disk_says_so_and_the_survey_goes_on_in_a_new_file(tmp_path: Path) -> None:
    need_root()
    with mounted(tmp_path / "small", "-t", "tmpfs", "-o", "size=64k", "tmpfs") as small:
        assert fill_and_go_on(small, 20_000) > 20


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
    assert log.continues == head_of(read_log(old))
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
    done = subprocess.run(
        [sys.executable, "-B", "-c", LIMITED, str(tmp_path)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    lines = done.stdout.splitlines()
    saved = lines.count("saved")
    assert "not saved" in done.stdout
    assert saved > 5
    assert sorted(tokens(tmp_path)) == sorted(f"t{number}" for number in range(saved))
