"""The lower end of the page: the fields of the booking, the message, the keys, and when the last entry was saved."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from msgspec import Struct
from rich.cells import cell_len, set_cell_size

from fieldtui.job import saved_text
from fieldtui.printable import printable
from fieldtui.route import Route
from fieldtui.survey import DIALS, PLANNED_DIALS, Booking, Target
from fieldtui.survey import words as say
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.field import Field
from fieldtui.tui.lines import Line, Lines, fit, spread, stack, width_of, wrapped
from fieldtui.tui.mode import FURTHER, NONE

_MOST_MESSAGE = 4
"""Rows for a refusal, so that its end, what to do, is never cut off."""
_CELL = 8


class Form(Struct, frozen=True):
    """The form without what is typed: that stands between `left` and `right`, in a line that they fill up."""

    above: Lines
    left: Line
    room: int
    """Cells for what is typed; none where nothing is typed."""
    right: Line
    below: Lines


def draw_form(desk: WalkDesk, width: int) -> Lines:
    """Labels, fields, message (two lines, more where it is long), keys with the time of saving."""
    field, walk = desk.field, desk.walk
    said = (desk.message, desk.refused, walk.conditions, walk.saved_at)
    wanted = (width, desk.mode, desk.keyboard, field.empty, field.fresh, said)
    form = desk.seen.kept("form", wanted, partial(_formed, desk, width))
    typed = field_cells(field, form.room) if form.room else []
    return [*form.above, [*form.left, *typed, *form.right], *form.below]


def _formed(desk: WalkDesk, width: int) -> Form:
    labels, before, cells, after = _fields(desk, width)
    left = fit(before, min(width_of(before), width))
    room = max(0, min(cells, width - width_of(left)))
    right = fit(after, width - width_of(left) - room)
    message = _message(desk, width)
    told = stack(message, width, min(_MOST_MESSAGE, max(2, len(message))))
    return Form(labels, left, room, right, [*told, _foot(desk, width)])


def field_cells(field: Field, width: int) -> Line:
    """The field being typed in: its text, the cursor's cell reversed, the end kept in sight where it is long.

    `width` is in cells: a letter of two cells takes two.
    """
    text = printable(field.text)  # as it will be drawn: a tab that was pasted takes a cell
    before, after = text[: field.cursor], text[field.cursor + 1 :]
    at = text[field.cursor : field.cursor + 1] or " "
    at = at if cell_len(at) <= width else " "
    while before and cell_len(before) + cell_len(at) > width:
        before = before[1:]
    left = max(0, width - cell_len(before) - cell_len(at))
    role = "fresh" if field.fresh else "field"
    return [(before, role), (at, "cursor"), (set_cell_size(after, left), role)]


def _fields(desk: WalkDesk, width: int) -> tuple[Lines, Line, int, Line]:
    """What stands above the line of the field, to its left, the cells it has, and what stands to its right."""
    target, mode, step = desk.target, desk.mode, desk.step
    booked = mode.name == "correct" or (mode.name == "step" and step.kind in ("figure", "result"))
    if target is not None and booked:
        return _booking_fields(desk, target, width)
    label = mode.label or {
        "unsaved": "Folder for the new file (empty: the same folder)",
        "menu": "Number, then Enter",
    }.get(mode.name, say.prompt(desk.walk.route, step))
    asked = [fit([(" ", ""), *line], width) for line in wrapped(label, width - 2, "main")]
    no_figure = mode.name == "step" and step.kind in ("arrive", "end", "closed")
    if no_figure and desk.field.empty:
        return asked, [(" press Enter", "")], 0, []
    return asked, [(" [", "main")], 20 if no_figure else min(width - 4, 60), [("]", "main")]


def _booking_fields(desk: WalkDesk, target: Target, width: int) -> tuple[Lines, Line, int, Line]:
    booking, asked = desk.walk.state.bookings.get(target), desk.slot
    labels: Line = [(" ", "")]
    left: Line = [(" ", "")]
    right: Line = []
    for slot in _in_view(_slots(target, booking, asked), asked, (width - 1) // (_CELL + 2)):
        label = _label(desk.walk.route, slot)
        # the longest one begins where its bracket does: it stands over its own field, and is never cut
        role = "main" if slot == asked else "label"
        labels.append((label.rjust(min(len(label) + 1, _CELL + 2)).ljust(_CELL + 2), role))
        if slot == asked:
            left.append(("[", "main"))
            right.append(("]", "main"))
        else:
            entry = booking.slots.get(slot) if booking is not None else None
            text = "" if entry is None else "none" if entry.declined else entry.typed
            # a figure that is cut must not pass for another one
            shown = text if len(text) <= _CELL else f"{text[: _CELL - 1]}…"
            side = right if right else left
            side += [(" ", ""), (shown.ljust(_CELL), "booked" if text else ""), (" ", "")]
    return [fit(labels, width)], left, _CELL if right else 0, right


def _in_view(slots: tuple[str, ...], here: str, most: int) -> tuple[str, ...]:
    """So many of the slots as there is room for, the one being typed among them."""
    place = slots.index(here) if here in slots else len(slots) - 1
    first = max(0, place + 1 - max(1, most))
    return slots[first : first + max(1, most)]


def _slots(target: Target, booking: Booking | None, asked: str) -> tuple[str, ...]:
    if target.is_zero:
        return ("zero",)
    wanted = {asked, *(booking.slots if booking is not None else ())}
    return ("hole", *PLANNED_DIALS, *(slot for slot in (*FURTHER, "hole_again") if slot in wanted), "temperature")


def _label(route: Route, slot: str) -> str:
    return f"temp {route.units.degree}" if slot == "temperature" else say.SLOTS[slot]


def _message(desk: WalkDesk, width: int) -> Lines:
    if desk.message:
        return [[(" ", ""), *line] for line in wrapped(desk.message, width - 2, "alarm" if desk.refused else "main")]
    # a disk that stays full all night must not hide what is to be done at this prompt
    told = wrapped("▲ " + desk.walk.conditions[0], width - 2, "notice") if desk.walk.conditions else []
    hint = _hint(desk)
    told += wrapped(hint, width - 2, "quiet") if hint else []
    return [[(" ", ""), *line] for line in told]


def _hint(desk: WalkDesk) -> str:
    step = desk.step
    if desk.mode.name == "correct":
        none = f" {NONE}: none taken." if desk.mode.slot in FURTHER else ""
        slot, out = say.SLOTS[desk.mode.slot], _out(desk)
        return f"Correcting {slot}.{none} The first figure stays in the log. {out}: leave it so."
    if desk.mode.name != "step":
        return "0 or Esc: back" if desk.mode.menu is not None else f"{_out(desk)}: back"
    if step.kind == "figure" and step.optional:
        return "The repeats do not agree: slacken, tension again, read once more. Enter alone: none taken."
    if step.kind == "figure" and step.what == "hole_again":
        return "A hole misread by one would look like movement here: read its number once more."
    if step.kind == "figure" and step.what == "hole" and _holes_differ(desk):
        return "The two hole numbers are not the same. Read it a third time."
    if step.kind == "figure" and step.what in DIALS[1:]:
        return "Slacken and tension again before this repeat."
    if desk.doubted:
        return "This does not agree. Do not unhook: Enter shows what can be done."
    if desk.striking:
        return "Look before you unhook. Enter shows what can be done."
    if step.kind == "result":
        return "Look before you unhook. Enter: accept and go on."
    return ""


def _out(desk: WalkDesk) -> str:
    """What leads out of a text or a correction: by the number pad alone through the list and its 0."""
    on_pad = desk.keyboard.of("more").pad
    open_now = desk.numeric or desk.field.empty or desk.field.fresh
    return f"Esc, or {on_pad} and 0" if on_pad and open_now else "Esc"


def _foot(desk: WalkDesk, width: int) -> Line:
    """The keys, as many as fit whole, and the time of saving, always."""
    saved = _saved(desk)
    wanted = _keys(desk)
    while wanted and width_of([(_shown(wanted), "")]) > width - width_of(saved) - 3:
        # the list of all actions is what the number pad alone comes out by
        spare = [name for name in wanted if name not in ("more", "help")] or list(wanted)
        del wanted[spare[-1]]
    return spread([(f" {_shown(wanted)}", "key")], saved, width)


def _shown(keys: Mapping[str, str]) -> str:
    return "  ".join(["Enter", *keys.values()])


def _holes_differ(desk: WalkDesk) -> bool:
    booking = desk.walk.state.bookings.get(desk.step.target) if desk.step.target is not None else None
    return booking is not None and "hole_again" in booking.slots


def _keys(desk: WalkDesk) -> dict[str, str]:
    """Keys with what they do, by the action's id, the ones most wanted here first."""
    if desk.mode.name == "menu":
        return {"leaf": "+ - leaf through", "back": "0 back"}
    if desk.mode.name == "unsaved":
        names = ["leave"]
    elif desk.step.kind == "closed":
        names = ["leave", "help"]
    elif not desk.numeric:
        names = ["more", "leave", "help"]
    elif desk.step.kind == "result":
        names = ["correct", "again", "unread", "more", "unsafe", "help"]
    elif desk.step.target is not None:
        names = ["correct", "unread", "unsafe", "more", "help"]
    else:
        names = ["correct", "more", "help"]
    keys = {name: _key(desk, name) for name in names}
    return {name: f"{key} {desk.keyboard.of(name).label}" for name, key in keys.items() if key}


def _key(desk: WalkDesk, name: str) -> str:
    board = desk.keyboard
    if desk.mode.name == "unsaved" or desk.step.kind == "closed":
        return board.of(name).function.upper()
    if desk.numeric:
        return board.numeric(name)
    untouched = desk.field.empty or desk.field.fresh
    return (board.of(name).pad if name == "more" and untouched else "") or board.anywhere(name)


def _saved(desk: WalkDesk) -> Line:
    if desk.mode.name == "unsaved":
        return [("NOT SAVED ", "alarm")]
    return [(saved_text(desk.walk) + " ", "saved")]
