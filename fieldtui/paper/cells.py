"""Text in cells that a spreadsheet may open: no cell of text can start a formula, and nothing is lost.

The rule, in both directions: a text that begins with one of `=`, `+`, `-`, `@`, tab, carriage return or with an
apostrophe is written with one more apostrophe in front; whoever reads takes that apostrophe off again. Figures are
not text: a negative number stays a number.
"""

from __future__ import annotations

_STARTS = ("=", "+", "-", "@", "\t", "\r", "'")


def guarded(text: str) -> str:
    """A text as a cell holds it."""
    return f"'{text}" if text.startswith(_STARTS) else text


def unguarded(cell: str) -> str:
    """The text that a cell holds: `unguarded(guarded(text)) == text`."""
    return cell[1:] if cell.startswith("'") and cell[1:].startswith(_STARTS) else cell
