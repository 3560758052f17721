"""What the walk's field is for now."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from msgspec import Struct

from fieldtui.survey import DIALS, PLANNED_DIALS, Target
from fieldtui.tui.menu import Menu

FURTHER = DIALS[len(PLANNED_DIALS) :]
"""Repeats beyond the planned three: they can be declined, and taken back."""
NONE = "-"
"""Takes one back, where the number pad cannot empty the field; and leaves without an entry that is not saved."""
ModeName = Literal["step", "correct", "menu", "text", "unsaved", "help"]


class Mode(Struct, frozen=True):
    """What the field is for now. `step`: the survey's own prompt; the others lie over it until Esc."""

    name: ModeName = "step"
    target: Target | None = None
    slot: str = ""
    menu: Menu | None = None
    label: str = ""
    """What a text is asked for, and `then` is what is done with it."""
    then: Callable[[str], None] | None = None


STEP = Mode()
