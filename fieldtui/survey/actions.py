"""Every action of the walk, named once: help, lists, key line, keys and the line-by-line walk read this table."""

from __future__ import annotations

from functools import cached_property

from msgspec import Struct


class Action(Struct, frozen=True):
    """One thing that can be done. `pad` is its key on the number pad, `letter` and `function` the others."""

    id: str
    label: str
    help: str
    pad: str
    letter: str
    function: str

    @property
    def keys(self) -> str:
        """Its keys as shown to a person."""
        return " ".join(key.upper() if key.startswith("f") and len(key) > 1 else key for key in self.all_keys)

    @property
    def all_keys(self) -> tuple[str, ...]:
        return tuple(key for key in (self.pad, self.letter, self.function) if key)


ACTIONS = (
    Action("correct", "correct", "Correct the figure booked last; once more goes one further back.", "*", "c", "f2"),
    Action("unread", "not read", "Book this chord as not read, with a reason.", "/", "n", "f3"),
    Action("unsafe", "unsafe", "Book this chord as not read because it is unsafe to stand there.", "", "u", "f4"),
    Action("jump", "other chord", "Go to another chord or station.", "", "j", "f5"),
    Action("note", "note", "Book a remark at this chord.", "", "t", "f6"),
    Action("again", "read again", "Read this chord a second time; both readings are kept.", "", "a", "f7"),
    Action("keep", "keep", "Keep a reading that does not agree, with a reason.", "", "k", ""),
    Action("call", "who was told", "Book who was told that a level was reached, and what they answered.", "", "w", ""),
    Action("strike", "strike out", "Strike out any entry of this survey, with a reason and a name.", "", "x", ""),
    Action("end", "end", "Go to the end of the survey; what is missing can still be read.", "", "e", "f8"),
    Action("more", "more", "All actions in a numbered list.", "+", "m", "f9"),
    Action("leave", "leave", "Leave without closing; the survey waits at this very prompt.", "", "q", "f10"),
    Action("help", "help", "What this screen is for and what each key does.", "", "?", "f1"),
)

PAD = ("+", "*", "/")
"""Keys of the number pad that may stand for an action; minus is a sign there, the others make figures."""


class KeyMap(Struct, frozen=True, dict=True):
    """The actions with the keys that they have here: as the table has them, or as somebody wants them otherwise."""

    actions: tuple[Action, ...] = ACTIONS

    # asked for several times with every key

    @cached_property
    def _by_id(self) -> dict[str, Action]:
        return {action.id: action for action in self.actions}

    @cached_property
    def _by_pad(self) -> dict[str, Action]:
        return {action.pad: action for action in self.actions if action.pad}

    @cached_property
    def _by_letter(self) -> dict[str, Action]:
        return {action.letter: action for action in self.actions if action.letter}

    @cached_property
    def _by_function(self) -> dict[str, Action]:
        return {action.function: action for action in self.actions if action.function}

    def of(self, id: str) -> Action:
        """The action of that id."""
        return self._by_id[id]

    def pad(self, character: str) -> Action | None:
        """What a key of the number pad does, at any time where figures are typed."""
        return self._by_pad.get(character)

    def letter(self, character: str) -> Action | None:
        """What a letter does where nothing has been typed yet."""
        return self._by_letter.get(character.lower())

    def function(self, key: str) -> Action | None:
        """What a function key does, everywhere."""
        return self._by_function.get(key)

    def meant(self, character: str | None, *, figures: bool, untouched: bool) -> Action | None:
        """What a sign does where figures or a text are typed, and `untouched`: whether nothing has been typed yet."""
        on_pad = self.pad(character or "")
        if not figures:
            # a remark may hold any sign; the list of actions is the way out for who has the number pad alone
            on_pad = on_pad if untouched and on_pad is not None and on_pad.id == "more" else None
        by_letter = self.letter(character or "") if figures and untouched else None
        return on_pad or by_letter

    def by_line(self, typed: str) -> Action | None:
        """What a line does that begins with this: a letter, a key of the number pad, or the action's id in full."""
        return self.letter(typed) or self.pad(typed) or self._by_id.get(typed.lower())

    def on_line(self, id: str) -> str:
        """What to type for an action where a line is read, and no single key."""
        action = self.of(id)
        return action.letter or action.pad or action.id

    def numeric(self, id: str) -> str:
        """The key to show where figures are typed."""
        action = self.of(id)
        return action.pad or action.letter or action.function.upper()

    def told(self, id: str) -> str:
        """The key to name in a sentence: its own, or that of the list, where it has none."""
        return self.numeric(id) or self.numeric("more")

    def anywhere(self, id: str) -> str:
        """The key to show where letters and the number pad's signs are text; empty where it has none."""
        return self.of(id).function.upper()


USUAL = KeyMap()
