"""Pictures of every screen, in both themes and three sizes, to be looked at.

    python -m tests.pictures FOLDER [--only NAME ...]      one SVG for each, and a sheet of them for each size and theme
    python -m tests.pictures --readme                      the two pictures of the README, in .pictures

The colours are those that the screen library makes of the styles; the job is the invented demo.
"""

from __future__ import annotations

import argparse
import asyncio
import re
import sys
import tempfile
from collections.abc import Mapping
from html import escape
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from pictures.screens import screens
from rich.cells import cell_len
from rich.style import Style

from fieldtui.settings import THEMES, Settings
from fieldtui.tui.app import FieldApp
from fieldtui.tui.help_desk import PagesDesk
from fieldtui.tui.lines import Lines, joined
from fieldtui.tui.page import Page
from fieldtui.tui.start import drawing
from fieldtui.tui.themes import ROLES

SIZES = ((60, 20), (80, 24), (200, 60))
CELL, LINE = 8.4, 17
WORD = re.compile(r"\S+")
README = (("result", "night"), ("doubt", "day"))
Styles = Mapping[str, Style]


async def styles(theme: str) -> Styles:
    """The look of each role in a theme, as the application makes it."""
    app = FieldApp(PagesDesk("", (), (), lambda: PagesDesk("", (), (), lambda: None)), settings=Settings(theme))  # type: ignore[arg-type,return-value]
    async with app.run_test(size=(80, 24)) as pilot:
        app.theme = theme  # whatever the terminal has that this is run in
        await pilot.pause()
        page = app.query_one(Page)
        return {role: page._style(role) for role in ("", *ROLES)}


def svg(lines: Lines, looks: Styles) -> str:
    """Lines of cells as one picture."""
    width = max(sum(cell_len(text) for text, _ in line) for line in lines)
    ground = _colour(looks[""], ground=True)
    drawn = [f'<rect width="100%" height="100%" fill="{ground}"/>']
    for row, line in enumerate(lines):
        column = 0
        for text, role in joined(line):
            look, cells = looks.get(role, looks[""]), cell_len(text)
            x, y = column * CELL, row * LINE
            behind = _colour(look, ground=True)
            if behind != ground:
                drawn.append(f'<rect x="{x:.1f}" y="{y}" width="{cells * CELL:.1f}" height="{LINE}" fill="{behind}"/>')
            more = ' font-weight="bold"' if look.bold else ""
            more += ' text-decoration="underline"' if look.underline else ""
            more += ' font-style="italic"' if look.italic else ""
            drawn += [_word(found, x, y, f'fill="{_colour(look)}"{more}', text) for found in WORD.finditer(text)]
            column += cells
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width * CELL:.0f}" height="{len(lines) * LINE}" '
        f'font-family="monospace" font-size="14">{"".join(drawn)}</svg>\n'
    )


def _word(found: re.Match[str], x: float, y: int, look: str, text: str) -> str:
    """A word at its own place: blanks count for nothing in a picture. Blocks are drawn, whatever the font."""
    word, left = found.group(), x + cell_len(text[: found.start()]) * CELL
    wide = cell_len(word) * CELL
    if set(word) == {"█"}:
        return f'<rect x="{left:.1f}" y="{y}" width="{wide:.1f}" height="{LINE}" {look}/>'
    return f'<text x="{left:.1f}" y="{y + 13}" textLength="{wide:.1f}" {look}>{escape(word)}</text>'


def _colour(style: Style, *, ground: bool = False) -> str:
    colour = style.bgcolor if ground else style.color
    assert colour is not None
    return colour.get_truecolor().hex


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.pictures", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("folder", type=Path, nargs="?", default=Path(".pictures"))
    parser.add_argument("--only", nargs="+", default=[], metavar="NAME")
    parser.add_argument("--readme", action="store_true")
    asked = parser.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    looks = {theme: asyncio.run(styles(theme)) for theme in THEMES}
    sizes = ((80, 24),) if asked.readme else SIZES
    sheets: dict[tuple[str, int], list[str]] = {}
    with tempfile.TemporaryDirectory() as folder:
        for name, desk in screens(Path(folder)):
            wanted = [theme for theme in THEMES if not asked.readme or (name, theme) in README]
            if not wanted or (asked.only and name not in asked.only):
                drawing(desk)(80, 24)
                continue
            for columns, rows in sizes:
                lines = drawing(desk)(columns, rows)
                for theme in wanted:
                    picture = svg(lines, looks[theme])
                    file = f"{name.replace(' ', '-')}-{theme}{'' if asked.readme else f'-{columns}'}.svg"
                    (asked.folder / file).write_text(picture, encoding="utf-8")
                    sheets.setdefault((theme, columns), []).append(f'<figure><img src="{file}"><b>{name}</b></figure>')
    if not asked.readme:
        for (theme, columns), figures in sheets.items():
            page = f"<meta charset=utf-8><style>figure{{display:inline-block;margin:6px}}</style>{''.join(figures)}"
            (asked.folder / f"sheet-{theme}-{columns}.html").write_text(page, encoding="utf-8")
    print(f"{sum(map(len, sheets.values()))} pictures in {asked.folder}")


if __name__ == "__main__":
    main()
