"""A desk that is only read, page after page, and left again: what help, lists of what is due and instruments share."""

from __future__ import annotations

from collections.abc import Callable

from fieldtui.tui.desks import Desk


def leads_back(key: str, character: str | None) -> bool:
    """Whether a key closes what is only read: 0, Esc or q."""
    return key == "escape" or character in ("0", "q", "Q")


def turned(page: int, key: str) -> int:
    """The page that Enter or an arrow leads to; any other key stays. Who draws turns round at either end."""
    if key in ("enter", "down", "pagedown", "space"):
        return page + 1
    return page - 1 if key in ("up", "pageup") else page


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
        elif leads_back(key, character):
            self.next, self.done = self.back(), True
        else:
            self.page = turned(self.page, key)

    def paste(self, text: str) -> None:
        """Nothing is asked here."""
