"""A route laid by keys, question by question, without a screen."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from fieldtui.laying.desk import LayDesk
from fieldtui.laying.opening import open_laying
from fieldtui.tui.list_desk import ListDesk

DRIFT = {
    "name": "Lower drift (invented)",
    "tape.0.serial": "T-1", "tape.0.pitch": "25", "tape.0.holes": "600",
    "extensometer.0.serial": "X-1", "extensometer.0.dial_serial": "D-1",
    "frame.name": "frame at the portal", "frame.length": "4000",
    "face.0.name": "east",
    "group0.width": "9,0", "group0.height": "7", "group0.layout": "2",
    "group0.first": "S01", "group0.chainage": "1200", "group0.count": "20", "group0.spacing": "25",
    "level.0.name": "watch", "level.0.closing": "5", "level.0.response": "Read again.",
    "level.0.tell": "shift engineer, site manager",
}  # fmt: skip
"""Every answer that Enter alone does not give: twenty stations of three anchors."""


def press(desk: ListDesk, keys: str) -> ListDesk:
    """Type a text and Enter; the page that follows, or the same one where it was refused."""
    if keys and desk.wide:
        desk.field = type(desk.field)()
    for sign in keys:
        desk.press(sign, sign)
    desk.press("enter", None)
    return desk.next if desk.done and isinstance(desk.next, ListDesk) else desk


def answer(desk: ListDesk, answers: Mapping[str, str], until: str = "") -> ListDesk:
    """Answer questions, those not named by Enter alone, up to one of them or to the last page."""
    while isinstance(desk, LayDesk) and desk.ask.key != until:
        key = desk.ask.key
        following = press(desk, answers.get(key, ""))
        assert following is not desk, f"{key}: {desk.message}"
        desk = following
    return desk


def lay_out(path: Path, answers: Mapping[str, str] = DRIFT, until: str = "") -> ListDesk:
    """Begin a route and answer up to a question, or to the last page."""
    return answer(open_laying(path), answers, until)


def written(path: Path, answers: Mapping[str, str] = DRIFT) -> Path:
    """A route laid and written."""
    assert press(lay_out(path, answers), "1").title == path.name
    return path
