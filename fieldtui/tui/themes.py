"""Two looks of high contrast, and the role each colour plays. Every role stands out from its ground by 7:1 or more.

Each look has a second set of colours for terminals that have sixteen, chosen among those, and there is one look without
any colour. In every one a state is told by its word and its shape (▲, ■) as well.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from rich.style import Style
from textual.theme import Theme

DARK = Theme(
    name="night",
    primary="#ffffff",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    dark=True,
    variables={
        "quiet": "#c0c0c0",
        "main": "#ffffff",
        "notice": "#ffd75f",
        "alarm-text": "#000000",
        "alarm-ground": "#ffaf5f",
        "head-text": "#000000",
        "head-ground": "#d0d0d0",
        "key": "#87d7ff",
        "field-text": "#ffffff",
        "field-ground": "#1c3a4a",
        "chord": "#87ffaf",
    },
)
LIGHT = Theme(
    name="day",
    primary="#000000",
    foreground="#000000",
    background="#ffffff",
    surface="#ffffff",
    dark=False,
    variables={
        "quiet": "#3a3a3a",
        "main": "#000000",
        "notice": "#5f0000",
        "alarm-text": "#ffffff",
        "alarm-ground": "#7f0000",
        "head-text": "#ffffff",
        "head-ground": "#262626",
        "key": "#0000af",
        "field-text": "#000000",
        "field-ground": "#d7e7f0",
        "chord": "#004f1f",
    },
)

DARK_16 = Theme(
    name="night-16",
    primary="#ffffff",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    dark=True,
    variables={
        "quiet": "#aaaaaa",
        "main": "#ffffff",
        "notice": "#ffff55",
        "alarm-text": "#000000",
        "alarm-ground": "#ffff55",
        "head-text": "#000000",
        "head-ground": "#aaaaaa",
        "key": "#55ffff",
        "field-text": "#000000",
        "field-ground": "#55ffff",
        "chord": "#55ff55",
    },
)
LIGHT_16 = Theme(
    name="day-16",
    primary="#000000",
    foreground="#000000",
    background="#ffffff",
    surface="#ffffff",
    dark=False,
    variables={
        "quiet": "#000000",
        "main": "#000000",
        "notice": "#0000aa",
        "alarm-text": "#ffff55",
        "alarm-ground": "#000000",
        "head-text": "#ffffff",
        "head-ground": "#000000",
        "key": "#0000aa",
        "field-text": "#ffffff",
        "field-ground": "#0000aa",
        "chord": "#000000",
    },
)
ALL = (DARK, LIGHT, DARK_16, LIGHT_16)


def theme_name(wanted: str, color_system: str | None) -> str:
    """The theme of that look for what a terminal can show: `standard` are sixteen colours."""
    return f"{wanted}-16" if color_system == "standard" else wanted


PLAIN = Style()
_BOLD, _REVERSE, _UNDERLINE = Style(bold=True), Style(reverse=True), Style(underline=True)
NO_COLOUR = MappingProxyType(
    {
        "main": _BOLD,
        "notice": _BOLD,
        "alarm": _BOLD + _REVERSE,
        "head": _REVERSE,
        "key": _BOLD,
        "field": _UNDERLINE,
        "fresh": Style(underline=True, italic=True),
        "cursor": _REVERSE,
        "booked": _UNDERLINE,
        "anchor": _BOLD,
        "chord": _BOLD,
        "hook": _BOLD,
    }
)
"""By role, where `NO_COLOR` is set; a role that is not named is plain."""

STYLES = """
Screen { background: $background; color: $foreground; }
Page { background: $background; color: $foreground; }
"""

_LOOKS: Mapping[str, tuple[str, str, Style]] = MappingProxyType(
    {
        "quiet": ("quiet", "", PLAIN),
        "label": ("quiet", "", PLAIN),
        "other": ("quiet", "", PLAIN),
        "main": ("main", "", _BOLD),
        "notice": ("notice", "", _BOLD),
        "alarm": ("alarm-text", "alarm-ground", _BOLD),
        "head": ("head-text", "head-ground", PLAIN),
        "key": ("key", "", PLAIN),
        "field": ("field-text", "field-ground", PLAIN),
        "fresh": ("field-text", "field-ground", Style(italic=True)),
        "cursor": ("field-ground", "field-text", PLAIN),
        "booked": ("main", "", _UNDERLINE),
        "saved": ("quiet", "", PLAIN),
        "anchor": ("main", "", _BOLD),
        "chord": ("chord", "", _BOLD),
        "hook": ("notice", "", _BOLD),
    }
)
"""By role: the theme's colour of the text, that of the ground where it is not the page's, and what else."""
# not as rules of the stylesheet: the library reads those twice at a start, and makes a node for each role

ROLES = tuple(_LOOKS)


def look(role: str, theme: Theme) -> Style:
    """How a role looks in a theme, on the page's ground; plain where there is no such role."""
    if role not in _LOOKS:
        return PLAIN
    text, ground, more = _LOOKS[role]
    return Style(color=theme.variables[text], bgcolor=theme.variables[ground] if ground else None) + more
