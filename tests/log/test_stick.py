"""A copy on another disk; it never touches the log."""

from __future__ import annotations

from pathlib import Path

import pytest

from faultlab.cuts import NoSync, a_log
from fieldtui.log import CopyFailed, OsCalls, copy_to_stick, space_left


def test_a_copy_is_made_and_a_shorter_one_replaced(tmp_path: Path) -> None:
    path, stick = a_log(tmp_path, 3), tmp_path / "stick"
    stick.mkdir()
    whole = path.read_bytes()
    (stick / path.name).write_bytes(whole[:900])
    assert copy_to_stick(path, stick, NoSync()) == stick / path.name
    assert (stick / path.name).read_bytes() == whole
    assert [one.name for one in stick.iterdir()] == [path.name]


def test_a_longer_copy_is_kept_and_another_log_of_that_name_too(tmp_path: Path) -> None:
    path, stick = a_log(tmp_path, 3), tmp_path / "stick"
    stick.mkdir()
    longer = path.read_bytes() + b'{"seq"'
    (stick / path.name).write_bytes(longer)
    assert copy_to_stick(path, stick, NoSync()).read_bytes() == longer
    (stick / path.name).write_bytes(b"another\n")
    copy = copy_to_stick(path, stick, NoSync())
    assert copy.name == path.stem + "-2.jsonl"
    assert copy.read_bytes() == path.read_bytes()
    assert (stick / path.name).read_bytes() == b"another\n"


def test_a_copy_that_reads_back_differently_is_told(tmp_path: Path) -> None:
    class Lying(NoSync):
        def write(self, fd: int, data: bytes) -> int:
            return super().write(fd, data[:-1] + b"?")

    path, stick = a_log(tmp_path, 3), tmp_path / "stick"
    stick.mkdir()
    before = path.read_bytes()
    with pytest.raises(CopyFailed, match="reads back differently"):
        copy_to_stick(path, stick, Lying())
    assert path.read_bytes() == before


def test_a_stick_that_is_full_or_gone_is_told(tmp_path: Path) -> None:
    class Full(NoSync):
        def write(self, fd: int, data: bytes) -> int:
            return super().write(fd, data[:100])

    path, stick = a_log(tmp_path, 3), tmp_path / "stick"
    with pytest.raises(CopyFailed, match="not made"):
        copy_to_stick(path, stick, NoSync())
    stick.mkdir()
    with pytest.raises(CopyFailed, match="no space left") as failed:
        copy_to_stick(path, stick, Full())
    assert "The log itself is saved" in failed.value.todo
    copy_to_stick(path, stick, OsCalls())  # the part left behind is no hindrance
    assert (stick / path.name).read_bytes() == path.read_bytes()


def test_space_left_is_told_for_a_folder_that_is_still_to_be_made(tmp_path: Path) -> None:
    assert space_left(tmp_path / "not" / "there") == pytest.approx(space_left(tmp_path), rel=0.1)
    assert space_left(tmp_path) > 0
