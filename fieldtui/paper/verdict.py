"""Where the verdict over a row comes from: can the figures be right, and if not, what do they look like.

Two kinds: a figure that the instrument cannot show (`impossible`), and one that does not agree with what is known
(`weighed`).
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from functools import lru_cache

from fieldtui.route import Extensometer, Route, Tape
from fieldtui.survey import Entry, EntryRefused, State, check_figure
from fieldtui.survey.target import Target

_NOWHERE = datetime(1970, 1, 1, tzinfo=UTC)


def impossible(route: Route, tape: Tape, extensometer: Extensometer, slots: Mapping[str, str]) -> str:
    """Why a figure cannot be what the instrument showed, or an empty string. The same words as at the prompt."""
    state, target = _using(tape.serial, extensometer.serial), Target("", "")
    for slot, typed in slots.items():
        try:
            check_figure(route, state, target, slot, typed, optional=slot.startswith("dial"))
        except EntryRefused as refused:
            return refused.what
    return ""


@lru_cache(maxsize=16)
def _using(tape: str, extensometer: str) -> State:
    """A survey in which nothing is said but what is in use."""
    return State(
        said={"tape": Entry(tape, "", "", 0, _NOWHERE), "extensometer": Entry(extensometer, "", "", 0, _NOWHERE)}
    )
