"""The application: one page, desk after desk, under the guards of `terminal`."""

from __future__ import annotations

import os
from typing import ClassVar

from textual.app import App, ComposeResult
from textual.binding import BindingType

from fieldtui.tui import terminal, themes
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.page import Page
from fieldtui.tui.start import ListDesk, drawing


class FieldApp(App[str]):
    """Shows a desk, then the desk that it leads to, until one leads nowhere. Gives a sentence to print at the end."""

    CSS = themes.STYLES
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = []

    def __init__(self, desk: ListDesk | WalkDesk) -> None:
        super().__init__(driver_class=terminal.driver_class())
        self.desk = desk
        self.register_theme(themes.DARK)
        self.register_theme(themes.LIGHT)
        self.theme = themes.LIGHT.name if os.environ.get("FIELDTUI_THEME") == themes.LIGHT.name else themes.DARK.name

    def compose(self) -> ComposeResult:
        yield Page(self.desk, drawing(self.desk))

    def on_mount(self) -> None:
        terminal.guard_signals(self)

    def on_page_done(self, message: Page.Done) -> None:
        """The desk is done: show the next one, or leave."""
        message.stop()
        following = self.desk.next if isinstance(self.desk, ListDesk) else None
        if following is None:
            self.exit(self.parting())
            return
        self.desk = following
        self.query_one(Page).show(following, drawing(following))

    def parting(self) -> str:
        """What is printed on the terminal after the screen is gone."""
        return self.desk.walk.parting() if isinstance(self.desk, WalkDesk) else ""


def run(desk: ListDesk | WalkDesk) -> int:
    """Run the screen to its end; exit status 0, or 2 after a crash."""
    app = FieldApp(desk)
    status = terminal.run(app)
    if isinstance(app.desk, WalkDesk):
        app.desk.walk.leave()
    told = app.parting()
    if told and status == 0:
        print(told)
    return status
