"""The application: one page, under the guards of `terminal`."""

from __future__ import annotations

import sys
from contextlib import suppress
from threading import Thread
from typing import ClassVar

from rich.cells import cell_len
from textual.app import App, ComposeResult
from textual.binding import BindingType

from fieldtui.job import parting
from fieldtui.loading import made
from fieldtui.settings import AS_USUAL, Settings, read_settings
from fieldtui.tui import terminal, themes
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.desks import Desk, Rooms
from fieldtui.tui.page import Page
from fieldtui.tui.sending import PageScreen
from fieldtui.tui.start import drawing, load_pages

_SOON = 1.0
"""Seconds."""


class FieldApp(App[None]):
    """Shows a desk, and the desks that it leads to."""

    CSS = themes.STYLES
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = []

    def __init__(self, desk: Desk, rooms: Rooms | None = None, settings: Settings = AS_USUAL) -> None:
        super().__init__(driver_class=terminal.driver_class())
        self._page = Page(desk, drawing, rooms, settings)
        for theme in themes.ALL:
            self.register_theme(theme)
        self.theme = themes.theme_name(settings.theme, self.console.color_system)

    def get_default_screen(self) -> PageScreen:
        return PageScreen()

    def compose(self) -> ComposeResult:
        yield self._page

    def on_mount(self) -> None:
        terminal.guard_signals(self)

    def on_ready(self) -> None:
        """The first page is on the screen."""
        made()
        self.set_timer(_SOON, lambda: Thread(target=_read_beforehand, daemon=True).start())

    def on_page_done(self, message: Page.Done) -> None:
        """The last desk is done."""
        message.stop()
        self.exit()

    @property
    def waiting(self) -> str:
        """What is said while the program is stopped (Ctrl+Z)."""
        desk = self.desk
        told = f" {parting(desk.walk)}" if isinstance(desk, WalkDesk) else ""
        return f"Stopped, not ended: fg goes on.{told}"

    @property
    def desk(self) -> Desk:
        """The desk on the screen."""
        return self._page.desk


def _read_beforehand() -> None:
    """What stands in files is read before a key needs it: how wide a sign is that is not Latin, pages not opened yet.

    What cannot be read now is no reason to end a walk: the key that needs it will tell.
    """
    with suppress(ImportError, OSError):
        cell_len("≈")
        load_pages()


def run(desk: Desk, rooms: Rooms | None = None) -> int:
    """Run the screen to its end; exit status 0, or 2 after a crash. Says at the end where the survey stands.

    `rooms` open what the start page leads to and the screens do not know, by name.
    """
    settings = read_settings()
    app = FieldApp(desk, rooms, settings)
    try:
        status = terminal.run(app)
    finally:
        made()
    last = app.desk
    if isinstance(last, WalkDesk):
        last.walk.leave()
        print(parting(last.walk))
    for problem in settings.problems:
        print(f"Settings: {problem}", file=sys.stderr)
    return status
