"""A page with a title, some lines, a numbered list and a field for the number: before the walk and between surveys."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from msgspec.structs import replace

from fieldtui.errors import FieldError
from fieldtui.tui.draw_form import field_cells
from fieldtui.tui.draw_side import draw_menu, menu_rows
from fieldtui.tui.field import Field
from fieldtui.tui.help_desk import PagesDesk, Part, asks_for_help
from fieldtui.tui.lines import WIDE, Lines, beside, cut, fit, rule, stack, wrapped
from fieldtui.tui.menu import Item, Menu

if TYPE_CHECKING:
    from fieldtui.tui.desks import Desk

_LIST = 92
"""Cells of a list that has something beside it."""
_NUMBER = "Type a number and press Enter, or choose with the arrows. ? or point: help."
_TEXT = "Type it and press Enter. F1: help."
_KEYS: tuple[Part, ...] = (
    ("number, Enter", "what stands beside the number in the list"),
    ("up, down", "mark another line; Enter alone takes the marked one"),
    ("+ -", "further lines of the list and of what is said above it, where there are more than fit"),
    ("?, point, F1", "this help"),
    ("0, Esc", "back to the page before; on the first page both leave, as q does"),
    ("F10, Ctrl+C", "leave; what was shown as saved is saved"),
)
_TEXT_KEYS: tuple[Part, ...] = (
    ("letters", "what is asked for; Enter takes it"),
    ("left, right", "move within it; Backspace and Delete take a sign away"),
    ("Esc", "back to the page before; + as well, where nothing has been typed yet"),
    ("F10, Ctrl+C", "leave; what was shown as saved is saved"),
)


class ListDesk:
    """A page with a title, some lines, a numbered list and a field for the number."""

    purpose = ""
    """What the page is for, as its help says it."""
    signed = False
    """Whether a text that is asked for may well begin with a plus: then that is no way back."""

    def __init__(self, title: str, about: list[str], items: tuple[Item, ...], question: str) -> None:
        self.title = title
        self.about = about
        self.menu = Menu(question, items, back=False)
        self.field = Field()
        self.message = ""
        self.refused = False
        self.bell = False
        self.done = False
        self.wide = False
        """Whether the field is for a text rather than for a number."""
        self.turned = 0
        """How often `+` has turned to the next lines of what is said, where they do not fit."""
        self.cut = False
        """Whether the last drawing had no room for the whole list."""
        self.back: Callable[[], ListDesk] | None = None
        """What Esc leads to; None: out of the program, as F10 does everywhere."""
        self.next: Desk | None = None

    def at_side(self, width: int) -> Lines:
        """What stands beside the list where the window is wide enough for both."""
        return []

    def press(self, key: str, character: str | None) -> None:
        """A number, an arrow, Enter; Esc goes back, F10 leaves. In a wide field letters are text."""
        if asks_for_help(key, character, typing=self.wide or not self.field.empty):
            self.go(self._help())
        elif self.back is not None and (key == "escape" or (character == "+" and self.plus_leads_back)):
            self.go(self.back())
        elif key in ("escape", "f10") or (character in ("q", "Q") and self.field.empty and not self.wide):
            self.done = True
        elif key == "enter":
            self._enter()
        elif not self.wide and (moved := self.menu.move(key)) is not None:
            self.menu = moved
        elif not self.wide and character in ("+", "-"):
            self._leaf(1 if character == "+" else -1)
        else:
            edited = self.field.key(key)
            if edited is None and character is not None and character.isprintable():
                edited = self.field.insert(character)
            self.field, self.message, self.refused = edited or self.field, "", False

    @property
    def plus_leads_back(self) -> bool:
        """Whether + does what Esc does: who has the number pad alone comes out of a text by it."""
        untouched = self.field.empty or self.field.fresh
        return self.wide and not self.signed and self.back is not None and untouched

    def _leaf(self, step: int) -> None:
        """What the number pad has for the arrows: the list, where it is cut, and what is said above it."""
        self.turned = max(0, self.turned + step)
        if self.cut:
            self.menu = self.menu.move("pagedown" if step > 0 else "pageup") or self.menu

    def paste(self, text: str) -> None:
        """A number or a text may be pasted; several lines are refused."""
        if len(text.splitlines()) > 1:
            self._refuse(f"Several lines were pasted. {'Paste one' if self.wide else 'Type one number'}.")
        else:
            self.field, self.message, self.refused = self.field.insert(text.strip()), "", False

    def _help(self) -> PagesDesk:
        def back() -> ListDesk:
            self.done, self.next = False, None
            return self

        parts = [("What this page is for", self.purpose)] if self.purpose else []
        return PagesDesk(f"Help: {self.title}", parts, _TEXT_KEYS if self.wide else _KEYS, back)

    def go(self, desk: Desk) -> None:
        """Make another desk the next one."""
        self.next, self.done = desk, True

    def enter(self) -> None:
        """Choose what is typed, or what is marked."""
        typed, self.field = self.field.text, Field()
        item = self.listed.pick(typed)
        if item is not None:
            item.choose()
        elif self.back is not None:
            self.go(self.back())
        else:
            self.done = True

    @property
    def listed(self) -> Menu:
        """The list as it is shown: with `0 back`, or `0 leave` where there is nothing to go back to."""
        out = "back" if self.back is not None else "leave"
        return replace(self.menu, back=True, out=out) if self.menu.items else self.menu

    def _enter(self) -> None:
        self.message, self.refused = "", False
        try:
            self.enter()
        except FieldError as error:
            # what was refused is typed anew, or set right after an arrow key or Backspace
            self.field = Field.of(self.field.text)
            self._refuse(str(error))

    def _refuse(self, sentence: str) -> None:
        self.message, self.refused, self.bell = sentence, True, True


def draw_list(desk: ListDesk, width: int, height: int) -> Lines:
    """The page of a list: exactly `height` lines of `width` cells."""
    head = [[(text, "head") for text, _ in cut([(f" {desk.title}", "head")], width)]]
    at_side = desk.at_side(width - _LIST) if width >= WIDE else []
    room = _LIST if at_side else width
    about = [[(" ", ""), *line] for text in desk.about for line in wrapped(text, room - 2)]
    asked = _TEXT if desk.wide else _NUMBER
    back = "Esc or +" if desk.plus_leads_back else "Esc"
    shown = desk.message or f"{asked} {'Esc: leave.' if desk.back is None else f'{back}: back. F10: leave.'}"
    role = "alarm" if desk.refused else "main" if desk.message else "quiet"
    message = stack([[(" ", ""), *line] for line in wrapped(shown, width - 2, role)], width, 5 if desk.refused else 2)
    foot = [
        rule("", width),
        fit([(" [", "main"), *field_cells(desk.field, min(60, width - 4) if desk.wide else 6), ("]", "main")], width),
        *message,
    ]
    free = height - len(head) - 1 - len(foot)
    said = _turned_to(about, max(8, free - menu_rows(desk.listed, room - 1) - 2), desk.turned)
    left = max(3, free - len(said))
    desk.cut = menu_rows(desk.listed, room - 1) > left
    body = [*said, *([(" ", ""), *line] for line in draw_menu(desk.listed, room - 1, left))]
    if at_side:
        rows = max(len(body), free)
        if len(at_side) > rows:
            at_side = [*at_side[: rows - 1], [(f" ▼ {len(at_side) - rows + 1} more", "notice")]]
        body = beside(stack(body, room, rows), stack(at_side, width - room, rows))
    return stack([*head, [("", "")], *body, *foot], width, height)


def _turned_to(about: Lines, room: int, turned: int) -> Lines:
    """What fits of the lines said, after `turned` times `+`; the last one tells how many there are besides."""
    if len(about) <= room:
        return about
    pages = -(-len(about) // (room - 1))
    first = turned % pages * (room - 1)
    shown = about[first : first + room - 1]
    more = f" {len(about) - len(shown)} lines more: + turns to the next (page {turned % pages + 1} of {pages})"
    return [*shown, [(more, "notice")]]
