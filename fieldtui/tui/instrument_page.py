"""The instruments of a job, page by page, from the start page."""

from __future__ import annotations

from collections.abc import Callable

from fieldtui.job import Job
from fieldtui.job.instrument import Instruments
from fieldtui.tui.instrument_words import sheets
from fieldtui.tui.lines import Lines, fit, rule, stack
from fieldtui.tui.page import Desk


class InstrumentDesk:
    """Enter leafs through the pages; 0, Esc or q lead back."""

    def __init__(self, job: Job, told: Instruments, back: Callable[[], Desk]) -> None:
        self.job, self.told, self.back = job, told, back
        self.bell = False
        self.done = False
        self.next: Desk | None = None
        self.page = 0

    def press(self, key: str, character: str | None) -> None:
        """Enter or an arrow for another page."""
        if key in ("escape", "f10") or character in ("0", "q", "Q"):
            self.next, self.done = self.back(), True
        elif key in ("enter", "down", "pagedown"):
            self.page += 1
        elif key in ("up", "pageup"):
            self.page -= 1

    def paste(self, text: str) -> None:
        """Nothing is asked here."""

    def draw(self, width: int, height: int) -> Lines:
        """One page: exactly `height` lines of `width` cells. A sheet begins on a page of its own."""
        room = max(1, height - 3)
        pages = [
            sheet[first : first + room]
            for sheet in sheets(self.told, self.job.route, width - 2)
            for first in range(0, len(sheet), room)
        ]
        here = self.page % len(pages)
        head = fit([(f" {self.job.route.name}: the instruments".ljust(width), "head")], width)
        body = stack([[(" ", ""), *line] for line in pages[here]], width, room)
        foot = fit([(f" page {here + 1} of {len(pages)}   Enter: next page   0 back", "key")], width)
        return stack([head, *body, rule("", width), foot], width, height)
