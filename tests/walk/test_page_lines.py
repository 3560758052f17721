"""The page makes its lines ready for the terminal itself, and as the screen library would."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from rich.segment import Segment
from textual import events
from textual.pilot import Pilot
from textual.strip import Strip
from textual.theme import Theme

from fieldtui.tui.app import FieldApp
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.desks import Desk
from fieldtui.tui.lines import Lines
from fieldtui.tui.page import Page
from fieldtui.tui.progress import Work
from fieldtui.tui.themes import DARK, DARK_16, LIGHT, LIGHT_16
from harness.desks import at_first_chord
from harness.jobs import begin, lay


def cells(strips: list[Strip]) -> list[list[Segment]]:
    return [[*strip.simplify()] for strip in strips]


def by_the_library(page: Page) -> list[Strip]:
    """The same lines, nothing of them kept from before."""
    page._styles_cache.clear()
    return page._styles_cache.render_widget(page, page.size.region)


async def settled(pilot: Pilot[None]) -> None:
    await pilot.pause()
    await pilot.pause()


@pytest.mark.parametrize("theme", [DARK, LIGHT, DARK_16, LIGHT_16], ids=lambda theme: theme.name)
@pytest.mark.parametrize("without_colour", ["", "1"], ids=["colour", "NO_COLOR"])
async def test_the_lines_are_those_that_the_library_makes(
    tmp_path: Path, theme: Theme, without_colour: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    if without_colour:
        monkeypatch.setenv("NO_COLOR", without_colour)
    app = FieldApp(WalkDesk(begin(lay(tmp_path))))
    async with app.run_test(size=(80, 24)) as pilot:
        page = app.query_one(Page)
        app.theme = theme.name
        await settled(pilot)
        for keys in ((), ("A", "n", "n", "enter"), ("question_mark",), ("escape",)):
            await pilot.press(*keys)
            await settled(pilot)
            assert cells(page.render_lines(page.size.region)) == cells(by_the_library(page))
        for size in ((100, 24), (100, 30), (60, 20)):
            await pilot.resize_terminal(*size)
            await settled(pilot)
            assert page.size == size
            assert cells(page.render_lines(page.size.region)) == cells(by_the_library(page))
        app.theme = DARK.name if theme is not DARK else LIGHT.name
        await settled(pilot)
        assert cells(page.render_lines(page.size.region)) == cells(by_the_library(page))


async def test_a_part_of_the_lines_is_cut_out_of_them(tmp_path: Path) -> None:
    app = FieldApp(WalkDesk(begin(lay(tmp_path))))
    async with app.run_test(size=(80, 24)) as pilot:
        page = app.query_one(Page)
        await settled(pilot)
        region = page.size.region.shrink((2, 10, 3, 5))
        assert cells(page.render_lines(region)) == cells(page._styles_cache.render_widget(page, region))


class Busy:
    """A desk with work behind it, and a key that takes a while and leaves it in between two states meanwhile."""

    def __init__(self) -> None:
        self.next: Desk | None = None
        self.bell = self.done = self.between = False
        self.drawn: list[bool] = []

    def press(self, key: str, character: str | None) -> None:
        self.between = True
        time.sleep(0.3)
        self.between = False

    def paste(self, text: str) -> None: ...

    def work(self) -> Work | None:
        return None if self.drawn else Work(self._steps(), 100)

    def _steps(self) -> Iterator[None]:
        while not self.done:
            time.sleep(0.01)
            yield

    def draw(self, width: int, height: int) -> Lines:
        self.drawn.append(self.between)
        return [[(f"{len(self.drawn)}", "")]] * height


async def test_work_behind_the_page_draws_nothing_while_a_key_is_under_way(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fieldtui.tui.page._TELL", 0.02)
    desk = Busy()
    async with FieldApp(desk).run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.5)
        before = len(desk.drawn)
        assert before > 5, "how far the work is"
        await pilot.press("enter")
        await pilot.pause(0.1)
        assert True not in desk.drawn
        assert len(desk.drawn) > before, "and the work goes on"
        desk.done = True


async def test_a_window_made_larger_while_a_key_is_under_way_is_drawn_at_its_end() -> None:
    desk = Busy()
    desk.drawn.append(False)  # nothing to work for
    async with FieldApp(desk).run_test(size=(80, 24)) as pilot:
        page = pilot.app.query_one(Page)
        await settled(pilot)
        page.post_message(events.Key("enter", None))
        await asyncio.sleep(0.1)
        assert desk.between
        await pilot.resize_terminal(90, 30)
        await asyncio.sleep(0.4)
        await settled(pilot)
        assert not desk.between
        assert True not in desk.drawn
        assert page.render_line(29).text.strip() == f"{len(desk.drawn)}"


async def test_a_key_that_comes_as_the_work_behind_a_page_ends_is_for_the_page_that_follows(tmp_path: Path) -> None:
    desk, following = Busy(), at_first_chord(tmp_path)
    async with FieldApp(desk).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        desk.next, desk.done = following, True  # the page has not heard of it yet
        await pilot.press("3")
        assert following.field.text == "3"


async def test_a_figure_is_on_the_screen_at_once_and_what_books_is_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A slow disk must not freeze the screen, and a figure that is only typed has nothing to wait for."""
    behind: list[str] = []
    to_thread = asyncio.to_thread

    async def told(act: Callable[[], None]) -> None:
        behind.append(desk.field.text)
        await to_thread(act)

    desk = at_first_chord(tmp_path)
    async with FieldApp(desk).run_test(size=(80, 24)) as pilot:
        monkeypatch.setattr(asyncio, "to_thread", told)
        await pilot.press(*"320")
        await settled(pilot)
        assert (desk.field.text, behind) == ("320", [])
        await pilot.press("enter", *"1", "backspace", *"2.3", "escape")
        await settled(pilot)
        assert behind == ["320", "2.3"], "Enter books, Esc may"
