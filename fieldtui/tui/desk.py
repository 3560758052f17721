"""The walk's entry desk: one field, one list at a time, every key in the order it was pressed.

    press(key) ──► an editing key changes the field
               ──► an action opens a list or another field, or books at once
               ──► Enter books what is typed: refused with words, not saved, or the next prompt

The desk holds nothing of the survey; it asks `Walk`. What it holds is what a person sees between two entries: the
text being typed, the mode, the message.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable

from fieldtui.errors import FieldError
from fieldtui.job import Job, Told, Walk, accept, doubt, elsewhere, not_saved, suggestion
from fieldtui.job.folder_named import folder_named
from fieldtui.log import WriteFailed
from fieldtui.settings import Settings
from fieldtui.survey import Step, Target
from fieldtui.survey.actions import USUAL, Action
from fieldtui.tui import choose, deeds
from fieldtui.tui.after_zero import AfterZero
from fieldtui.tui.field import Field
from fieldtui.tui.menu import Menu
from fieldtui.tui.mode import FURTHER, NONE, STEP, Mode
from fieldtui.tui.paged import leads_back, turned
from fieldtui.tui.said_to import not_asked, said_to
from fieldtui.tui.seen import Seen
from fieldtui.tui.turning import Turning
from fieldtui.tui.unsaved import told_unsaved


class WalkDesk:
    """The state of the walk's screen. `bell` and `done` are read and reset by whoever draws it."""

    def __init__(self, walk: Walk, job: Job | None = None) -> None:
        self.walk = walk
        self.seen = Seen(walk, job)
        self.work = self.seen.work
        self.keyboard = USUAL
        self.mode = STEP
        self.message, self.refused = "", False
        self.bell = self.done = False
        self.next = None
        self.page, self.turning = 0, Turning()
        self.ticks: Callable[[], float] = time.monotonic
        self.unsafe_at = self.arrived_at = -math.inf
        self._after_zero = AfterZero(lambda: self.ticks())
        self.field = self._fresh_field()
        self._kept: dict[Step, Field] = {}

    # -- what the drawing needs ----------------------------------------------------------------------------------

    @property
    def step(self) -> Step:
        return self.walk.step

    @property
    def target(self) -> Target | None:
        """The booking on the screen: the one being corrected, else that of the prompt."""
        return self.mode.target or self.step.target

    @property
    def slot(self) -> str:
        """The slot that the field fills, or an empty string."""
        if self.mode.name == "correct":
            return self.mode.slot
        return self.step.what if self.mode.name == "step" and self.step.kind == "figure" else ""

    @property
    def numeric(self) -> bool:
        """Whether letters are commands here: everywhere but where a text is asked for."""
        if self.mode.name in ("text", "unsaved"):
            return False
        step = self.step
        return not (self.mode.name == "step" and step.kind == "say" and not step.what.startswith("face "))

    def told(self) -> tuple[Told, ...]:
        """What the booking on the screen means, with the figure being typed; a number of a list is none."""
        slot, typed = self.slot, self.field.text
        return () if self.target is None else self.seen.told(self.target, slot, typed if slot else "")

    # -- keys ----------------------------------------------------------------------------------------------------

    def press(self, key: str, character: str | None) -> None:
        """One key, by its name and, where it types something, its character."""
        if self.edit(key, character) or self._after_zero.takes(key):
            return
        if self.mode.name == "help":
            self._in_help(key, character)
        elif key == "enter":
            typed = self.field
            self._do(self._book)
            # typed anew: the number pad has no key that takes it out. Not what was half typed below a list
            if self.refused and self.field is typed:
                self.field = Field.of(typed.text)
        elif key == "escape":
            self._back()
        elif (action := self._action(key, character)) is not None:
            self.act(action.id)

    def edit(self, key: str, character: str | None) -> bool:
        """Take a key that edits the field or leafs through a list; False, and nothing is done, where it is another."""
        other = self.mode.name == "help" or key in ("enter", "escape")
        if other or self._action(key, character) is not None:
            return False
        self._after_zero.takes(key)
        paging = {"+": "pagedown", "-": "pageup"}.get(character or "", key) if self.field.empty else key
        if self.mode.menu is not None and (menu := self.mode.menu.move(paging)) is not None:
            self.mode = Mode("menu", menu=menu)
            return True
        edited = self.field.key(key)
        if edited is None and character is not None and character.isprintable():
            edited = self.field.insert(character)
        if edited is not None:
            self._edited(edited)
        return True

    def _edited(self, field: Field) -> None:
        self.field = field
        if self.mode.name != "unsaved":
            self.message, self.refused = "", False

    def paste(self, text: str) -> None:
        """A pasted text is typed where it is one line; several are refused, none of them booked."""
        self._after_zero.takes("paste")
        lines = text.splitlines()
        if len(lines) > 1:
            self._refuse("Several lines were pasted; nothing is booked. Enter one figure at a time.")
        elif lines:
            self._edited(self.field.insert(lines[0]))

    def act(self, action: str) -> None:
        """Do one of the actions of the table."""
        self._do(lambda: deeds.DEEDS[action](self))

    def _do(self, deed: Callable[[], None]) -> None:
        """Do something that books. A refusal changes nothing; a disk that does not take it is told, and what to do."""
        self.message, self.refused = "", False
        try:
            deed()
        except FieldError as error:
            unsaved = isinstance(error, WriteFailed) or self.mode.name == "unsaved"
            self._unsaved(error) if unsaved else self._refuse(str(error))

    def take(self, settings: Settings) -> None:
        """From here on with these keys."""
        self.keyboard = settings.keyboard

    def _action(self, key: str, character: str | None) -> Action | None:
        by_function = self.keyboard.function(key)
        if self.mode.name == "unsaved" or self.step.kind == "closed":
            leave, help_ = self.keyboard.of("leave"), self.keyboard.of("help")
            if by_function is help_ and self.mode.name == "step":
                return help_
            by_letter = self.step.kind == "closed" and self.mode.name == "step" and character == leave.letter
            return leave if by_function is leave or (by_letter and leave.letter) else None
        if self.mode.menu is not None:
            # in a list a letter chooses nothing, and must not act on what lies behind it
            return by_function
        untouched = self.field.empty or self.field.fresh
        return by_function or self.keyboard.meant(character, figures=self.numeric, untouched=untouched)

    def _book(self) -> None:
        mode, typed = self.mode, self.field.text
        if mode.menu is not None:
            self.field = Field()
            item = mode.menu.pick(typed)
            self.to_step()
            if item is not None:
                step, field = self.step, self.field
                item.choose()
                if self.mode == STEP and self.step == step:
                    self.field = field  # the same prompt, and what was half typed there
        elif mode.name == "correct" and mode.target is not None:
            none = mode.slot in FURTHER and typed.strip() == NONE
            self.walk.figure(mode.target, mode.slot, "" if none else typed, optional=mode.slot in FURTHER)
            self.to_step()
        elif mode.then is not None:
            mode.then(typed)
        elif mode.name == "unsaved":
            deeds.leave(self) if typed.strip() == NONE else self._continue(typed)
        else:
            self._book_step(typed)

    def _book_step(self, typed: str) -> None:
        step = self.step
        untouched = self.field.fresh or not typed.strip()
        if step.kind != "figure" and untouched and self.turning.on():
            return
        if step.kind in ("closed", "end"):
            self.open(choose.closed_menu(self) if step.kind == "closed" else choose.end_menu(self))
            return
        if step.kind in ("arrive", "result") and typed.strip():
            self.field = Field()
            raise not_asked(typed, step, self.keyboard, in_the_way=self.doubted or self.striking)
        deeds.seen_first(self, step, typed)
        if step.kind == "result":
            if self.doubted:
                self.open(choose.doubt_menu(self))
                return
            if self.striking:
                self.open(choose.seen_menu(self))
                return
            accept(self.walk)
        else:
            self.walk.book(typed)
        self.to_step()
        self.arrived_at = self.ticks()
        self.message = said_to(self.walk, step, self.keyboard)
        # what must not be missed: a notice on what was booked, or a repeat more than was planned
        moved = bool(self.message) and step.what == "zero"
        self.bell = self.striking or moved or self.step.what in FURTHER

    @property
    def striking(self) -> bool:
        """Whether something about the complete booking at hand must not be passed over with a bare Enter."""
        return self.step.kind == "result" and any(one.weight in ("notice", "alarm") for one in self.told())

    @property
    def doubted(self) -> bool:
        """Whether the complete booking at hand looks like something else than what was booked."""
        return doubt(self.walk) is not None

    # -- moving between modes ------------------------------------------------------------------------------------

    def open(self, menu: Menu) -> None:
        """Lay a list over the prompt."""
        self._lay(Mode("menu", menu=menu), Field())

    def ask(self, label: str, then: Callable[[str], None], text: str = "") -> None:
        """Ask for a text instead of what the prompt asks for; `then` takes it, and ends by asking on or `to_step`."""
        self._lay(Mode("text", label=label, then=then), Field.of(text))

    def correct(self, target: Target, slot: str, text: str) -> None:
        """Put a booked figure into the field, to be booked anew."""
        self._lay(Mode("correct", target, slot), Field.of(text))

    def _lay(self, mode: Mode, field: Field) -> None:
        self.keep()
        self.mode, self.field = mode, field

    def to_step(self) -> None:
        """Back to the survey's own prompt, with what was being typed there if it is still the same one."""
        self.mode = STEP
        self.turning.begin()
        self.field = self._kept[self.step] if self.step in self._kept else self._fresh_field()
        self._kept.clear()

    def keep(self) -> None:
        if self.mode.name == "step" and not self.field.fresh:
            self._kept[self.step] = self.field

    def _fresh_field(self) -> Field:
        return Field.of(suggestion(self.walk, self.step.what)) if self.step.kind == "say" else Field()

    def _back(self) -> None:
        if self.mode.name == "unsaved":
            self._unsaved()
        elif self.mode.name != "step":
            self.message, self.refused = "", False
            self.to_step()
        elif not self.field.empty:
            self.field = Field()
            self.message, self.refused = "", False

    def _refuse(self, sentence: str) -> None:
        self.message, self.refused, self.bell = sentence, True, True

    def _unsaved(self, why: FieldError | None = None) -> None:
        """From an empty field: who has the number pad alone could not take out of it what was typed ahead."""
        self.mode, self.field = Mode("unsaved"), Field()
        self._refuse(told_unsaved(self.walk, why.what if why is not None else ""))

    def _continue(self, folder: str) -> None:
        """Go on in a new log, where what was not saved is booked first of all."""
        place = folder_named(folder) if folder.strip() else self.walk.writer.path.parent
        told = not_saved(self.walk)
        self.walk.continue_in(place)
        self.to_step()
        self.message = f"Saved in the new file {self.walk.writer.path.name}: {told}.{elsewhere(self.walk)}"

    def show_help(self) -> None:
        """Lay the help over the page."""
        self.keep()
        self.mode, self.page = Mode("help"), 0

    def _in_help(self, key: str, character: str | None) -> None:
        """A figure typed over the help is not taken: its first key would be lost in closing it."""
        if key == "f10":
            self.act("leave")
        elif leads_back(key, character):
            self._after_zero.closed(character)
            self.to_step()
        else:
            self.page = turned(self.page, key)
