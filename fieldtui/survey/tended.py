"""What a survey books of its instrument beside readings: care given to it, a dial that was off.

Both are answers (`said`) whose question is not asked: `care WHAT`, and `dial`. Any version of the program reads them.
"""

from __future__ import annotations

from collections.abc import Iterator

from fieldtui.survey.entered import Entry
from fieldtui.survey.state import State

DIAL = "dial"
DIAL_EVENTS = ("it was off", "it has a new battery", "it was knocked or dropped")
"""After any of them the dial may have lost its zero."""
CARE = "care "
DONE = "done"


def is_tending(what: str) -> bool:
    """Whether an answer is of this kind, and no question of the start."""
    return what == DIAL or what.startswith(CARE)


def care_given(state: State) -> Iterator[tuple[str, Entry]]:
    """What was done in a survey, from the first to the last time."""
    for what, entry in state.said.items():
        if what.startswith(CARE):
            for one in (*state.said_before.get(what, ()), entry):
                yield what[len(CARE) :], one
