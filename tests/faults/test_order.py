"""The order of calls as the kernel sees them: write, fsync, folder fsync, and only then saved.

As the log itself makes them: the check `order` of the broken rules.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

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
