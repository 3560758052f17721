"""The lists of the walk: reasons for not reading, chords to go to, all actions, the end."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from fieldtui.job import Strikable, accept, frame_failed, strikable
from fieldtui.job.sticks import sticks
from fieldtui.survey import DIALS, OUTCOMES, Target, choices
from fieldtui.survey import words as say
from fieldtui.survey.tended import is_tending
from fieldtui.tui import deeds, tending
from fieldtui.tui.menu import BACK, Item, Menu

if TYPE_CHECKING:
    from fieldtui.tui.desk import WalkDesk


EVERY_CHORD = "list every chord"
"""The line at the end of a survey that leads to all of them."""


def unread_menu(desk: WalkDesk, target: Target) -> Menu:
    """Why a chord is not read."""
    items = tuple(Item(text, partial(deeds.not_read, desk, target, outcome)) for outcome, text in OUTCOMES.items())
    return Menu(f"{say.place(target)} is not read, because", items, BACK)


def jump_menu(desk: WalkDesk) -> Menu:
    """Every chord of the route, in walking order, with what became of it."""
    missing = desk.walk.missing
    # from the frame, the first chord that still wants reading
    here = desk.target if desk.target is not None and desk.target.is_chord else next(iter(missing), None)
    items: list[Item] = []
    selected = 0
    for station, chord in desk.walk.route.walk():
        target = Target(station.name, chord.name)
        readings = desk.walk.state.readings(target.key)
        if here is not None and here.line == target.line:
            selected = len(items)
        goes = readings[-1].target if readings else target
        items.append(Item(f"{station.name}  {chord.name}", partial(_go, desk, goes), _state(desk, target)))
    return Menu("Go to", tuple(items), selected)


def more_menu(desk: WalkDesk) -> Menu:
    """All actions, and what was answered at the start, to be answered anew."""
    actions = [action for action in desk.keyboard.actions if action.id != "more"]
    items = [Item(action.label, partial(desk.act, action.id), action.keys) for action in actions]
    if desk.step.kind != "say":
        items.append(Item("check the dial zero", partial(_zero_check, desk)))
        items.append(Item("the dial was off, knocked, or has a new battery", partial(tending.dial, desk)))
        if desk.walk.route.care:
            items.append(Item("care was given to the instrument", partial(tending.care, desk)))
        items.append(Item("set the time right", partial(deeds.clock, desk)))
        items.extend(
            Item(f"change {say.short_question(what)}", partial(_answer, desk, what), entry.typed)
            for what, entry in desk.walk.state.said.items()
            if what != "cautions" and not is_tending(what)
        )
    return Menu("What now", tuple(items), BACK)


def early_end_menu(desk: WalkDesk) -> Menu:
    """Asked before the end is turned to while chords are missing."""
    left = len(desk.walk.missing)
    return Menu(
        say.planned(left, "is not read", "are not read"),
        (Item("to the end all the same", partial(deeds.to_end, desk)),),
        BACK,
    )


def end_menu(desk: WalkDesk) -> Menu:
    """What can be done at the end of the survey."""
    missing = desk.walk.missing
    items = [Item("close the survey", partial(_close_surely, desk))]
    if missing:
        first = missing[0]
        items.insert(0, Item(f"go to the first one missing, {say.place(first)}", partial(_go, desk, first)))
    items.append(Item("leave it open, to go on later", partial(desk.act, "leave")))
    items.append(Item(EVERY_CHORD, partial(desk.act, "jump")))
    return Menu("End of the survey", tuple(items), BACK)


def _close_surely(desk: WalkDesk) -> None:
    left = len(desk.walk.missing)
    told = f"yes, with {say.planned(left, 'missing')}" if left else "yes, every planned chord is dealt with"
    desk.open(Menu("Close it? It is never written again", (Item(told, partial(deeds.close, desk)),), BACK))


def seen_menu(desk: WalkDesk) -> Menu:
    """What a notice or an alarm asks for, before the chord is left."""
    first = next(one for one in desk.told() if one.weight in ("notice", "alarm"))
    if frame_failed(desk.walk):
        return failed_menu(desk)
    items = (
        Item("read it again; both readings are kept", partial(desk.act, "again")),
        Item("it is seen: go on", partial(_seen, desk)),
    )
    return Menu(f"{first.label}: {first.text}", items, BACK)


def _seen(desk: WalkDesk) -> None:
    accept(desk.walk)
    desk.to_step()


def doubt_menu(desk: WalkDesk) -> Menu:
    """What to do about a reading that does not agree. Reading again comes first."""
    items = [
        Item("read it again; both readings are kept", partial(desk.act, "again")),
        Item("correct a figure that was typed wrong", partial(_correct, desk)),
        Item("keep it as it was booked, because", partial(desk.act, "keep")),
    ]
    return Menu("This does not agree", tuple(items), BACK)


def _correct(desk: WalkDesk) -> None:
    """Choose which figure of the booking at hand; the one booked last is seldom the one that was wrong."""
    booking = desk.walk.state.bookings.get(desk.step.target) if desk.step.target is not None else None
    if booking is None:
        return
    order = ("hole", *DIALS, "hole_again", "temperature")
    booked = [
        (slot, booking.slots[slot]) for slot in order if slot in booking.slots and not booking.slots[slot].declined
    ]
    items = tuple(
        Item(say.SLOTS[slot], partial(desk.correct, booking.target, slot, entry.typed), entry.typed)
        for slot, entry in booked
    )
    desk.open(Menu("Correct", items, BACK))


def keep_menu(desk: WalkDesk) -> Menu:
    """Why a reading that does not agree is kept."""
    in_words = partial(desk.ask, "Why it is kept as it was booked", partial(deeds.keep_because, desk))
    items = [Item(reason, partial(deeds.keep_because, desk, reason)) for reason in say.REASONS_TO_KEEP]
    items.append(Item("another reason, in words", in_words))
    return Menu("It is kept as booked, because", tuple(items), BACK)


def closed_menu(desk: WalkDesk) -> Menu:
    """What is left to do with a closed survey: leave, or take a copy of its log."""
    items = [Item("leave", partial(deeds.leave, desk))]
    items += [Item(f"copy the log to {stick}", partial(deeds.copy, desk, str(stick))) for stick in sticks()]
    items.append(
        Item("copy the log to another folder", partial(desk.ask, "Folder for the copy", partial(deeds.copy, desk)))
    )
    return Menu("The survey is closed", tuple(items), BACK)


def call_menu(desk: WalkDesk) -> Menu | None:
    """Who has still to be told of which level; None where nobody has."""
    items = tuple(
        Item(
            f"{call.station} {call.chord}, {call.level} ({call.what}), survey {call.label}: tell {role}",
            partial(deeds.tell_role, desk, call, role),
        )
        for call in desk.seen.open_calls
        for role in call.untold
    )
    return Menu("Who was told", items, BACK) if items else None


def means_menu(then: Callable[[str], None]) -> Menu:
    """By what means somebody was told."""
    return Menu("By what means", tuple(Item(means, partial(then, means)) for means in say.MEANS))


def strike_menu(desk: WalkDesk) -> Menu:
    """Every entry of this survey that stands, the newest first."""
    items = tuple(
        Item(_entry_words(desk, one), partial(deeds.strike_out, desk, one), one.entry.typed)
        for one in reversed(strikable(desk.walk.state))
    )
    return Menu("Strike out, with a reason", items, BACK)


def _entry_words(desk: WalkDesk, one: Strikable) -> str:
    if one.target is not None:
        what = say.SLOTS.get(one.what, one.what)
        return f"{say.place(one.target)}: {what}"
    return one.told or say.short_question(one.what)


def _state(desk: WalkDesk, target: Target) -> str:
    readings = desk.walk.state.readings(target.key)
    finished = [booking for booking in readings if booking.finished]
    if finished:
        return say.outcome(finished[-1].outcome)
    return "begun" if readings else "missing" if desk.step.kind == "end" else ""


def _go(desk: WalkDesk, target: Target) -> None:
    desk.walk.go(target)
    desk.to_step()


def _zero_check(desk: WalkDesk) -> None:
    done = [target.reading for target in desk.walk.state.bookings if target.is_zero and target.part == "between"]
    _go(desk, Target("", "zero", max(done, default=0) + 1, "between"))


def failed_menu(desk: WalkDesk) -> Menu:
    """What to do where the control frame says that the instrument is not what it was. Reading again comes first."""
    items = [Item("read the frame again; both readings are kept", partial(desk.act, "again"))]
    for what in ("tape", "extensometer"):
        if len(choices(desk.walk.route, what)) > 1:
            items.append(Item(f"take another {what}, which is proved next", partial(_instead, desk, what)))
    items.append(Item("go on with it: every length says so", partial(_in_doubt, desk)))
    return Menu("The control frame is not what it was", tuple(items), BACK)


def _instead(desk: WalkDesk, what: str) -> None:
    """Choose another tape or extensometer; the reading stays as it was booked once one is chosen."""
    now = desk.walk.state.answer(what)
    others = [option for option in choices(desk.walk.route, what) if option != now]
    items = tuple(Item(option, partial(deeds.answer, desk, what, option)) for option in others)
    desk.open(Menu(f"Another {what}", items, BACK))


def _in_doubt(desk: WalkDesk) -> None:
    accept(desk.walk, outcome="kept", reason="gone on with it")
    desk.to_step()


def _answer(desk: WalkDesk, what: str) -> None:
    """Answer a question of the start anew: from a list, or in words."""
    options = choices(desk.walk.route, what)
    if not options:
        said = partial(deeds.answer, desk, what)
        desk.ask(say.question(desk.walk.route, what), said, desk.walk.state.answer(what) or "")
        return
    items = tuple(Item(option, partial(_since_when, desk, what, option)) for option in options)
    desk.open(Menu(f"Change {say.short_question(what)}", items, BACK))


def _since_when(desk: WalkDesk, what: str, option: str) -> None:
    """Whether another tape was taken, or the one named was never the one in hand."""
    before = desk.walk.state.answer(what)
    items = (
        Item("from here on: another one was taken", partial(deeds.answer, desk, what, option)),
        Item(f"all along: {before} was named wrong", partial(deeds.set_right, desk, what, option)),
    )
    desk.open(Menu(f"{option} was in use", items, BACK))
