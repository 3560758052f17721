"""What is booked of the instrument in the middle of a walk: a dial that was off, care that was given."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from fieldtui.survey.tended import CARE, DIAL, DIAL_EVENTS, DONE
from fieldtui.tui.menu import BACK, Item, Menu

if TYPE_CHECKING:
    from fieldtui.tui.desk import WalkDesk


def dial(desk: WalkDesk) -> None:
    """What happened to the dial; its zero is read next."""
    items = tuple(Item(event, partial(_dial_said, desk, event)) for event in DIAL_EVENTS)
    desk.open(Menu("The dial", items, BACK))


def _dial_said(desk: WalkDesk, event: str) -> None:
    desk.walk.say(DIAL, event)
    desk.to_step()
    desk.message = "The dial may have lost its zero: it is read next, as the instrument's own instructions say."


def care(desk: WalkDesk) -> None:
    """Which line of the route's list was done."""
    items = tuple(Item(one.what, partial(_care_said, desk, one.what)) for one in desk.walk.route.care)
    desk.open(Menu("What was done", items, BACK))


def _care_said(desk: WalkDesk, what: str) -> None:
    desk.walk.say(f"{CARE}{what}", DONE)
    desk.to_step()
    desk.message = f"Booked: {what}, done now."
