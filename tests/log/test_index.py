"""A thousand surveys without reading a thousand logs; and an index that is never the truth."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from faultlab.cuts import NoSync, a_log
from faultlab.job import Ticking
from fieldtui.log import LogWriter, heads, read_log
from fieldtui.log.index import NAME, closing_record, summaries
from fieldtui.log.record import seal


class Counting(NoSync):
    """Counts the files that are read."""

    def __init__(self) -> None:
        super().__init__()
        self.opened = 0

    def open_read(self, path: Path) -> int:
        self.opened += 1
        return super().open_read(path)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for number in range(5):
        a_log(tmp_path, number + 1, closed=number % 2 == 0, log_id=f"{number:08x}" * 4)
    return tmp_path


def test_only_what_has_changed_is_read_again(folder: Path) -> None:
    calls = Counting()
    first = summaries(folder, calls=calls)
    assert calls.opened == 5
    assert summaries(folder, calls=calls) == first
    assert calls.opened == 5
    with LogWriter.reopen(first[1].path, clock=Ticking(), calls=NoSync()) as writer:
        again = summaries(folder, calls=calls)
        assert calls.opened == 6
        assert (again[1].last.seq, again[1].last.h) == (writer.tip["seq"], writer.tip["h"])  # type: ignore[union-attr]
        assert again[1].state == "unclosed"
    assert again[0] == first[0]


def test_a_summary_says_what_the_log_says(folder: Path) -> None:
    for summary in summaries(folder) + summaries(folder):
        log = read_log(summary.path)
        assert (summary.id, summary.survey, summary.label) == (log.id, log.survey, log.label)
        assert (summary.state, summary.closed, summary.begun) == (log.state, log.closed, log.begun)
        assert summary.records == len(log.chain)
        assert closing_record(summary) == log.last
    assert heads(folder) == heads([read_log(path) for path in sorted(folder.glob("*.jsonl"))])


def test_it_can_be_deleted_spoilt_or_unwritable_at_any_time(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = summaries(folder)
    index = folder / NAME
    whole = index.read_bytes()
    index.unlink()
    assert summaries(folder) == first
    for spoilt in (b"", whole[:-5], whole.replace(b"whole", b"wh0le"), b"\n", b"{}", whole[65:]):
        index.write_bytes(spoilt)
        assert summaries(folder) == first
        assert index.read_bytes() == whole
    index.unlink()
    monkeypatch.setattr(Path, "write_bytes", lambda *_: (_ for _ in ()).throw(OSError(30, "Read-only file system")))
    assert summaries(folder) == first
    assert not index.exists()


def test_a_file_that_came_or_went_is_seen(folder: Path) -> None:
    first = summaries(folder)
    first[2].path.unlink()
    a_log(folder, 2, log_id="ff" * 16)
    assert len(summaries(folder)) == 5
    assert {one.id for one in summaries(folder)} == {one.id for one in first} - {first[2].id} | {"ff" * 16}


def test_a_file_that_grew_within_one_tick_of_the_clock_is_read_again(folder: Path) -> None:
    path = summaries(folder)[1].path
    status = path.stat()
    with LogWriter.reopen(path, clock=Ticking(), calls=NoSync()) as writer:
        tip = writer.append("dial", {})
    os.utime(path, ns=(status.st_atime_ns, status.st_mtime_ns))
    assert summaries(folder)[1].last.h == tip.h  # type: ignore[union-attr]


def test_another_record_in_the_place_of_the_last_is_not_believed(folder: Path) -> None:
    summary = summaries(folder)[0]
    lines = summary.path.read_bytes().splitlines(keepends=True)
    old = read_log(summary.path).last
    assert old is not None
    other = seal(old.seq, old.at, old.kind, {"chords": {"L-R": {"length": "9999.99"}}}, old.prev)
    assert len(other) == len(lines[-1])
    summary.path.write_bytes(b"".join([*lines[:-1], other]))
    assert closing_record(summary) is None


def test_a_last_record_that_changed_behind_the_index_is_not_believed(folder: Path) -> None:
    summary = summaries(folder)[0]
    status = summary.path.stat()
    content = summary.path.read_bytes()
    summary.path.write_bytes(content.replace(b'"8000.00"', b'"8000.01"'))
    os.utime(summary.path, ns=(status.st_atime_ns, status.st_mtime_ns))
    assert summaries(folder)[0] == summary
    assert closing_record(summary) is None
