"""The one widget of a page: shows a desk's lines, takes every key in order.

It alone has the focus, so keys typed in a burst cannot land in the wrong field: each is handled to its end, with the
entry on the disk, before the next. Only the cells that changed are sent to the terminal.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from contextlib import suppress
from threading import Thread

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from fieldtui.settings import AS_USUAL, Settings
from fieldtui.tui.after_zero import AfterZero
from fieldtui.tui.desks import Computes, Desk, Drawing, Edits, Elsewhere, Rooms, TakesSettings
from fieldtui.tui.lines import Lines, changed, joined, width_of
from fieldtui.tui.progress import Work
from fieldtui.tui.sending import PageScreen
from fieldtui.tui.themes import NO_COLOUR, PLAIN, look

SAME_KEY = {
    "ctrl+j": "enter",
    "ctrl+m": "enter",
    "ctrl+h": "backspace",
    "shift+enter": "enter",
    "ctrl+c": "f10",
}
"""Other names of the same keys. Enter typed before the screen is up comes through a cooked terminal as Ctrl+J."""
_TELL = 0.5
"""Seconds between two drawings while work goes on behind a page."""


async def in_background(work: Callable[[], None]) -> None:
    """Run something in a thread that the end of the program does not wait for."""
    loop = asyncio.get_running_loop()
    done: asyncio.Future[None] = loop.create_future()

    def tell(error: BaseException | None) -> None:
        if not done.done() and error is None:
            done.set_result(None)
        elif not done.done() and error is not None:
            done.set_exception(error)

    def run() -> None:
        error: BaseException | None = None
        try:
            work()
        except BaseException as raised:  # told to whoever waits, as by any other thread of asyncio
            error = raised
        with suppress(RuntimeError):  # the program has ended meanwhile
            loop.call_soon_threadsafe(tell, error)

    Thread(target=run, daemon=True).start()
    await done


class Page(Widget, can_focus=True):
    """Draws a desk, and the desk that follows it. Posts `Page.Done` after the last one."""

    DEFAULT_CSS = "Page { width: 1fr; height: 1fr; }"

    class Done(Message):
        """The last desk has nothing further to ask."""

    def __init__(
        self,
        desk: Desk,
        drawing: Callable[[Desk], Drawing],
        rooms: Rooms | None = None,
        settings: Settings = AS_USUAL,
    ) -> None:
        super().__init__()
        self._drawing = drawing
        self.settings = settings
        self._set(desk)
        self._rooms = rooms or {}
        self._lines: Lines = []
        self._strips: dict[int, Strip] = {}
        self._styles: dict[str, Style] = {}
        self._working: Work | None = None
        self._acting = False
        self._after_zero = AfterZero()

    def notify_style_update(self) -> None:
        """Another theme: every role has another look."""
        self._styles.clear()
        self._strips.clear()
        super().notify_style_update()

    def on_mount(self) -> None:
        self.focus()
        self._compute()

    def render_lines(self, crop: Region) -> list[Strip]:
        """Lines made ready for the terminal, each once until it changes.

        The library would work out borders, colours and links of a page that has none, anew for every key.
        """
        width = self.size.width
        for y in crop.line_range:
            if y not in self._strips:
                self._strips[y] = self.render_line(y)
        strips = [self._strips[y] for y in crop.line_range]
        return strips if crop.column_span == (0, width) else [strip.crop(*crop.column_span) for strip in strips]

    def render_line(self, y: int) -> Strip:
        width, height = self.size
        if len(self._lines) != height and not self._acting:
            self._lines = self._draw(width, height)
        if y >= len(self._lines):
            return Strip.blank(width, self._style(""))
        line = joined(self._lines[y])
        strip = Strip([Segment(text, self._style(role)) for text, role in line], width_of(line))
        return strip.adjust_cell_length(width, self._style(""))

    def _style(self, role: str) -> Style:
        # the library works a style out through all ancestors whenever it is asked, which took half of a key's time
        if role not in self._styles:
            self._styles[role] = self._look(role)
        return self._styles[role]

    def _look(self, role: str) -> Style:
        if self.app.no_color:
            return NO_COLOUR.get(role, PLAIN)
        return self.rich_style + look(role, self.app.current_theme)

    def redraw(self) -> None:
        """Draw anew and send what came out otherwise."""
        before, size = self._lines, self.size
        self._lines = self._draw(size.width, size.height)
        if len(before) != len(self._lines):
            self._all_anew()
            return
        parts = ((y, changed(old, new)) for y, (old, new) in enumerate(zip(before, self._lines, strict=True)))
        regions = [Region(first, y, cells, 1) for y, (first, cells) in parts if cells]
        for region in regions:
            self._strips.pop(region.y, None)
        if regions:
            self.refresh(*regions)

    def on_resize(self, event: events.Resize) -> None:
        self._lines = []
        self._all_anew()

    def _all_anew(self) -> None:
        self._strips.clear()
        self.refresh()

    async def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        if event.key == "ctrl+z":
            self.app.action_suspend_process()
            return
        name = SAME_KEY.get(event.key, event.key)
        # a letter held down with Alt or Ctrl is not that letter
        plain = not name.startswith(("alt+", "ctrl+", "super+", "meta+"))
        if self._after_zero.takes(name):
            return
        if self.desk.done:  # by the work behind it, just now
            self._settle()
        before, character = self.desk, event.character if plain else None
        if self._edits is not None and not before.done and self._edits.edit(name, character):
            self.redraw()
            return
        await self._handle(lambda: before.press(name, character))
        if self.desk is not before:
            self._after_zero.closed(event.character)

    async def on_paste(self, event: events.Paste) -> None:
        event.stop()
        self._after_zero.takes("paste")
        await self._handle(lambda: self.desk.paste(event.text))

    async def _handle(self, act: Callable[[], None]) -> None:
        if self.desk.done:
            return
        # a slow disk must not freeze the screen; the next key waits in this widget's queue all the same
        self._acting = True
        try:
            await asyncio.to_thread(act)
        finally:
            self._acting = False
        if self.desk.bell:
            self.desk.bell = False
            self.app.bell()
        self._settle()

    def _settle(self) -> None:
        """Go on to the desk that follows, draw, and let a desk compute that has something to."""
        turned = self.desk.done
        if turned:
            following = self.desk.next
            if following is None:
                self.post_message(self.Done())
                return
            if isinstance(following, Elsewhere):
                following = self._rooms[following.room](following.job)
            if self._working is not None:
                self._working.stop()
            # here and not by a message: the next key of a burst already belongs to the next desk
            self._set(following)
        # before it is drawn: a desk that knows that somebody works for it does not do the work itself
        self._compute()
        self.redraw()
        if turned and isinstance(self.screen, PageScreen):
            self.screen.send(self)

    def _set(self, desk: Desk) -> None:
        if isinstance(desk, TakesSettings):
            desk.take(self.settings)
        self.desk, self._draw = desk, self._drawing(desk)
        self._edits = desk if isinstance(desk, Edits) else None

    def _compute(self) -> None:
        work = self.desk.work() if isinstance(self.desk, Computes) else None
        if work is not None:
            self._working = work if isinstance(work, Work) else None
            self.run_worker(self._computed(self.desk, work))

    async def _computed(self, desk: Desk, work: Callable[[], None]) -> None:
        going = asyncio.ensure_future(in_background(work))
        while isinstance(work, Work) and not (await asyncio.wait([going], timeout=_TELL))[0]:
            if self._stands(desk):
                self.redraw()
        await going
        if self._stands(desk):
            self._settle()

    def _stands(self, desk: Desk) -> bool:
        """Whether a desk can be drawn: a key may have led elsewhere, or is on its way and draws at its end."""
        return self.desk is desk and not self._acting
