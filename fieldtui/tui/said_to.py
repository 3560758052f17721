"""What is said to an entry once it is booked and the next prompt stands there: mostly nothing."""

from __future__ import annotations

from fieldtui.job import Walk, tell
from fieldtui.survey import EntryRefused, Step
from fieldtui.survey.actions import KeyMap


def said_to(walk: Walk, asked: Step, keyboard: KeyMap) -> str:
    """To another tape or extensometer than last time, and to a dial zero that has moved; with the keys as they are."""
    if asked.kind == "say" and asked.what in ("tape", "extensometer"):
        return _another(walk, asked.what, keyboard.numeric("more"))
    if asked.kind == "figure" and asked.target is not None and asked.target.is_zero:
        told = [one for one in tell(walk, asked.target) if one.weight in ("notice", "alarm")]
        said = f"{'; '.join(one.text for one in told)}." if told else ""
        return f"{said[0].upper()}{said[1:]} {keyboard.told('correct')} corrects the figure." if said else ""
    return ""


def not_asked(typed: str, step: Step, keyboard: KeyMap, *, in_the_way: bool) -> EntryRefused:
    """The refusal of a figure where none is asked for; `in_the_way`: something keeps Enter from going on."""
    enter = "Enter shows what can be done" if in_the_way else "Enter alone goes on"
    again = f", {keyboard.told('again')} reads it again" if step.kind == "result" else ""
    return EntryRefused(f"“{typed.strip()}” is not booked: no figure is asked for here.", todo=f"{enter}{again}.")


def _another(walk: Walk, what: str, more: str) -> str:
    before, now = walk.before.get(what, ""), walk.state.answer(what)
    if before in ("", now):
        return ""
    return f"The last survey was read with {before}. If {now} is not in your hand: {more} , then set it right."
