"""Help over any page but the walk's own: what the page is for, what each key does there; and back to it.

A page says what it is for in its `purpose`; its keys follow from what sort of page it is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from fieldtui.tui.desks import Desk
from fieldtui.tui.lines import Lines, rule, stack, wrapped
from fieldtui.tui.paged import PagedDesk

Part = tuple[str, str]
"""A heading, and a text; or a key, and what it does."""
_KEY = 14


def asks_for_help(key: str, character: str | None, *, typing: bool) -> bool:
    """F1; or `?`, or the point of the number pad, where nothing is being typed that it could belong to."""
    return key == "f1" or (character in ("?", ".", ",") and not typing)


class PagesDesk(PagedDesk):
    """Parts of text under a title, page by page."""

    def __init__(self, title: str, parts: Sequence[Part], keys: Sequence[Part], back: Callable[[], Desk]) -> None:
        super().__init__(back)
        self.title, self.parts, self.keys = title, tuple(parts), tuple(keys)

    def draw(self, width: int, height: int) -> Lines:
        """One page: exactly `height` lines of `width` cells."""
        return leafed(f" {self.title}", told(self.parts, self.keys, width - 1), self.page, width, height)


def told(parts: Sequence[Part], keys: Sequence[Part], width: int) -> Lines:
    """Headings with their texts, then the keys in a column."""
    lines: Lines = []
    for heading, text in parts:
        lines += [[(heading, "main")], *wrapped(text, width - 1), [("", "")]]
    if keys:
        lines.append([("Keys", "main")])
    for key, what in keys:
        first, *rest = wrapped(what, width - _KEY)
        lines.append([(key.ljust(_KEY), "key"), *first])
        lines += [[(" " * _KEY, ""), *line] for line in rest]
    return lines


def leafed(title: str, lines: Lines, page: int, width: int, height: int) -> Lines:
    """One page of many lines under a title, with what leads on and back."""
    room = max(1, height - 3)
    pages = max(1, -(-len(lines) // room))
    here = page % pages
    body = stack([[(" ", ""), *line] for line in lines[here * room : (here + 1) * room]], width, room)
    foot = f" page {here + 1} of {pages}   Enter: next page   0 or Esc: back" if pages > 1 else " 0 or Esc: back"
    return stack([[(title.ljust(width), "head")], *body, rule("", width), [(foot, "key")]], width, height)
