"""A desk that is only read: page after page on demand, and back to where it was opened from."""

from __future__ import annotations

from collections.abc import Callable

from fieldtui.job import Job
from fieldtui.tui.help_desk import PagesDesk, Part, asks_for_help
from fieldtui.tui.page import Desk

_KEYS: tuple[Part, ...] = (
    ("Enter, down", "the next page; after the last one the first"),
    ("up", "the page before"),
    ("0, Esc, q", "back"),
    ("F10, Ctrl+C", "leave; what was shown as saved is saved"),
)


class LeafingDesk:
    """Enter leafs through the pages; 0, Esc or q lead back. `page` counts on; who draws turns round at the end."""

    purpose = ""
    """What the page is for, as its help says it."""

    def __init__(self, job: Job, back: Callable[[], Desk]) -> None:
        self.job, self.back = job, back
        self.bell = False
        self.done = False
        self.next: Desk | None = None
        self.page = 0

    def press(self, key: str, character: str | None) -> None:
        """Enter or an arrow for another page; 0, Esc or q back; F10 leaves, as everywhere."""
        if asks_for_help(key, character, typing=False):
            self.next, self.done = PagesDesk("Help", [("What this page is for", self.purpose)], _KEYS, self._here), True
        elif key == "f10":
            self.done = True
        elif key == "escape" or character in ("0", "q", "Q"):
            self.next, self.done = self.back(), True
        elif key in ("enter", "down", "pagedown"):
            self.page += 1
        elif key in ("up", "pageup"):
            self.page -= 1

    def _here(self) -> Desk:
        self.done, self.next = False, None
        return self

    def paste(self, text: str) -> None:
        """Nothing is asked here."""
