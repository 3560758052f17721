"""The page that stands there while the review is loaded: the screen says what it waits for and does not freeze.

    OpeningDesk ── work, in a thread: load, read the history ──► RouteDesk

This module loads nothing heavy. Keys typed meanwhile are kept for the page that follows.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from fieldtui.counted import counted
from fieldtui.job import Job
from fieldtui.tui.desks import Desk, Rooms
from fieldtui.tui.lines import Lines, fit, rule, stack, wrapped
from fieldtui.tui.start import open_route

Back = Callable[[], Desk]
"""Makes the page to go back to."""


class OpeningDesk:
    """`back` is None where the review was opened by its own command: there it ends the program."""

    def __init__(self, job: Job, back: Back | None = None, now: datetime | None = None) -> None:
        self.job, self.back = job, back
        self.now = now or datetime.now(UTC)
        self.bell = False
        self.done = False
        self.next: Desk | None = None
        self._typed: list[tuple[str, str | None]] = []
        self._begun = False

    def press(self, key: str, character: str | None) -> None:
        """Esc leads back, F10 leaves; every other key waits for the page to come."""
        if key == "f10":
            self.done = True
        elif key == "escape":
            self.next, self.done = self.back() if self.back is not None else None, True
        else:
            self._typed.append((key, character))

    def paste(self, text: str) -> None:
        """Nothing is asked here."""

    def work(self) -> Callable[[], None] | None:
        """Load and compute, once."""
        if self._begun:
            return None
        self._begun = True
        return self._open

    def _open(self) -> None:
        from fieldtui.review.route_page import RouteDesk
        from fieldtui.review.study import Study

        study = Study(self.job, self.now, self.back)
        study.read()
        if self.done:
            return
        desk: Desk = RouteDesk(study)
        for key, character in self._typed:
            desk.press(key, character)
            if desk.done and desk.next is not None:
                desk = desk.next
        self.next, self.done = desk, True

    def draw(self, width: int, height: int) -> Lines:
        """Title, what is waited for, how to leave."""
        surveys = len(self.job.counting)
        about = wrapped(
            f"Computing: reading the history of {counted(surveys, 'survey')}, and what has moved. A moment.", width - 2
        )
        foot = [rule("", width), fit([(" Esc: back", "key")], width)]
        head = fit([(f" {self.job.route.name}: what has moved".ljust(width), "head")], width)
        body = [head, [("", "")], *([(" ", ""), *line] for line in about)]
        room = height - len(foot)
        return [*stack(body, width, room), *foot] if room > 0 else stack(body, width, height)


def rooms() -> Rooms:
    """How the start page's review is opened, and how it leads back there."""
    return {"review": lambda job: OpeningDesk(job, lambda: open_route(job))}
