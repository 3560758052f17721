"""One line being typed: what stands in it, exactly as typed, and where the cursor is."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

LONGEST = 240


class Field(Struct, frozen=True):
    """`fresh`: the text was put there (an earlier figure, a suggestion) and the first character typed replaces it."""

    text: str = ""
    cursor: int = 0
    fresh: bool = False

    @classmethod
    def of(cls, text: str) -> Field:
        """A field with a text to be kept by Enter, replaced by typing, or edited."""
        return cls(text, len(text), fresh=text != "")

    @property
    def empty(self) -> bool:
        return self.text == ""

    def insert(self, typed: str) -> Field:
        """Type a text at the cursor. What would not fit is left out."""
        before, after = ("", "") if self.fresh else (self.text[: self.cursor], self.text[self.cursor :])
        typed = typed[: max(0, LONGEST - len(before) - len(after))]
        return Field(before + typed + after, len(before) + len(typed))

    def key(self, name: str) -> Field | None:
        """The field after an editing key, or None where the key is not one."""
        text, at = self.text, self.cursor
        if name == "backspace":
            return Field(text[: max(0, at - 1)] + text[at:], max(0, at - 1))
        if name == "delete":
            return Field(text[:at] + text[at + 1 :], at)
        moved = {"left": max(0, at - 1), "right": min(len(text), at + 1), "home": 0, "end": len(text)}.get(name)
        return None if moved is None else replace(self, cursor=moved, fresh=False)
