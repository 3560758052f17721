"""The least that the screen library can show: one widget with one line."""

from __future__ import annotations

from textual.app import App, ComposeResult
from textual.widgets import Static


class EmptyApp(App[None]):
    ENABLE_COMMAND_PALETTE = False

    def compose(self) -> ComposeResult:
        yield Static("ready")


if __name__ == "__main__":
    EmptyApp().run(mouse=False)
