"""Figures in large digits, for a screen that is looked at from the tape, by lamp light. Pure.

Each sign is drawn on three by five dots; a dot is one full block, or two side by side where there is room.
"""

from __future__ import annotations

from functools import cache

from fieldtui.tui.lines import Lines

ROWS = 5
_SHAPES = {
    "0": ("###", "# #", "# #", "# #", "###"),
    "1": (" # ", "## ", " # ", " # ", "###"),
    "2": ("###", "  #", "###", "#  ", "###"),
    "3": ("###", "  #", " ##", "  #", "###"),
    "4": ("# #", "# #", "###", "  #", "  #"),
    "5": ("###", "#  ", "###", "  #", "###"),
    "6": ("###", "#  ", "###", "# #", "###"),
    "7": ("###", "  #", "  #", "  #", "  #"),
    "8": ("###", "# #", "###", "# #", "###"),
    "9": ("###", "# #", "###", "  #", "###"),
    "-": ("   ", "   ", "###", "   ", "   "),
    "+": ("   ", " # ", "###", " # ", "   "),
    ".": (" ", " ", " ", " ", "#"),
}


def large(figure: str, width: int) -> Lines:
    """Five lines of at most `width` cells; none where a sign has no large shape, or there is no room for them."""
    signs = figure.strip().replace(",", ".")
    if not signs or any(sign not in _SHAPES for sign in signs):
        return []
    for wide in (2, 1):
        drawn = [_drawn(sign, wide) for sign in signs]
        rows = [(" " * wide).join([sign[row] for sign in drawn]) for row in range(ROWS)]
        if len(rows[0]) <= width:
            return [[(row, "main")] for row in rows]
    return []


@cache
def _drawn(sign: str, wide: int) -> tuple[str, ...]:
    return tuple("".join(("█" if dot == "#" else " ") * wide for dot in shape) for shape in _SHAPES[sign])
