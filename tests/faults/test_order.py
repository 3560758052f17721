"""The order of calls: write, fsync, folder fsync, and only then saved."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from faultlab import broken
from faultlab.cuts import NoSync
from faultlab.failing import FailingCalls
from faultlab.job import Sitting


def made_by_a_sitting(place: Path) -> list[str]:
    """The calls of a sitting, with `saved` where an entry was acknowledged."""
    calls = FailingCalls(NoSync(), 0, 0, "error", for_ever=False)
    at = Sitting(place / "logs", calls)
    for act in (at.start, at.book, lambda: at.book_all(3), at.leave, at.resume, at.book):
        act()
        calls.made.append("saved")
    at.leave()
    return [call for call in calls.made if call in {"create", "open_append", "write", "fsync", "fsync_folder", "saved"}]


def check_order(place: Path) -> None:
    made = " ".join(made_by_a_sitting(place))
    assert made == (
        "create write fsync fsync_folder saved "  # a new log
        "write fsync saved "  # one entry
        "write fsync saved "  # several at one go
        "saved "  # leaving writes nothing
        "open_append write fsync fsync_folder saved "  # taken up again
        "write fsync saved"
    ).replace("create write", "fsync_folder create write")  # the folder itself was new


def test_calls_come_in_order(tmp_path: Path) -> None:
    check_order(tmp_path)


@pytest.mark.parametrize("variant", [broken.NO_SYNC, broken.SYNC_AGAIN_ALWAYS], ids=["no-fsync", "fsync-twice"])
def test_another_order_is_caught(variant: broken.Variant, tmp_path: Path) -> None:
    with variant(), pytest.raises(AssertionError):
        check_order(tmp_path)


BOOKS = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from fieldtui.log import LogWriter
writer = LogWriter.create(Path(sys.argv[1]), survey="s", label="", scope="", after=[], clock=lambda: datetime.now(UTC))
print("SAVED", flush=True)
writer.append("entry", {})
print("SAVED", flush=True)
"""


def test_calls_as_the_kernel_sees_them(tmp_path: Path) -> None:
    if shutil.which("strace") is None:
        pytest.skip("needs strace")
    trace = tmp_path / "trace"
    watched = "openat,write,fsync,flock,close"
    command = ["strace", "-f", "-o", str(trace), "-e", f"trace={watched}", sys.executable, "-c", BOOKS, str(tmp_path)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if "ptrace" in done.stderr:
        pytest.skip("strace is not allowed here")
    assert done.returncode == 0, done.stderr
    calls = trace.read_text()
    calls = calls[calls.index(".jsonl") - 200 :]
    opened = re.search(r'openat\(AT_FDCWD, "[^"]+\.jsonl", ([A-Z_|]+), 0644\) = (\d+)', calls)
    assert opened is not None
    assert set(opened[1].split("|")) == {"O_RDWR", "O_CREAT", "O_EXCL", "O_APPEND", "O_CLOEXEC"}
    fd = opened[2]
    order = re.findall(
        rf'(flock\({fd}, LOCK_EX\|LOCK_NB|write\({fd},|fsync\(\d+|write\(1, "SAVED)', calls[opened.end() :]
    )
    folder = next(call for call in order if call.startswith("fsync") and call != f"fsync({fd}")
    saved = 'write(1, "SAVED'
    assert order == [
        f"flock({fd}, LOCK_EX|LOCK_NB",
        f"write({fd},",
        f"fsync({fd}",
        folder,
        saved,
        f"write({fd},",
        f"fsync({fd}",
        saved,
    ]
