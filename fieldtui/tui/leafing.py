"""A desk that is only read: page after page on demand, and back to where it was opened from."""

from __future__ import annotations

from collections.abc import Callable

from fieldtui.job import Job
from fieldtui.tui.desks import Desk
from fieldtui.tui.help_desk import PagesDesk, Part, asks_for_help
from fieldtui.tui.paged import PagedDesk

_KEYS: tuple[Part, ...] = (
    ("Enter, down", "the next page; after the last one the first"),
    ("up", "the page before"),
    ("0, Esc, q", "back"),
    ("F10, Ctrl+C", "leave; what was shown as saved is saved"),
)


class LeafingDesk(PagedDesk):
    """Pages about a job, with help over them."""

    purpose = ""
    """What the page is for, as its help says it."""

    def __init__(self, job: Job, back: Callable[[], Desk]) -> None:
        super().__init__(back)
        self.job = job

    def press(self, key: str, character: str | None) -> None:
        """As on every page that is only read; F1 or `?` for help."""
        if asks_for_help(key, character, typing=False):
            self.next, self.done = PagesDesk("Help", [("What this page is for", self.purpose)], _KEYS, self._here), True
        else:
            super().press(key, character)

    def _here(self) -> Desk:
        self.done, self.next = False, None
        return self
