"""The walk's page with nothing behind it: the same widgets and themes, the keys typed, and always the same result."""

from __future__ import annotations

from fieldtui.tui.app import FieldApp
from fieldtui.tui.draw_form import field_cells
from fieldtui.tui.field import Field
from fieldtui.tui.lines import Lines, fit, rule, stack
from fieldtui.tui.page import Desk

RESULT = ("length      7774.46 mm", "since last  +2.56 mm", "since start -3.05 mm", "rate        -0.01 mm/d")
SECTION = ("         K o", "         .. ..", "        .     ..", "      ..     ...", " @##############o R")


class ConstantDesk:
    """A field, and a result as long as anything stands in it."""

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
        """Head, section beside the result, field, keys: as many lines as the walk has."""
        result = ("", *RESULT) if self.field.text else ()
        body = [fit([(text, "chord"), (" " * (31 - len(text)), "")], 31) for text in SECTION]
        beside = [
            [*body[place], (result[place] if place < len(result) else "", "main")] if place < len(body) else []
            for place in range(8)
        ]
        head: Lines = [[(" constant", "head")], [(" chord L-R", "main")], rule("", width)]
        foot: Lines = [rule("", width), [(" 310  25.0  [", ""), *field_cells(self.field, 8), ("]", "main")]]
        return stack([*(fit(line, width) for line in (*head, *beside, *foot))], width, height)


if __name__ == "__main__":
    FieldApp(ConstantDesk()).run(mouse=False)
