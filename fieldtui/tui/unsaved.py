"""What was to be booked when the disk did not take it, in words for the screen."""

from __future__ import annotations

from fieldtui.job import Walk, not_saved
from fieldtui.tui.mode import NONE

_LONGEST = 100
"""Of a reason: what can be done must not be cut off by a long name of a folder."""


def told_unsaved(walk: Walk, why: str = "") -> str:
    """Which entry is not saved, why, and what can be done: said again to whatever is refused until it is."""
    why = why if len(why) <= _LONGEST else f"{why[: _LONGEST - 1]}…"
    todo = f"Enter: save it in a new file. F10, or {NONE} and Enter: leave without it."
    return f"NOT SAVED: {not_saved(walk)}.{why and ' '}{why} {todo}"
