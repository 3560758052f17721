"""While a start makes what stays nobody looks for rings among it; from the first page or question on somebody does."""

from __future__ import annotations

import asyncio
import gc
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from threading import Event

import pytest

from fieldtui.loading import made, making_what_stays
from fieldtui.tui import app
from fieldtui.tui.app import FieldApp
from fieldtui.tui.desk import WalkDesk
from harness.jobs import begin, lay


@pytest.fixture(autouse=True)
def as_before() -> Iterator[None]:
    usual = gc.get_threshold()
    yield
    gc.set_threshold(*usual)
    gc.unfreeze()
    gc.enable()


async def test_rings_are_looked_for_once_the_first_page_stands(tmp_path: Path) -> None:
    with making_what_stays():
        desk = WalkDesk(begin(lay(tmp_path)))
    assert not gc.isenabled()
    async with FieldApp(desk).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert gc.isenabled()
        assert gc.get_freeze_count() > 0
        assert gc.get_threshold()[0] == 10_000


def test_a_start_that_is_refused_looks_for_rings_as_before() -> None:
    with pytest.raises(ValueError, match="no route"), making_what_stays():
        raise ValueError("no route")
    assert gc.isenabled()


def test_what_was_not_made_at_a_start_is_not_set_aside() -> None:
    made()
    assert gc.get_freeze_count() == 0


async def test_what_later_keys_need_is_read_behind_the_first_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read = Event()
    monkeypatch.setattr(app, "_SOON", 0.01)
    monkeypatch.setattr(app, "_read_beforehand", read.set)
    async with FieldApp(WalkDesk(begin(lay(tmp_path)))).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert await asyncio.to_thread(read.wait, 10)


def test_a_page_that_cannot_be_loaded_beforehand_ends_no_walk(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "fieldtui.tui.journal", None)
    monkeypatch.delattr("fieldtui.tui.journal", raising=False)
    app._read_beforehand()


def test_pages_that_the_first_question_does_not_wait_for_are_loaded_behind_it() -> None:
    opened = """
import sys
from fieldtui.tui import app, start
pages = {"fieldtui.tui." + page for page in ("due_page", "instrument_page", "journal", "questions")}
assert not pages & set(sys.modules)
app._read_beforehand()
assert pages <= set(sys.modules)
"""
    subprocess.run([sys.executable, "-c", opened], check=True)
