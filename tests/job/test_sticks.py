"""Sticks to take a copy of the log to: found where systems mount them, and one that has failed ends nothing."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from fieldtui.job.sticks import sticks


@pytest.fixture
def media(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Two sticks below a user's name and one beside it, as systems mount them; and a folder that is none."""
    media = tmp_path / "media"
    for name in ("ab/RED", "ab/BLUE", "GREEN", "folder"):
        (media / name).mkdir(parents=True)
    monkeypatch.setattr(os.path, "ismount", lambda path: Path(path).name.isupper() and os.path.lexists(path))
    monkeypatch.setattr(Path, "is_mount", lambda path: path.exists() and os.path.ismount(path))
    return media


def fails(monkeypatch: pytest.MonkeyPatch, dead: Path) -> None:
    """Let every question about a folder be answered as a disk does that has failed."""
    for name in ("stat", "lstat", "listdir", "scandir"):
        asked = getattr(os, name)

        def answer(path=".", *more, asked=asked, **named):
            if str(path).startswith(str(dead)):
                raise OSError(errno.EIO, "Input/output error", str(path))
            return asked(path, *more, **named)

        monkeypatch.setattr(os, name, answer)


def test_sticks_are_found_in_order_wherever_they_are_mounted(media: Path) -> None:
    assert sticks((media, media.parent / "nowhere")) == (media / "GREEN", media / "ab" / "BLUE", media / "ab" / "RED")


def test_a_stick_that_has_failed_is_left_out(media: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fails(monkeypatch, media / "ab" / "RED")
    assert sticks((media,)) == (media / "GREEN", media / "ab" / "BLUE")


def test_folders_of_another_person_are_left_out(media: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fails(monkeypatch, media / "ab")
    assert sticks((media,)) == (media / "GREEN",)
