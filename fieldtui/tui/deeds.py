"""What each action of the table does. Every one takes the desk; a refusal is raised and shown by the desk."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING

from fieldtui.job import Call, Strikable, accept, answer_anew, frame_failed, named_wrong, read_again
from fieldtui.job.folder_named import folder_named
from fieldtui.job.set_time import set_time as put_right
from fieldtui.log import copy_to_stick
from fieldtui.survey import EntryRefused, Step, Target, choices, clean_text
from fieldtui.survey import words as say
from fieldtui.tui import choose

if TYPE_CHECKING:
    from fieldtui.tui.desk import WalkDesk

HELD_DOWN = 0.7
"""Seconds: a key that comes again within them was held down, or bounced."""


def correct(desk: WalkDesk) -> None:
    """Put the figure booked last into the field; once more, the one before it. What is half typed stays."""
    if desk.mode.name == "correct" and not desk.field.fresh:
        out = f"Esc or {desk.keyboard.numeric('more')} and 0"
        raise EntryRefused(
            "The figure in the field is not booked yet.", todo=f"Enter books it, {out} leaves it as it was."
        )
    found = desk.walk.state.figure_before(desk.mode.target, desk.mode.slot)
    if found is None:
        raise EntryRefused("No earlier figure is booked in this survey.")
    target, slot, entry = found
    desk.correct(target, slot, entry.typed)


def unread(desk: WalkDesk) -> None:
    """Ask why the chord at hand is not read."""
    desk.open(choose.unread_menu(desk, _at_hand(desk)))


def unsafe(desk: WalkDesk) -> None:
    """Book the chord at hand as not read, unsafe. A key that is held down books one chord, not all of them."""
    target = _at_hand(desk)
    now = desk.ticks()
    held = now - desk.unsafe_at < HELD_DOWN
    desk.unsafe_at = now
    if held:
        raise EntryRefused("Not booked: the key came again at once.", todo="Let it go, then press it once.")
    not_read(desk, target, "unsafe")


def seen_first(desk: WalkDesk, step: Step, typed: str) -> None:
    """`EntryRefused` where the Enter that led to a caution, or to repeats that do not agree, came twice: unseen yet."""
    if desk.ticks() - desk.arrived_at >= HELD_DOWN:
        return
    here = desk.walk.route.station(step.what) if step.kind == "arrive" else None
    if here is not None and here.caution:
        raise EntryRefused("Enter came twice.", todo="Read the caution, then press it once more.")
    if step.kind == "figure" and step.optional and not typed.strip():
        raise EntryRefused("Enter came twice.", todo="The repeats do not agree: read once more; Enter once more: none.")


def not_read(desk: WalkDesk, target: Target, outcome: str) -> None:
    """Book as not read; another reason is asked for in words."""
    if outcome == "other":
        desk.ask("Why it is not read", partial(not_read_with, desk, target))
        return
    desk.walk.unread(target, outcome)
    desk.to_step()
    desk.message = f"Booked: {say.place(target)}, {say.outcome(outcome)}."


def not_read_with(desk: WalkDesk, target: Target, reason: str) -> None:
    """Book as not read for a reason given in words."""
    if not reason.strip():
        raise EntryRefused("The reason is empty.", todo="Say in a few words why it was not read.")
    desk.walk.unread(target, "other", reason)
    desk.to_step()


def jump(desk: WalkDesk) -> None:
    """Ask which chord to go to."""
    _started(desk)
    desk.open(choose.jump_menu(desk))


def note(desk: WalkDesk) -> None:
    """Ask for a remark."""
    desk.ask("Note", partial(_book_note, desk))


def _book_note(desk: WalkDesk, text: str) -> None:
    desk.walk.note(text, desk.step.target)
    desk.to_step()
    desk.message = "Booked: the note."


def clock(desk: WalkDesk) -> None:
    """Ask for the time that a right clock shows."""
    zone = desk.walk.route.time_zone
    desk.ask(f"Time now, as a right clock shows it in {zone} (03:40, 0340 or 3.40)", partial(set_time, desk))


def set_time(desk: WalkDesk, typed: str) -> None:
    """Move all times of this survey so that it is now the time of day typed, in the route's zone."""
    put_right(desk.walk, typed)
    desk.to_step()
    desk.message = "All times of reading of this survey are moved; what was booked first stays in the log."


def answer(desk: WalkDesk, what: str, option: str) -> None:
    """Answer a question of the start anew, from here on."""
    answer_anew(desk.walk, what, option)
    desk.to_step()
    if choices(desk.walk.route, what):
        desk.message = f"{option} counts for every booking begun from now on; earlier ones keep what they had."


def set_right(desk: WalkDesk, what: str, option: str) -> None:
    """Set right a tape or extensometer that was named wrong, for every booking that was begun under it."""
    before = desk.walk.state.answer(what)
    named_wrong(desk.walk, what, option)
    desk.to_step()
    desk.message = f"{option} stands in the place of {before}: the bookings made under it are reduced with it."


def again(desk: WalkDesk) -> None:
    """Begin a second reading of what has just been read; the first stands beside it."""
    if desk.step.kind != "result":
        raise EntryRefused("A second reading begins when the first is complete.")
    desk.turning.must_be_seen()
    read_again(desk.walk)
    desk.to_step()


