"""A disk of 64 KiB that fills up in the middle of a survey, by a ballast of any size: said, and gone on with."""

from __future__ import annotations

from pathlib import Path

import pytest

from faultlab.job import Sitting, lost
from fieldtui.log import LogFile, OsCalls, WriteFailed, heads, read_folder, space_left


def fill_and_go_on(small: Path, ballast: int, size: int = 300) -> int:
    """Book until the disk is full, make space, go on in a new file there; gives the entries acknowledged."""
    at = Sitting(small / "logs", OsCalls())
    at.start()
    weight = small / "ballast"
    weight.write_bytes(b"." * ballast)
    with pytest.raises(WriteFailed) as full:
        _book_on(at, size)
    assert "No space left on device" in str(full.value) or "bytes were written" in str(full.value)
    assert "not saved" in str(full.value)
    assert space_left(small) < 4096
    assert at.writer is not None
    with pytest.raises(WriteFailed):  # the file takes no more, even once there is space
        at.book()
    with pytest.raises(WriteFailed):
        at.writer.continue_in(small / "logs")
    weight.unlink()
    at.go_on()
    at.book(10)
    assert at.writer.path.parent == small / "logs"
    at.leave()
    assert lost(at) == []
    found = read_folder(small / "logs")
    assert found.logs[0].state in ("torn", "unclosed")
    assert found.logs[1].state == "unclosed"
    assert heads(found) == [head_of(found.logs[-1])]
    return len(at.acknowledged)


def _book_on(at: Sitting, size: int) -> None:
    for _ in range(1000):
        at.book(size)


def head_of(log: LogFile) -> dict[str, object]:
    """As another log names it."""
    assert log.last is not None
    return {"log": log.id, "seq": log.last.seq, "h": log.last.h}
