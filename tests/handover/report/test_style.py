"""The style of the report: light and dark readable, print light, pages that are not cut where they must not be.

Contrast by WCAG 2.2, success criterion 1.4.3 (4.5:1 for text), relative luminance as defined there.
"""

from __future__ import annotations

import re
from itertools import product
from pathlib import Path

import pytest

import fieldtui
from fieldtui.handover.report.svg import ROLES

STYLE = (Path(fieldtui.__file__).parent / "handover/report/templates/style.css").read_text(encoding="utf-8")
TEXT = ("ink", "quiet", "point", "doubt", "level", "alarm")


def colours(scheme: str) -> dict[str, str]:
    light, dark = re.findall(r":root \{(.*?)\}", STYLE, re.DOTALL)
    found = dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", light))
    return found | (dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", dark)) if scheme == "dark" else {})


def luminance(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize(("scheme", "role"), list(product(("light", "dark"), TEXT)))
def test_every_colour_of_text_and_figures_stands_out_from_the_paper(scheme: str, role: str) -> None:
    own = colours(scheme)
    high, low = sorted((luminance(own[role]), luminance(own["paper"])), reverse=True)
    assert (high + 0.05) / (low + 0.05) >= 4.5


def test_figures_are_drawn_with_colours_that_the_style_has() -> None:
    assert {role.removeprefix("var(--").removesuffix(")") for role in ROLES.values()} <= set(colours("light"))


def test_print_is_light_whatever_the_screen_is() -> None:
    assert "@media screen and (prefers-color-scheme: dark)" in STYLE
    assert STYLE.count("prefers-color-scheme") == 1


def test_no_figure_and_no_row_is_cut_by_the_end_of_a_page_and_heads_of_tables_are_repeated() -> None:
    rules = dict(re.findall(r"^([^{}@]+?) \{ ?([^{}]*)\}", STYLE, re.MULTILINE))
    assert "break-inside: avoid" in rules["figure"]
    assert "break-inside: avoid" in rules["tr"]
    assert "table-header-group" in rules["thead"]


def test_a_station_begins_where_the_one_before_ends_and_its_name_stays_with_what_follows() -> None:
    printed = STYLE[STYLE.index("@media print") :]
    assert not re.search(r"\.station[^{]*\{[^}]*break-before", printed)
    assert re.search(r"\.station > h2, \.station > p \{ break-after: avoid; \}", printed)
