"""A numbered list to choose from: by number and Enter, or by arrows and Enter."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.survey import EntryRefused

BACK = -1
"""Before the first: out of the list, with nothing done."""


class Item(Struct, frozen=True):
    """One line of a list, what choosing it does, and a remark at the right (a state, a key)."""

    text: str
    choose: Callable[[], None]
    remark: str = ""


class Menu(Struct, frozen=True):
    """A list; `selected` is what Enter alone takes, `BACK` for none of them. Every list can be left with 0."""

    title: str
    items: tuple[Item, ...]
    selected: int = 0
    back: bool = True
    """Whether `0` stands in the list."""
    out: str = "back"
    """What 0 does: back; on the first page of all, where there is nothing to go back to, leave."""

    def move(self, key: str) -> Menu | None:
        """The list after an arrow key, or None where the key is not one."""
        step = {"up": -1, "down": 1, "pageup": -8, "pagedown": 8}.get(key)
        if step is None:
            return None
        lowest = BACK if self.back else 0
        return replace(self, selected=max(lowest, min(len(self.items) - 1, self.selected + step)))

    def pick(self, typed: str) -> Item | None:
        """The item with the number typed, or the selected one; None for 0. `EntryRefused` for no such number."""
        text = typed.strip()
        place = self.selected if not text else int(text) - 1 if _is_number(text) else len(self.items)
        if not (BACK if self.back else 0) <= place < len(self.items):
            first = 0 if self.back else 1
            todo = f"Type a number from {first} to {len(self.items)}."
            raise EntryRefused(f"“{text[:20]}” is not in the list.", todo=todo)
        return None if place == BACK else self.items[place]


def _is_number(text: str) -> bool:
    return text.isascii() and text.isdigit() and len(text) < 6
