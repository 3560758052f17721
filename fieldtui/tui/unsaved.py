"""What was to be booked when the disk did not take it, in words for the screen."""

from __future__ import annotations

from fieldtui.job import Walk
from fieldtui.survey import words as say


def not_saved(walk: Walk) -> str:
    """The entry that a failed write left: where, which slot, what was typed. Empty where there is none."""
    if not walk.unsaved:
        return ""
    kind, data = walk.unsaved[0]
    what = data.get("typed") or data.get("outcome") or data.get("as") or data.get("text") or kind
    parts = (data.get("station", ""), data.get("chord", ""), say.SLOTS.get(data.get("slot", ""), ""), what)
    return " ".join(part for part in parts if part)
