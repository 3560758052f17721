"""The instruments of a job, page by page, from the start page."""

from __future__ import annotations

from collections.abc import Callable

from fieldtui.job import Job
from fieldtui.job.instrument import Instruments
from fieldtui.tui.desks import Desk
from fieldtui.tui.instrument_words import sheets
from fieldtui.tui.leafing import LeafingDesk
from fieldtui.tui.lines import Lines, fit, rule, stack


class InstrumentDesk(LeafingDesk):
    """A sheet for each instrument and what it is worth."""

    purpose = (
        "Each tape with extensometer: the control frame survey by survey with its limits, which surveys are "
        "in doubt and why, what is marked, how repeatable it was, care and certificates."
    )

    def __init__(self, job: Job, told: Instruments, back: Callable[[], Desk]) -> None:
        super().__init__(job, back)
        self.told = told

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
