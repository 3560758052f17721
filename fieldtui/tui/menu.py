"""A numbered list to choose from: by number and Enter, or by arrows and Enter."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from fieldtui.survey import EntryRefused


@dataclass(frozen=True, slots=True)
class Item:
    """One line of a list, what choosing it does, and a remark at the right (a state, a key)."""

    text: str
    choose: Callable[[], None]
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Menu:
    """A list; `selected` is what Enter alone takes."""

    title: str
    items: tuple[Item, ...]
    selected: int = 0

    def move(self, key: str) -> Menu | None:
        """The list after an arrow key, or None where the key is not one."""
        step = {"up": -1, "down": 1, "pageup": -8, "pagedown": 8}.get(key)
        if step is None:
            return None
        return Menu(self.title, self.items, max(0, min(len(self.items) - 1, self.selected + step)))

    def pick(self, typed: str) -> Item:
        """The item with the number typed, or the selected one. `EntryRefused` if there is no such number."""
        text = typed.strip()
        if not text:
            return self.items[self.selected]
        if not (text.isascii() and text.isdigit()) or not 1 <= int(text) <= len(self.items):
            raise EntryRefused(f"“{text}” is not in the list.", todo=f"Type a number from 1 to {len(self.items)}.")
        return self.items[int(text) - 1]
