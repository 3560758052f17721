"""How far what the figures mean has been turned over, where the window is too small for all of it.

What is accepted must have been seen: Enter turns on while something is left over, and what else accepts is refused.
"""

from __future__ import annotations

from msgspec import Struct

from fieldtui.survey import EntryRefused
from fieldtui.tui.lines import Lines


class Turning(Struct):
    """`turned` lines were seen and turned over; the last drawing showed `in_sight` more and had no room for `left`."""

    turned: int = 0
    in_sight: int = 0
    left: int = 0
    width: int = 0

    def part(self, lines: Lines, width: int, rows: int, how: str = "") -> Lines:
        """The lines to show in so many rows; the last one counts those left over, and says how they are shown."""
        if width != self.width:
            # in another width the lines break elsewhere, so that a count of them says nothing
            self.width, self.turned = width, 0
        lines = lines[self.turned :]
        over = len(lines) > rows
        shown = max(0, rows - 1) if over else len(lines)
        self.left, self.in_sight = len(lines) - shown, shown
        more: Lines = [[(f"▼ {self.left} more lines{how and ': '}{how}", "notice")]]
        return [*lines[:shown], *more] if over else lines

    def on(self) -> bool:
        """Turn to the next lines; False where everything has been seen. `EntryRefused` where nothing can be shown."""
        if self.left and not self.in_sight:
            raise EntryRefused("There is no room to show what the figures mean.", todo="Make the window larger.")
        self.turned += self.in_sight if self.left else 0
        return self.left > 0

    def must_be_seen(self) -> None:
        """`EntryRefused` while something of it has not been on the screen."""
        if self.left:
            raise EntryRefused(f"{self.left} lines of what this means were not shown yet.", todo="Enter shows them.")

    def begin(self) -> None:
        """From the first line again."""
        self.turned = 0
