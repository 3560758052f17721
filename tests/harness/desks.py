"""Desks of the walk, brought to where a test begins."""

from __future__ import annotations

from pathlib import Path

from fieldtui.tui.desk import WalkDesk
from harness.jobs import Ticking, answer_start, begin, lay, with_past


def at_first_chord(folder: Path) -> WalkDesk:
    """At the first chord of a heading in which nothing moved for five days: hole 320, dial 12.31."""
    clock = Ticking()
    desk = WalkDesk(begin(with_past(lay(folder), before=clock.now), clock))
    answer_start(desk.walk)
    desk.walk.book("")
    desk.to_step()
    return desk
