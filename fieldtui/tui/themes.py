"""Two looks of high contrast, and the role each colour plays. Every role stands out from its ground by 7:1 or more."""

from __future__ import annotations

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
        "notice": "#5f3700",
        "alarm-text": "#ffffff",
        "alarm-ground": "#7f0000",
        "head-text": "#ffffff",
        "head-ground": "#262626",
        "key": "#003f7f",
        "field-text": "#000000",
        "field-ground": "#d7e7f0",
        "chord": "#004f1f",
    },
)

STYLES = """
Screen { background: $background; color: $foreground; }
Page { background: $background; color: $foreground; }
Page > .page--quiet { color: $quiet; }
Page > .page--label { color: $quiet; }
Page > .page--other { color: $quiet; }
Page > .page--main { color: $main; text-style: bold; }
Page > .page--notice { color: $notice; text-style: bold; }
Page > .page--alarm { color: $alarm-text; background: $alarm-ground; text-style: bold; }
Page > .page--head { color: $head-text; background: $head-ground; }
Page > .page--key { color: $key; }
Page > .page--field { color: $field-text; background: $field-ground; }
Page > .page--fresh { color: $field-text; background: $field-ground; text-style: italic; }
Page > .page--cursor { color: $field-ground; background: $field-text; }
Page > .page--booked { color: $main; text-style: underline; }
Page > .page--saved { color: $quiet; }
Page > .page--anchor { color: $main; text-style: bold; }
Page > .page--chord { color: $chord; text-style: bold; }
Page > .page--hook { color: $notice; text-style: bold; }
"""
