"""Lines that are not figures: one letter, as on the screen, and what is said with it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from fieldtui.survey import OUTCOMES, EntryRefused
from fieldtui.survey.actions import KeyMap

BACK = ("0", "back")
"""Leaves a list."""
_SAID_WITH = {
    "correct": "[FIGURE]",
    "unread": "[REASON]",
    "unsafe": "[TEXT]",
    "jump": "[STATION CHORD]",
    "note": "[TEXT]",
    "keep": "[REASON]",
    "call": "[NUMBER]",
    "strike": "[NUMBER]",
    "more": "[zero, dial, care, tape, extensometer, time HH:MM]",
}

_OWN_HELP = {
    "more": "All of this in a numbered list; check the dial zero, say what was done to the instrument, change tape or "
    "extensometer, set the time.",
    "help": "These lines.",
}


class Order(Struct, frozen=True):
    """An action of the walk's table, by its id, and the rest of the line."""

    action: str
    rest: str = ""


def read_order(line: str, keyboard: KeyMap, *, text_wanted: bool) -> Order | None:
    """The order that a line is, or None where it is an answer.

    Where a text is asked for, only `?` and a letter after a slash (`/q`) are orders: a reader may be called “q”.
    """
    first, _, rest = line.strip().partition(" ")
    if len(first) > 1 and first[0] == "/":
        first = first[1:]
    elif text_wanted and first != "?":
        return None
    action = keyboard.by_line(first)
    return Order(action.id, rest.strip()) if action is not None else None


def help_lines(keyboard: KeyMap) -> Iterator[str]:
    """What can be typed at a prompt."""
    yield "Type the figure that is asked for and press Enter; it is on the disk when it says saved."
    yield "A comma is a point. A line that cannot be booked is refused with a sentence, and nothing is booked."
    yield "Instead of a figure:"
    for action in keyboard.actions:
        typed = f"{keyboard.on_line(action.id)} {_SAID_WITH.get(action.id, '')}"
        yield f"  {typed:<41}{_OWN_HELP.get(action.id, action.help)}"
    slashed = f"/{keyboard.on_line('leave')}"
    yield f"Where a text is asked for, write a slash before the letter: {slashed}. 0 or back leaves a list."
    yield "Reasons for not reading, by number or word, a note behind it:"
    for place, (name, reason) in enumerate(OUTCOMES.items(), 1):
        yield f"  {place} {name:<10}{reason}"
    yield "Changes: negative is closing. “cannot tell” is to be told like “above”. Below a level is no word about the"
    yield "ground: that is for the responsible engineer."


def one_of(options: Sequence[str], typed: str) -> str:
    """The option that a number names; what else was typed as it stands."""
    text = typed.strip()
    return options[numbered(text, len(options))] if text.lower() in BACK or text.isdigit() else text


def numbered(typed: str, count: int) -> int:
    """The place in a list, from 0, that a number names. `EntryRefused` if there is none, or `0` or `back` leaves it."""
    text = typed.strip()
    if text.lower() in BACK:
        raise EntryRefused("The list is left.", todo="All is as it was.")
    if not text:
        raise EntryRefused("No number was typed.", todo=f"Type one from 1 to {count}.")
    if not (text.isascii() and text.isdigit() and len(text) < 7) or not 1 <= int(text) <= count:
        raise EntryRefused(f"“{text}” is not in the list.", todo=f"Type a number from 1 to {count}.")
    return int(text) - 1
