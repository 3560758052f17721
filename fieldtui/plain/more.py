"""The list of all that can be done, by number or word, and what no other order does: zero check, care, tape, time."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING

from fieldtui.job import answer_anew, named_wrong
from fieldtui.job.set_time import set_time, time_here
from fieldtui.plain import doing
from fieldtui.plain.orders import BACK, Order, numbered
from fieldtui.survey import EntryRefused, Step, Target, check_answer, choices
from fieldtui.survey import words as say
from fieldtui.survey.tended import CARE, DIAL, DIAL_EVENTS, DONE

if TYPE_CHECKING:
    from fieldtui.plain.talk import Talk


def more(talk: Talk, rest: str) -> None:
    """Do what was named, or list it all: the number pad alone reaches everything by this."""
    typed, _, behind = rest.strip().partition(" ")
    if not typed:
        typed = _listed(talk).lower()
    orders, own = _orders(talk), list(_OWN)
    if typed.isdigit() or not typed:
        place = numbered(typed, len(orders) + len(own))
        if place < len(orders):
            doing.obey(talk, Order(orders[place]))
            return
        typed = own[place - len(orders)]
    elif typed in BACK:
        numbered(typed, 0)
    if typed.lower() not in _OWN:
        named = f"{', '.join(own[:-1])} or {own[-1]}"
        raise EntryRefused(f"“{typed}” is not one of them.", todo=f"Type {named} after {talk.order('more')}.")
    begun(talk)
    _OWN[typed.lower()](talk, behind)


def _listed(talk: Talk) -> str:
    """What is typed below the list."""
    keyboard = talk.keyboard
    named = [f"{keyboard.of(id).label}  {keyboard.on_line(id)}" for id in _orders(talk)]
    return talk.choose((*named, *_CALLED), "Number: ").strip()


def _orders(talk: Talk) -> list[str]:
    return [action.id for action in talk.keyboard.actions if action.id != "more"]


def begun(talk: Talk) -> None:
    """`EntryRefused` before the questions of the start are answered."""
    if talk.walk.step.kind == "say":
        raise EntryRefused(
            "The survey has not begun.",
            todo=f"Answer the questions first, or leave with /{talk.order('leave')}.",
        )


def _zero(talk: Talk, behind: str) -> None:
    done = [target.reading for target in talk.walk.state.bookings if target.is_zero and target.part == "between"]
    talk.walk.go(Target("", "zero", max(done, default=0) + 1, "between"))


def _dial(talk: Talk, behind: str) -> None:
    _said_of_it(talk, DIAL, DIAL_EVENTS)


def _care(talk: Talk, behind: str) -> None:
    listed = tuple(one.what for one in talk.walk.route.care)
    if not listed:
        raise EntryRefused("The route lists no care.", todo="Book a note, or list it in the route file.")
    _said_of_it(talk, CARE, listed)


def _said_of_it(talk: Talk, what: str, options: Sequence[str]) -> None:
    """Book what happened to the dial, or which care was given, chosen by its number."""
    for place, option in enumerate(options, 1):
        talk.write(f"  {place} {option}")
    chosen = options[numbered(talk.ask("Number: "), len(options))]
    if what == CARE:
        talk.walk.say(f"{CARE}{chosen}", DONE)
    else:
        talk.walk.say(what, chosen)
    talk.saved()


def _another(what: str, talk: Talk, behind: str) -> None:
    """Another tape or extensometer: taken from here on, or the one before was named wrong all along."""
    chosen = talk.choose(choices(talk.walk.route, what), f"{say.question(talk.walk.route, what)}: ")
    if chosen.strip().lower() in BACK:
        numbered(chosen, 0)
    right = check_answer(talk.walk.route, Step("say", what), chosen)
    talk.write("  1 from here on: another one was taken")
    talk.write(f"  2 all along: {talk.walk.state.answer(what)} was named wrong")
    if numbered(talk.ask("Number: "), 2) == 0:
        answer_anew(talk.walk, what, right)
    else:
        named_wrong(talk.walk, what, right)
    talk.saved()


def _set_time(talk: Talk, typed: str) -> None:
    """Move all times of this survey so that it is now the time of day typed, in the route's zone."""
    asked = f"It is {time_here(talk.walk):%H:%M} by this laptop. Time now in {talk.walk.route.time_zone} (HH:MM): "
    set_time(talk.walk, typed or talk.ask(asked))
    talk.write("  all times of reading of this survey are moved; what was booked first stays in the log")
    talk.saved()


_OWN: Mapping[str, Callable[[Talk, str], None]] = {
    "zero": _zero,
    "dial": _dial,
    "care": _care,
    "tape": partial(_another, "tape"),
    "extensometer": partial(_another, "extensometer"),
    "time": _set_time,
}
_CALLED = (
    "check the dial zero  zero",
    "the dial was off, knocked, or has a new battery  dial",
    "care was given to the instrument  care",
    "another tape  tape",
    "another extensometer  extensometer",
    "set the time right  time",
)
"""The same in words, in the same order."""
