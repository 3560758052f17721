"""The cells that changed are sent and no others, and the terminal then shows the page as it was drawn."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pyte
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console
from rich.segment import Segment
from textual.strip import Strip
from textual.timer import Timer

from fieldtui.job import job_to_walk
from fieldtui.tui.app import FieldApp
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.lines import Line, Lines, changed, fit, text_of
from fieldtui.tui.sending import CellsUpdate
from fieldtui.tui.start import StartDesk
from harness.jobs import lay

WIDTH = 12
LINES = st.lists(st.lists(st.tuples(st.text("ab ●隧", max_size=5), st.just("")), max_size=4), min_size=3, max_size=3)


def drawn(lines: list[Line]) -> Lines:
    return [fit(line, WIDTH) for line in lines]


def update(old: Lines, new: Lines) -> str:
    """What is sent where a page of one widget is drawn anew."""
    parts = [(y, *changed(one, other)) for y, (one, other) in enumerate(zip(old, new, strict=True))]
    spans = [(y, first, first + cells) for y, first, cells in parts if cells]
    chops = [{0: Strip([Segment(text) for text, _ in line])} for line in new]
    console = Console(width=WIDTH, color_system=None)
    return CellsUpdate(chops, spans, [[WIDTH] for _ in new]).render_segments(console) if spans else ""


def shown(lines: Lines) -> pyte.Screen:
    screen = pyte.Screen(WIDTH, len(lines))
    pyte.Stream(screen).feed("\r\n".join("".join(text for text, _ in line) for line in lines))
    return screen


@given(LINES, LINES)
def test_the_terminal_shows_the_new_page_after_what_is_sent(one: list[Line], other: list[Line]) -> None:
    old, new = drawn(one), drawn(other)
    screen = shown(old)
    pyte.Stream(screen).feed(update(old, new))
    assert screen.display == shown(new).display


def test_of_a_line_only_the_cells_that_changed_are_sent() -> None:
    old = drawn([[("left 12 end", "")], [("the same", "")]])
    new = drawn([[("left 13 end", "")], [("the same", "")]])
    sent = update(old, new)
    assert sent == "\x1b[1;7H3"
    assert "left" in text_of(new)


async def test_a_page_that_follows_another_waits_for_no_clock(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    app = FieldApp(StartDesk(job_to_walk(lay(tmp_path))))
    sent: list[object] = []
    plainly = app._display
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        monkeypatch.setattr(Timer, "resume", lambda timer: None)  # the library's clock stands still
        monkeypatch.setattr(app, "_display", lambda *what: (sent.append(what), plainly(*what)))
        await pilot.press("1")
        assert not sent, "a figure that is typed is sent with the next tick"
        await pilot.press("enter")
        assert isinstance(app.desk, WalkDesk)
        await asyncio.sleep(0.1)  # `pause` would have it drawn
        assert sent
