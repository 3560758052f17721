"""What the pages of the review have in common: a number typed and Enter, arrows, Enter alone, 0 and Esc back.

The number pad alone is enough. A page is a desk: it takes keys in order, and draws itself.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from fieldtui.movement.canvas import cell_width, cut
from fieldtui.review.study import Study
from fieldtui.tui.desks import Desk
from fieldtui.tui.draw_form import field_cells
from fieldtui.tui.field import Field
from fieldtui.tui.lines import Line, Lines, fit, rule, spread, stack, width_of, wrapped

_CELLS = 4


class Choice(Struct, frozen=True):
    """A number, what stands beside it, and what it does."""

    number: int
    text: str
    do: Callable[[], None]


class ReviewDesk:
    """A page of the review."""

    enter_alone = "on"
    """What Enter does where no number is typed, in a word or two."""

    def __init__(self, study: Study) -> None:
        self.study = study
        self.field = Field()
        self.message = ""
        self.bell = False
        self.done = False
        self.next: Desk | None = None
        self.first = 0
        """The first line shown of a text that is longer than its room."""
        self._longer = 0
        self._room = 1

    # -- what a page is, each its own ------------------------------------------------------------------------------

    def choices(self) -> tuple[Choice, ...]:
        """What the numbers do, but for 0."""
        return ()

    def pick(self, number: int) -> None:
        """Do what a number stands for."""
        chosen = next((one for one in self.choices() if one.number == number), None)
        if chosen is None:
            self._refuse(f"{number} is none of the numbers below.")
        else:
            chosen.do()

    def alone(self) -> None:
        """Enter without a number."""

    def turned_to(self, lines: Lines, width: int, height: int) -> Lines:
        """The part of a text that fits, under its title, and how much more there is."""
        title, *rest = lines
        if len(rest) <= height - 1:
            return stack(lines, width, height)
        self._room = max(1, height - 2)
        self.first = min(self.first, max(0, len(rest) - self._room))
        shown = rest[self.first : self.first + self._room]
        self._longer = len(rest) - self.first - len(shown)
        more = f"▼ {self._longer} more lines: Enter, or down" if self._longer else "▲ end of it; up leads back"
        return stack([title, *shown, [(f" {more}", "key")]], width, height)

    def move(self, key: str) -> bool:
        """An arrow, or a sign of the number pad; whether it was one."""
        return False

    def back(self) -> Desk | None:
        """The page before; None ends the program."""
        return None

    def head(self) -> tuple[str, str]:
        """The two ends of the first line."""
        return "", ""

    def body(self, width: int, height: int) -> Lines:
        """What stands between head and foot."""
        return []

    # -- keys ------------------------------------------------------------------------------------------------------

    def press(self, key: str, character: str | None) -> None:
        """A number, Enter, an arrow; 0, Esc or q lead back, F10 leaves, as everywhere."""
        self.message = ""
        if key == "f10":
            self.go(None)
        elif key == "escape" or (character in ("q", "Q") and self.field.empty):
            self.go(self.back())
        elif key == "f1" or (character in ("?", ".") and self.field.empty):
            self.help()
        elif key == "enter":
            self._enter()
        elif self.field.empty and self.move(character if character in ("+", "-", "*", "/") else key):
            pass
        elif character is not None and character.isascii() and character.isdigit():
            self.field = self.field.insert(character) if len(self.field.text) < _CELLS else self.field
        else:
            self.field = self.field.key(key) or self.field

    def paste(self, text: str) -> None:
        """A number may be pasted."""
        if text.strip().isascii() and text.strip().isdigit():
            self.field = Field.of(text.strip()[:_CELLS])

    def _enter(self) -> None:
        typed, self.field = self.field.text, Field()
        if not typed:
            self.alone()
        elif int(typed) == 0:
            self.go(self.back())
        else:
            self.pick(int(typed))

    def help(self) -> None:
        """What every column and mark means."""
        from fieldtui.review.help_page import HelpDesk

        self.go(HelpDesk(self))

    def go(self, desk: Desk | None) -> None:
        """Make another page the next one."""
        self.next, self.done = desk, True

    def _refuse(self, sentence: str) -> None:
        self.message, self.bell = sentence, True

    # -- drawing ---------------------------------------------------------------------------------------------------

    def draw(self, width: int, height: int) -> Lines:
        """The page: exactly `height` lines of `width` cells."""
        left, right = self.head()
        shown = cut(f" {left}", max(0, width - cell_width(right) - 2))
        first = [(text, "head") for text, _ in spread([(shown, "head")], [(f"{right} ", "head")], width)]
        foot = self._foot(width)
        room = height - 1 - len(foot)
        if room < 1:
            return stack([first, *foot], width, height)
        return [fit(first, width), *stack(self.body(width, room), width, room), *foot]

    def _foot(self, width: int) -> Lines:
        """The field, the numbers beside it, in as many lines as they take; a message in their place."""
        field: Line = [(" [", "main"), *field_cells(self.field, _CELLS), ("] ", "main")]
        indent = width_of(field)
        told: list[Line] = [[(f"{one.number} ", "key"), (one.text, "")] for one in self.choices()]
        told += [[("0 ", "key"), ("back", "")], [("Enter ", "key"), (self.enter_alone, "quiet")]]
        told.append([("? ", "key"), ("help", "quiet")])
        rows: Lines = [field]
        used = indent
        for one in told:
            size = width_of(one) + 2
            if used + size > width and used > indent:
                rows.append([(" " * indent, "")])
                used = indent
            rows[-1] = [*rows[-1], *one, ("  ", "")]
            used += size
        if self.message:
            # as many lines as the numbers take: nothing above jumps
            said = [[(" " * indent, ""), *line] for line in wrapped(self.message, width - indent, "alarm")]
            said[0] = [*field, *said[0][1:]]
            rows = stack(said, width, max(len(rows), len(said)))
        return [rule("", width), *(fit(row, width) for row in rows)]
