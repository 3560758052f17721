"""Both looks: every role that is drawn stands out from its ground by 7:1 (WCAG 2.2, success criterion 1.4.6)."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.color import Color
from textual.theme import Theme

from fieldtui.tui.app import FieldApp
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.page import ROLES, Page
from fieldtui.tui.themes import DARK, LIGHT
from harness.jobs import begin, lay


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


async def test_keys_go_through_the_app_to_the_log(tmp_path: Path) -> None:
    walk = begin(lay(tmp_path))
    app = FieldApp(WalkDesk(walk))
    async with app.run_test(size=(80, 24)) as pilot:
        for key in ("A", "B", "enter"):
            await pilot.press(key)
        await pilot.pause()
    assert walk.state.answer("reader") == "AB"
    assert walk.writer.records[-1].data == {"what": "reader", "typed": "AB"}
