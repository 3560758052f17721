"""What each order does: the same calls of `Walk` that the screen's keys make."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from fieldtui.job import accept, doubt, frame_failed, read_again, strikable
from fieldtui.plain.more import begun, more
from fieldtui.plain.orders import Order, help_lines, numbered, one_of
from fieldtui.survey import OUTCOMES, EntryRefused, Target, clean_text
from fieldtui.survey import words as say

if TYPE_CHECKING:
    from fieldtui.plain.talk import Talk


def obey(talk: Talk, order: Order) -> None:
    """Do an order. `EntryRefused` says why it cannot be done now."""
    _ORDERS[order.action](talk, order.rest)


def _correct(talk: Talk, rest: str) -> None:
    """The figure booked last, or one further back each time that the order is typed again."""
    target: Target | None = None
    slot, before = "", talk.order("correct")
    while True:
        found = talk.walk.state.figure_before(target, slot)
        if found is None:
            raise EntryRefused("No earlier figure is booked in this survey.")
        target, slot, entry = found
        asked = f"{say.place(target)}: {say.slot(talk.walk.route, slot)}, booked {entry.typed}"
        typed = rest or talk.ask(f"{asked}; right is (empty: leave it, {before}: one before): ").strip()
        if not typed:
            talk.write("  left as it is")
            return
        if typed.lower() != before:
            if not talk.walk.figure(target, slot, typed):
                talk.write(f"  {entry.typed} is what is booked; left as it is")
                return
            talk.write(f"  {say.place(target)}: {say.slot(talk.walk.route, slot)} {typed} instead of {entry.typed}")
            talk.saved()
            talk.tell(target, slot)
            return
        rest = ""


def _unread(talk: Talk, rest: str) -> None:
    target = _at_hand(talk)
    first, _, note = rest.partition(" ")
    outcome = first.lower() if first.lower() in OUTCOMES else ""
    names = list(OUTCOMES)
    if first.isdigit():
        outcome = names[numbered(first, len(names))]
    if not rest:
        talk.write(f"{say.place(target)} is not read, because")
        for place, name in enumerate(names, 1):
            talk.write(f"  {place} {OUTCOMES[name]}")
        outcome = names[numbered(talk.ask("Number: "), len(names))]
    elif not outcome:
        outcome, note = "other", rest
    if outcome == "other" and not note.strip():
        note = talk.ask("Reason: ")
        if not note.strip():
            raise EntryRefused("The reason is empty.", todo="Say in a few words why it was not read.")
    _not_read(talk, target, outcome, note)


def _unsafe(talk: Talk, rest: str) -> None:
    _not_read(talk, _at_hand(talk), "unsafe", rest)


def _not_read(talk: Talk, target: Target, outcome: str, note: str) -> None:
    talk.walk.unread(target, outcome, note)
    talk.write(f"  booked: {say.place(target)}, {say.outcome(outcome)}")
    talk.saved()


def _at_hand(talk: Talk) -> Target:
    target = talk.walk.step.target
    if target is None:
        raise EntryRefused("There is no chord at hand.", todo=f"Choose one first, with {talk.order('jump')}.")
    return target


def _jump(talk: Talk, rest: str) -> None:
    begun(talk)
    chords = [Target(station.name, chord.name) for station, chord in talk.walk.route.walk()]
    if not rest:
        for place, target in enumerate(chords, 1):
            talk.write(f"  {place:>3} {target.station} {target.chord}{_state(talk, target)}")
        rest = talk.ask("Number, or station and chord: ")
    names = rest.split()
    if len(names) == 1:
        target = chords[numbered(names[0], len(chords))]
    else:
        target = _named(talk, " ".join(names[:-1]), names[-1] if names else "", chords)
    readings = talk.walk.state.readings(target.key)
    talk.walk.go(readings[-1].target if readings else target)


def _named(talk: Talk, station_name: str, chord_name: str, chords: list[Target]) -> Target:
    """The chord of these names, capital letters or not, from either end."""
    for target in chords:
        _, chord = talk.walk.place(target)
        names = (chord.name.lower(), chord.reverse_name.lower())
        if target.station.lower() == station_name.lower() and chord_name.lower() in names:
            return target
    raise EntryRefused(
        f"There is no chord “{station_name} {chord_name}” to be walked.",
        todo=f"{talk.order('jump')} alone lists the chords.",
    )


def _state(talk: Talk, target: Target) -> str:
    readings = talk.walk.state.readings(target.key)
    if not readings:
        return ""
    return f"  {say.outcome(readings[-1].outcome) if readings[-1].finished else 'begun'}"


def _note(talk: Talk, rest: str) -> None:
    talk.walk.note(rest or talk.ask("Note: "), talk.walk.step.target)
    talk.saved()


def _again(talk: Talk, rest: str) -> None:
    if talk.walk.step.kind != "result":
        raise EntryRefused("A second reading begins when the first is complete.")
    read_again(talk.walk)


def _keep(talk: Talk, rest: str) -> None:
    """Keep a reading that does not agree, or of a control frame that fails, as it was booked, for a reason."""
    if talk.walk.step.kind != "result":
        raise EntryRefused("A reading can be kept once all its figures are in.")
    if doubt(talk.walk) is None and not frame_failed(talk.walk):
        raise EntryRefused("There is nothing here that does not agree.", todo=f"{talk.todo()}.")
    if not rest:
        talk.write("It is kept as booked, because")
        rest = talk.choose(say.REASONS_TO_KEEP, "Number, or a reason in words: ")
    reason = clean_text(one_of(say.REASONS_TO_KEEP, rest))
    if not reason:
        raise EntryRefused("The reason is empty.", todo="Say in a few words why it is kept.")
    accept(talk.walk, outcome="kept", reason=reason)
    talk.saved()


def _call(talk: Talk, rest: str) -> None:
    """Book who was told of an open call, by what means, and what they answered."""
    untold = [(call, role) for call in talk.open_calls() for role in call.untold]
    if not untold and any(one.label == "tell" for one in talk.told(talk.walk.step.target)):
        raise EntryRefused("The call opens when this reading is accepted.", todo="Accept it, then book who was told.")
    if not untold:
        raise EntryRefused("No call is open: nobody has to be told.")
    for place, (call, role) in enumerate(untold, 1):
        talk.write(f"  {place} {call.station} {call.chord}, {call.level} ({call.what}): tell {role}")
    call, role = untold[numbered(rest or talk.ask("Number: "), len(untold))]
    person = clean_text(talk.ask(f"Who was told, as {role}: "))
    if not person:
        raise EntryRefused("No name is given.", todo="Type who was told.")
    means = one_of(say.MEANS, talk.choose(say.MEANS, "By what means (number, or in words): "))
    answer = talk.ask("What they answered (empty: nothing): ")
    talk.walk.call(call, role, person, clean_text(means), clean_text(answer))
    talk.saved()


def _strike(talk: Talk, rest: str) -> None:
    """Strike out an entry of this survey, with a reason and a name; it stays in the log."""
    entries = list(reversed(strikable(talk.walk.state)))
    if not rest:
        for place, one in enumerate(entries, 1):
            what = say.SLOTS.get(one.what, one.what)
            where = f"{say.place(one.target)}: {what}" if one.target is not None else what
            talk.write(f"  {place:>3} {one.told or f'{where}  {one.entry.typed}'}")
    one = entries[numbered(rest or talk.ask("Number: "), len(entries))]
    reason = talk.ask(f"Why “{one.words}” is struck out: ")
    name = talk.ask("Who strikes it out (name or initials): ")
    talk.walk.strike(one.entry.place, reason, name)
    talk.saved()


def _end(talk: Talk, rest: str) -> None:
    begun(talk)
    talk.walk.go_to_end()


def _leave(talk: Talk, rest: str) -> None:
    talk.left = True


def _help(talk: Talk, rest: str) -> None:
    for line in help_lines(talk.keyboard):
        talk.write(line)


_ORDERS: dict[str, Callable[[Talk, str], None]] = {
    "correct": _correct,
    "unread": _unread,
    "unsafe": _unsafe,
    "jump": _jump,
    "note": _note,
    "again": _again,
    "keep": _keep,
    "call": _call,
    "strike": _strike,
    "end": _end,
    "more": more,
    "leave": _leave,
    "help": _help,
}
