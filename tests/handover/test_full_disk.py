"""A disk that takes no more: said in one line, and nothing is left of what was not finished."""

from __future__ import annotations

import resource
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from harness.jobs import lay, with_past

CASES = [(to, letters) for to in ("csv", "xlsx", "ags", "parquet") for letters in (0, 1_500, 4_000)]


# the last one: the sheets fit but for what is written when the workbook is closed
@pytest.mark.parametrize(("to", "letters"), [*CASES, ("xlsx", 24_600)])
def test_no_file_may_be_longer_than_so_many_letters(tmp_path: Path, to: str, letters: int) -> None:
    path = with_past(lay(tmp_path), before=datetime(2031, 5, 4, 2, 0, tzinfo=UTC), surveys=1)
    names = {one.name for one in tmp_path.iterdir()}
    ran = subprocess.run(
        # -B: byte-code would be cut to that length as well, and spoil whatever is run afterwards
        [sys.executable, "-B", "-m", "fieldtui", "export", str(path), "--to", to],
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (letters, letters)),
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ran.returncode, ran.stderr.count("\n")) == (2, 1), ran.stderr
    assert "The export cannot be written: " in ran.stderr
    assert {one.name for one in tmp_path.iterdir()} == names
