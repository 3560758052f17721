"""Lines of cells with roles: what every drawing function gives, and nothing of the screen library.

A line is a list of (text, role); a role is a word that the theme gives a look. All widths are in terminal cells.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from rich.cells import cell_len, set_cell_size

from fieldtui.printable import printable

WIDE = 140
"""Cells; in a window as wide as that there is room for something beside the page."""
Segment = tuple[str, str]
Line = list[Segment]
Lines = list[Line]

NOT_ONE_CELL = re.compile("[^ -~\u00ae-\u017f\u2500-\u259f…●◆▲■▼]")
"""Anything but the signs of one cell that pages are made of: Latin letters, lines, blocks, shapes. How wide a text is
that has others must be looked up.
"""


def width_of(line: Line) -> int:
    return sum([_cells(text) for text, _ in line])


def _cells(text: str) -> int:
    return len(text) if _plain(text) else cell_len(text)


def _plain(text: str) -> bool:
    return text.isascii() or NOT_ONE_CELL.search(text) is None


def joined(line: Iterable[Segment]) -> Line:
    """The same line, neighbours of one role in one piece, empty ones left out: a plot has a piece for every cell, and
    each costs its own codes on the way to the terminal.
    """
    made: Line = []
    for text, role in line:
        if made and made[-1][1] == role:
            made[-1] = (made[-1][0] + text, role)
        elif text:
            made.append((text, role))
    return made


def fit(line: Iterable[Segment], width: int) -> Line:
    """A line of exactly `width` cells: cut at the right, or filled with blanks."""
    return list(_fitted(tuple(line), width))


@lru_cache(maxsize=512)
def _fitted(line: tuple[Segment, ...], width: int) -> tuple[Segment, ...]:
    """Kept: most lines of a page are the same with every key."""
    made: Line = []
    left = width
    for text, role in joined(line):
        clean = printable(text)
        size = _cells(clean)
        if size > left:
            return tuple(joined([*made, (set_cell_size(clean, left), role)]))
        made.append((clean, role))
        left -= size
    return tuple(joined([*made, (" " * left, "")]))


def cut(line: Line, width: int) -> Line:
    """A line of exactly `width` cells; where it is longer, its last sign says that it was cut."""
    if width_of(line) <= width or width < 1:
        return fit(line, max(0, width))
    kept = fit(line, width - 1)
    return [*kept, ("…", kept[-1][1] if kept else "")]


def spread(left: Line, right: Line, width: int) -> Line:
    """Two ends of a line; the left one is cut where both do not fit."""
    room = max(0, width - width_of(right) - 1)
    return fit([*cut(left, room), (" ", left[0][1] if left else ""), *right], width)


def rule(title: str, width: int) -> Line:
    """A thin line across, with a title near its left end."""
    return list(_ruled(title, width))


@lru_cache(maxsize=16)
def _ruled(title: str, width: int) -> tuple[Segment, ...]:
    text = f"── {printable(title)} " if title else ""
    return tuple(fit([(text + "─" * max(0, width - cell_len(text)), "quiet")], width))


def wrapped(text: str, width: int, role: str = "") -> Lines:
    """A text in as many lines as it takes, none wider than `width` cells (but 8 at least)."""
    return [[(line, role)] for line in _wrapped(printable(text), max(8, width))]


@lru_cache(maxsize=256)
def _wrapped(text: str, room: int) -> tuple[str, ...]:
    """The texts of the lines. Kept: a page wraps the same few sentences again with every key."""
    if len(text) <= room and _plain(text) and text == text.strip():
        return (text,)
    return tuple(textwrap.wrap(text, room) if _one_each(text) else _in_cells(text, room)) or ("",)


def _one_each(text: str) -> bool:
    """Whether each sign takes one cell: wide signs and accents may make up for each other in a text's length."""
    return _plain(text) or all(cell_len(sign) == 1 for sign in set(text))


def _in_cells(text: str, width: int) -> Iterator[str]:
    """The lines of a text with signs of two cells or of none, which the library's wrapping counts as one each."""
    line = ""
    for word in text.split():
        if line and cell_len(f"{line} {word}") > width:
            yield line
            line = ""
        line = f"{line} {word}" if line else word
        while cell_len(line) > width:
            part = next(part for end in range(len(line), 0, -1) if cell_len(part := line[:end]) <= width)
            yield part
            line = line[len(part) :]
    if line:
        yield line


def stack(parts: Iterable[Line], width: int, height: int) -> Lines:
    """Exactly `height` lines: cut at the bottom, or filled with blank ones."""
    return filled([fit(line, width) for line in parts], width, height)


def filled(lines: Lines, width: int, height: int) -> Lines:
    """The same of lines that have that width already."""
    return [*lines[:height], *(fit([], width) for _ in range(height - len(lines)))]


def beside(left: Lines, right: Lines, gap: int = 0) -> Lines:
    """Two blocks of the same height side by side, with so many blank cells between them."""
    between = [(" " * gap, "")] if gap else []
    return [[*one, *between, *other] for one, other in zip(left, right, strict=True)]


def changed(old: Line, new: Line) -> tuple[int, int]:
    """Where two lines of the same width differ: the first cell, and how many from there; none where they do not.

    A line with a sign of no cell or of two counts as one piece: what belongs to which cell is the terminal's affair.
    """
    if old == new:
        return 0, 0
    # most of a line stays, in whole pieces at both ends of it
    least, left, right = min(len(old), len(new)), 0, 0
    while left < least and old[left] == new[left]:
        left += 1
    while right < least - left and old[-1 - right] == new[-1 - right]:
        right += 1
    was, now = old[left : len(old) - right], new[left : len(new) - right]
    same, before, after = _bare(new[:left]), _bare(was), _bare(now)
    rest = _bare(new[len(new) - right :])
    if not _one_each(same + before + after + rest) or len(before) != len(after):
        return 0, width_of(new)
    if not after:
        return 0, 0
    first, last = _alike(was[0], now[0]), _alike(_turned(was[-1]), _turned(now[-1]))
    return len(same) + first, len(after) - first - last


def _alike(one: Segment, other: Segment) -> int:
    """How many signs two pieces begin with alike."""
    (text, role), (other_text, other_role) = one, other
    least, alike = min(len(text), len(other_text)) if role == other_role else 0, 0
    while alike < least and text[alike] == other_text[alike]:
        alike += 1
    return alike


def _turned(piece: Segment) -> Segment:
    return piece[0][::-1], piece[1]


def _bare(line: Line) -> str:
    return "".join([text for text, _ in line])


def text_of(lines: Sequence[Line]) -> str:
    """The bare text, for tests and for a person without colours."""
    return "\n".join(_bare(line).rstrip() for line in lines)
