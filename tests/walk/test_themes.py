"""Both looks: every role that is drawn stands out from its ground by 7:1 (WCAG 2.2, success criterion 1.4.6)."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from rich.color import ColorSystem
from rich.style import Style
from textual.color import Color
from textual.theme import Theme

from fieldtui.tui.app import FieldApp
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.page import Page
from fieldtui.tui.themes import ALL, DARK, DARK_16, LIGHT, LIGHT_16, NO_COLOUR, ROLES, theme_name
from harness.jobs import begin, lay
from harness.terminal import Terminal

PC = (
    "#000000", "#aa0000", "#00aa00", "#aa5500", "#0000aa", "#aa00aa", "#00aaaa", "#aaaaaa",
    "#555555", "#ff5555", "#55ff55", "#ffff55", "#5555ff", "#ff55ff", "#55ffff", "#ffffff",
)  # fmt: skip
"""The sixteen colours of the PC's text screen."""
XTERM = (
    "#000000", "#cd0000", "#00cd00", "#cdcd00", "#0000ee", "#cd00cd", "#00cdcd", "#e5e5e5",
    "#7f7f7f", "#ff0000", "#00ff00", "#ffff00", "#5c5cff", "#ff00ff", "#00ffff", "#ffffff",
)  # fmt: skip
"""Those of xterm's own settings (XTerm-col.ad)."""
COLOUR_CODES = re.compile(rb"\x1b\[(?:[0-9;]*;)?(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])(?:;[0-9;]*)?m")


def luminance(color: Color) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [part / 255 for part in (color.r, color.g, color.b)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: Color, other: Color) -> float:
    """The contrast ratio of WCAG 2.2, 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_ratio_is_the_standards() -> None:
    assert contrast(Color.parse("#000000"), Color.parse("#ffffff")) == pytest.approx(21)
    assert contrast(Color.parse("#777777"), Color.parse("#ffffff")) == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("theme", [DARK, LIGHT], ids=lambda theme: theme.name)
async def test_every_role_stands_out(tmp_path: Path, theme: Theme) -> None:
    app = FieldApp(WalkDesk(begin(lay(tmp_path))))
    async with app.run_test(size=(80, 24)) as pilot:
        app.theme = theme.name
        await pilot.pause()
        page = app.query_one(Page)
        for role in ("", *ROLES):
            style = page._style(role)
            assert style.color is not None, role
            assert style.bgcolor is not None, role
            text = Color.from_rich_color(style.color)
            ground = Color.from_rich_color(style.bgcolor)
            assert contrast(text, ground) >= 7, f"{role} in {theme.name}: {contrast(text, ground):.1f}"


async def test_another_theme_is_on_the_screen_at_once(tmp_path: Path) -> None:
    app = FieldApp(WalkDesk(begin(lay(tmp_path))))
    async with app.run_test(size=(80, 24)) as pilot:
        page, grounds = app.query_one(Page), []
        for theme in (DARK, LIGHT, DARK):
            app.theme = theme.name
            await pilot.pause()
            grounds.append([segment.style for segment in page.render_line(12)])
    assert grounds[0] == grounds[2]
    assert grounds[0] != grounds[1]


async def looks(folder: Path, theme: Theme) -> dict[str, Style]:
    app = FieldApp(WalkDesk(begin(lay(folder))))
    async with app.run_test(size=(80, 24)) as pilot:
        app.theme = theme.name
        await pilot.pause()
        page = app.query_one(Page)
        return {role: page._style(role) for role in ("", *ROLES)}


@pytest.mark.parametrize("palette", [PC, XTERM], ids=["the PC's", "xterm's"])
@pytest.mark.parametrize("theme", [DARK_16, LIGHT_16], ids=lambda theme: theme.name)
async def test_every_role_stands_out_in_sixteen_colours(tmp_path: Path, theme: Theme, palette: tuple[str, ...]) -> None:
    for role, style in (await looks(tmp_path, theme)).items():
        assert style.color is not None
        assert style.bgcolor is not None
        text, ground = (one.downgrade(ColorSystem.STANDARD).number for one in (style.color, style.bgcolor))
        assert text is not None
        assert ground is not None
        assert contrast(Color.parse(palette[text]), Color.parse(palette[ground])) >= 7, role


@pytest.mark.parametrize("theme", [DARK, LIGHT], ids=lambda theme: theme.name)
async def test_every_role_stands_out_in_256_colours(tmp_path: Path, theme: Theme) -> None:
    for role, style in (await looks(tmp_path, theme)).items():
        assert style.color is not None
        assert style.bgcolor is not None
        text, ground = (
            Color(*one.downgrade(ColorSystem.EIGHT_BIT).get_truecolor()) for one in (style.color, style.bgcolor)
        )
        assert contrast(text, ground) >= 7, role


def test_a_terminal_of_sixteen_colours_gets_a_look_chosen_among_them() -> None:
    names = {theme.name for theme in ALL}
    for wanted in ("night", "day"):
        assert theme_name(wanted, "standard") in names - {wanted}
        assert theme_name(wanted, "truecolor") == theme_name(wanted, "256") == theme_name(wanted, None) == wanted


def test_sixteen_colours_in_a_real_terminal(tmp_path: Path) -> None:
    with Terminal("walk", str(lay(tmp_path)), look={"TERM": "xterm"}) as terminal:
        terminal.wait_for("start a new survey")
        assert COLOUR_CODES.search(terminal.sent)
        assert not re.search(rb"[34]8;[25];", terminal.sent), "more colours than the terminal has"


def test_no_color_sends_no_colour(tmp_path: Path) -> None:
    """The convention of no-color.org: bold, underline and reverse stay."""
    look = {"TERM": "xterm-256color", "COLORTERM": "truecolor", "NO_COLOR": "1"}
    with Terminal("walk", str(lay(tmp_path)), look=look) as terminal:
        terminal.wait_for("start a new survey")
        terminal.type("1\n")
        terminal.wait_for("Who reads")
        assert COLOUR_CODES.findall(terminal.sent) == []
        assert re.search(rb"\x1b\[[0-9;]*7m", terminal.sent), "the cursor is reversed"


def test_without_colour_what_must_not_be_missed_still_looks_otherwise() -> None:
    for role in ("alarm", "notice", "cursor", "field", "head"):
        assert NO_COLOUR[role] != Style()
    assert NO_COLOUR["alarm"] not in (NO_COLOUR["head"], NO_COLOUR["notice"])


async def test_keys_go_through_the_app_to_the_log(tmp_path: Path) -> None:
    walk = begin(lay(tmp_path))
    app = FieldApp(WalkDesk(walk))
    async with app.run_test(size=(80, 24)) as pilot:
        for key in ("A", "B", "enter"):
            await pilot.press(key)
        await pilot.pause()
    assert walk.state.answer("reader") == "AB"
    assert walk.writer.records[-1].data == {"what": "reader", "typed": "AB"}
