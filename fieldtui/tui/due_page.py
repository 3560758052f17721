"""What has to be read and when, on demand from the start page: one line a chord, in as many pages as it takes."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from fieldtui.job import Job
from fieldtui.job.due_told import due_lines
from fieldtui.tui.desks import Desk
from fieldtui.tui.leafing import LeafingDesk
from fieldtui.tui.lines import Lines, fit, rule, stack, wrapped
from fieldtui.tui.worked_out import WorkedOut


class DueDesk(LeafingDesk):
    """What has to be read, chord by chord."""

    purpose = (
        "What has to be read by the route's table of intervals, chord by chord, the most overdue marked, and "
        "how long it will take. Who has still to be told of a level stands here too."
    )

    def __init__(self, job: Job, worked: WorkedOut, back: Callable[[], Desk]) -> None:
        super().__init__(job, back)
        self.lines = due_lines(worked.due, job.route, worked.at, worked.calls)

    def draw(self, width: int, height: int) -> Lines:
        """One page: exactly `height` lines of `width` cells."""
        lines = hanging(self.lines, width)
        room = max(1, height - 4)
        pages = max(1, -(-len(lines) // room))
        first = self.page % pages * room
        counter = f"page {self.page % pages + 1} of {pages}   Enter: next page   " if pages > 1 else ""
        head = fit([(f" {self.job.route.name}: what has to be read".ljust(width), "head")], width)
        body = stack(lines[first : first + room], width, room)
        foot = fit([(f" {counter}0 back", "key")], width)
        return stack([head, fit([], width), *body, rule("", width), foot], width, height)


def hanging(lines: Sequence[str], width: int) -> Lines:
    """Lines of what is due, wrapped, what is overdue or not told standing out."""
    return [[(" ", ""), *part] for line in lines for part in _hanging(line, width - 2)]


def _hanging(line: str, width: int) -> Lines:
    """A line wrapped, its later parts indented like its first."""
    indent = len(line) - len(line.lstrip())
    role = "alarm" if line.startswith("■") else "notice" if "overdue by" in line else ""
    return [[(" " * indent, ""), *part] for part in wrapped(line.strip(), width - indent, role)]