def keep(desk: WalkDesk) -> None:
    """Ask why a reading that does not agree is kept as it was booked; of a control frame that fails, what to do."""
    failed = frame_failed(desk.walk)
    if desk.step.kind != "result":
        raise EntryRefused("A reading can be kept once all its figures are in.")
    if not desk.doubted and not failed:
        todo = "Enter shows what can be done." if desk.striking else "Enter alone accepts."
        raise EntryRefused("There is nothing here that does not agree.", todo=todo)
    desk.turning.must_be_seen()
    desk.open(choose.failed_menu(desk) if failed else choose.keep_menu(desk))


def keep_because(desk: WalkDesk, reason: str) -> None:
    """Accept the reading at hand as it was booked, for a reason; it stays marked."""
    if not reason.strip():
        raise EntryRefused("The reason is empty.", todo="Say in a few words why it is kept.")
    accept(desk.walk, outcome="kept", reason=clean_text(reason))
    desk.to_step()


def copy(desk: WalkDesk, folder: str) -> None:
    """Take a copy of the closed log to a stick or another folder; it is read back and compared."""
    if not folder.strip():
        raise EntryRefused("No folder is named.", todo="Type the folder that the copy goes to.")
    made = copy_to_stick(desk.walk.writer.path, folder_named(folder))
    desk.to_step()
    desk.message = f"Copied, read back and the same: {made}"


def end(desk: WalkDesk) -> None:
    """Turn to the end of the survey; where chords are missing only after a yes."""
    _started(desk)
    if desk.walk.missing:
        desk.open(choose.early_end_menu(desk))
    else:
        to_end(desk)


def to_end(desk: WalkDesk) -> None:
    """Turn to the end of the survey."""
    desk.walk.go_to_end()
    desk.to_step()


def more(desk: WalkDesk) -> None:
    """List all actions."""
    desk.open(choose.more_menu(desk))


def call(desk: WalkDesk) -> None:
    """List the open calls, each role that has still to be told."""
    menu = choose.call_menu(desk)
    if menu is None and any(one.label == "tell" for one in desk.told()):
        raise EntryRefused("The call opens when this reading is accepted.", todo="Accept it, then book who was told.")
    if menu is None and desk.seen.looked_at:
        raise EntryRefused(f"No open call is known yet; {desk.seen.looked_at}.", todo="Ask again in a moment.")
    if menu is None:
        raise EntryRefused("No call is open: nobody has to be told.")
    desk.open(menu)


def tell_role(desk: WalkDesk, open_call: Call, role: str) -> None:
    """Ask who was told, by what means, and what they answered; then book it."""

    def answered(person: str, means: str, answer: str) -> None:
        desk.walk.call(open_call, role, person, means, answer)
        desk.to_step()
        of = f"{open_call.station} {open_call.chord}, {open_call.level}"
        wrong = desk.keyboard.told("strike")
        desk.message = f"Booked: {person}, as {role}, was told of {of}. If that is wrong: {wrong} strikes it out."

    def by(person: str, means: str) -> None:
        desk.ask(f"What {role} answered (empty: nothing)", partial(answered, person, means))

    def told(person: str) -> None:
        if not person.strip():
            raise EntryRefused("No name is given.", todo="Type who was told.")
        desk.open(choose.means_menu(partial(by, person)))

    desk.ask(f"Who was told, as {role}", told)


def strike(desk: WalkDesk) -> None:
    """List every entry of this survey, the newest first, to strike one out."""
    desk.open(choose.strike_menu(desk))


def strike_out(desk: WalkDesk, one: Strikable) -> None:
    """Ask why, and who says so; then strike the entry out. It stays to be seen."""

    def signed(reason: str, name: str) -> None:
        desk.walk.strike(one.entry.place, reason, name)
        desk.to_step()
        desk.message = f"Struck out: “{one.words}”. It stays in the log, with the reason and the name."

    def named(reason: str) -> None:
        if not reason.strip():
            raise EntryRefused("The reason is empty.", todo="Say in a few words why it is struck out.")
        who = desk.walk.state.answer("recorder") or desk.walk.state.answer("reader") or ""
        desk.ask("Who strikes it out (name or initials)", partial(signed, reason), who)

    desk.ask(f"Why “{one.words}” is struck out", named)


def close(desk: WalkDesk) -> None:
    """Close the survey."""
    desk.walk.close()
    desk.to_step()


def leave(desk: WalkDesk) -> None:
    """Leave the survey open."""
    desk.walk.leave()
    desk.done = True


def help_(desk: WalkDesk) -> None:
    """Show the help."""
    desk.show_help()


def _at_hand(desk: WalkDesk) -> Target:
    target = desk.step.target
    if target is None:
        raise EntryRefused("There is no chord at hand.", todo="Choose one first.")
    return target


def _started(desk: WalkDesk) -> None:
    if desk.step.kind == "say":
        raise EntryRefused("The survey has not begun.", todo="Answer the questions first, or leave.")


DEEDS: Mapping[str, Callable[[WalkDesk], None]] = MappingProxyType(
    {
        "correct": correct,
        "unread": unread,
        "unsafe": unsafe,
        "jump": jump,
        "note": note,
        "again": again,
        "keep": keep,
        "call": call,
        "strike": strike,
        "end": end,
        "more": more,
        "leave": leave,
        "help": help_,
    }
)
"""By the id of the action."""
