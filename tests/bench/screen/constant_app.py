"""The walk's page with nothing behind it: the same widgets and themes, the keys typed, and always the same result."""

from __future__ import annotations

from fieldtui.tui.app import FieldApp
from fieldtui.tui.draw_form import field_cells
from fieldtui.tui.field import Field
from fieldtui.tui.lines import Lines, fit, rule, stack
from fieldtui.tui.page import Desk

RESULT = ("length      7777.46 mm", "since last  +2.57 mm", "since start -3.07 mm", "rate        -0.07 mm/d")
SECTION = (
    "         K o",
    "         .. ..",
    "        .     ..",
    "      ..     ...",
    "    ..      ..",
    " @.............o R",
)


class ConstantDesk:
    """A field, and a result that nobody works out."""

    def __init__(self) -> None:
        self.field = Field()
        self.bell = False
        self.done = False
        self.next: Desk | None = None

    def press(self, key: str, character: str | None) -> None:
        """A key edits the field, or types into it; Enter empties it."""
        edited = Field() if key == "enter" else self.field.key(key)
        if edited is None and character is not None and character.isprintable():
            edited = self.field.insert(character)
        self.field = edited or self.field

    def paste(self, text: str) -> None:
        """Nothing is pasted here."""

    def draw(self, width: int, height: int) -> Lines:
        """Head, section beside the result, plot, field: as many lines as the walk has.

        Those that a figure changes in the walk change here with every key: nothing but the working out is left away.
        """
        other = len(self.field.text) % 2 == 1
        section = [text.replace(".", ":") if other else text for text in SECTION]
        body: Lines = [
            [(text.ljust(31), "chord"), (RESULT[place % len(RESULT)].replace("7", "8" if other else "7"), "main")]
            for place, text in enumerate(section)
        ]
        plot: Lines = [[("   +0.0 ┤", "quiet"), (" ●" * (20 + other), "main"), ("   ◆", "hook")] for _ in range(3)]
        head: Lines = [[(" constant", "head")], [(" chord L-R", "main")], rule("", width)]
        foot: Lines = [rule("", width), [(" 310  25.0  [", ""), *field_cells(self.field, 8), ("]", "main")]]
        return stack([*(fit(line, width) for line in (*head, *body, *plot, *foot))], width, height)


if __name__ == "__main__":
    FieldApp(ConstantDesk()).run(mouse=False)
