"""Keys for a desk of the review, and its bare text."""

from __future__ import annotations

from collections.abc import Sequence

from fieldtui.tui.desks import Computes, Desk, DrawsItself
from fieldtui.tui.lines import text_of


def press(desk: Desk, keys: str | Sequence[str]) -> Desk:
    """Press keys one by one, follow where they lead, and let every page compute what it wants to."""
    for key in keys:
        desk.press("enter" if key == "\n" else key, key if len(key) == 1 and key != "\n" else None)
        while desk.done and desk.next is not None:
            desk = desk.next
        computed(desk)
    return desk


def computed(desk: Desk) -> Desk:
    """The desk with its work done."""
    work = desk.work() if isinstance(desk, Computes) else None
    if work is not None:
        work()
    return desk


def text(desk: Desk, width: int, height: int) -> str:
    assert isinstance(desk, DrawsItself)
    lines = desk.draw(width, height)
    assert len(lines) == height
    return text_of(lines)
