"""The checks that guard the log's rules, each a function that raises when its rule is broken.

The tests run them as they stand; the tests of broken rules run them with one rule broken.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis.stateful import run_state_machine_as_test

from faultlab.cuts import (
    NoSync,
    a_log,
    cut_everywhere,
    flip_everywhere,
    interrupt_recovery,
    read,
)
from faultlab.job import WHO, Ticking
from faultlab.write_back import QUICK, WriteBack
from fieldtui.log import LogLocked, LogRefused, LogWriter, read_log
from fieldtui.log.record import seal


def cuts(place: Path) -> None:
    cut_everywhere(a_log(place, 4).read_bytes(), place / "cut", sample=3)


def flips(place: Path) -> None:
    flip_everywhere(a_log(place, 3, closed=True).read_bytes())


def interruptions(place: Path) -> None:
    content = a_log(place, 4).read_bytes()
    interrupt_recovery(content, len(content) - 60, place / "again", depth=2, sample=9)


def write_back(place: Path) -> None:
    run_state_machine_as_test(WriteBack, settings=QUICK)


def splices(place: Path) -> None:
    """Records taken out, exchanged, doubled, or from another log: told, and told where."""
    lines = a_log(place / "one", 6).read_bytes().splitlines(keepends=True)
    other = a_log(place / "other", 6, log_id="0b" * 16).read_bytes().splitlines(keepends=True)
    changed = {
        "taken out": [*lines[:3], *lines[4:]],
        "exchanged": [*lines[:3], lines[4], lines[3], *lines[5:]],
        "doubled": [*lines[:4], lines[3], *lines[4:]],
        "from another": [*lines[:3], other[3], *lines[4:]],
        "first gone": lines[1:],
        "number left out": [*lines[:3], seal(4, "", "dial", {}, json.loads(lines[2])["h"])],
    }
    for what, made in changed.items():
        found = read(b"".join(made))
        assert found.state == "damaged", what
        near = found.problems[0]
        assert near.record <= 4, f"{what}: {near}"
        numbers = [record.seq for record in found.records]
        assert numbers == sorted(set(numbers)), f"{what}: {numbers}"
        assert near.last_record >= (0 if what == "first gone" else 3), f"{what}: {near}"


def resumptions(place: Path) -> None:
    """A log taken up forty times over grows by the same each time."""
    path = a_log(place, 3)
    sizes = []
    for _ in range(12):
        before = path.stat().st_size
        LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()).close()
        sizes.append(path.stat().st_size - before)
    assert max(sizes) <= min(sizes) + 4, f"a resumption grew from {min(sizes)} to {max(sizes)} bytes"
    assert len(read_log(path).records) == 5


def reading(place: Path) -> None:
    """Reading changes nothing, whatever the state of the log."""
    whole = a_log(place, 3).read_bytes()
    path = place / "read.jsonl"
    for content in (whole, whole[:-1], whole[:-40], whole + b"{", whole[:50], b""):
        path.write_bytes(content)
        read_log(path)
        assert path.read_bytes() == content


OPENER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from fieldtui.log import LogLocked, LogWriter
try:
    LogWriter.reopen(Path(sys.argv[1]), clock=lambda: datetime.now(UTC))
except LogLocked as locked:
    print(locked.machine, locked.pid, locked.user)
    sys.exit(7)
"""


def two_openers(place: Path) -> None:
    """A second opener is refused and told who has the log, in this process and in another; a reader frees nothing."""
    clock = Ticking()
    writer = LogWriter.create(
        place / "logs", survey="s", label="", scope="", after=[], clock=clock, identity=WHO, calls=NoSync()
    )
    writer.append("entry", {})
    assert read_log(writer.path).state == "open"
    with pytest.raises(LogLocked) as refused:
        LogWriter.reopen(writer.path, clock=clock, calls=NoSync())
    locked = refused.value
    assert (locked.machine, locked.pid, locked.user) == (WHO.machine, WHO.pid, WHO.user)
    second = subprocess.run(
        [sys.executable, "-c", OPENER, str(writer.path)], capture_output=True, text=True, check=False
    )
    assert second.returncode == 7, second.stderr
    assert second.stdout.split() == [WHO.machine, str(WHO.pid), WHO.user]
    writer.append("entry", {})
    writer.close()
    LogWriter.reopen(writer.path, clock=clock, identity=WHO, calls=NoSync()).close()


def collisions(place: Path) -> None:
    """Two logs of one name: the second is refused, the first untouched."""
    path = a_log(place, 3)
    before = path.read_bytes()
    with pytest.raises(LogRefused):
        a_log(place, 3)
    assert path.read_bytes() == before


def closed_logs(place: Path) -> None:
    """Neither a new opener nor the writer itself goes on after the closing record."""
    path = a_log(place, 3, closed=True)
    before = path.read_bytes()
    with pytest.raises(LogRefused):
        LogWriter.reopen(path, clock=Ticking(), calls=NoSync())
    assert path.read_bytes() == before
