"""A desk that is only read, page after page, and left again: what help, lists of what is due and instruments share."""

from __future__ import annotations

from collections.abc import Callable

from fieldtui.tui.page import Desk


class PagedDesk:
    """Enter leafs through the pages; 0, Esc or q lead back. `page` counts on; who draws turns round at the end."""

    def __init__(self, back: Callable[[], Desk]) -> None:
        self.back = back
        self.bell = False
        self.done = False
        self.next: Desk | None = None
        self.page = 0

    def press(self, key: str, character: str | None) -> None:
        """Enter or an arrow for another page; 0, Esc or q back; F10 leaves, as everywhere."""
        if key == "f10":
            self.done = True
        elif key == "escape" or character in ("0", "q", "Q"):
            self.next, self.done = self.back(), True
        elif key in ("enter", "down", "pagedown", "space"):
            self.page += 1
        elif key in ("up", "pageup"):
            self.page -= 1

    def paste(self, text: str) -> None:
        """Nothing is asked here."""
