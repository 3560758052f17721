"""The picture of the walk in the README is the page that the program draws: the demo, taken up where it stopped; and
what is drawn as a picture to be looked at has the words of the page.
"""

from __future__ import annotations

import asyncio
import re
from datetime import timedelta
from pathlib import Path
from shutil import copytree
from xml.etree import ElementTree

from pictures.__main__ import styles, svg

from fieldtui.job import Walk, load_job, logs_folder
from fieldtui.route import load_route
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.lines import Lines, joined, text_of
from harness.demo import END
from harness.jobs import Ticking

README = Path(__file__).parents[2] / "README.md"
TYPED = ("31.52", "31.46", "15.1")
"""The first dial reading stands there already."""


def drawn(path: Path) -> Lines:
    """The page once dial readings and temperature are typed."""
    route = load_route(path)
    job = load_job(route, logs_folder(route))
    (survey,) = job.unclosed
    desk = WalkDesk(Walk.resume(job, survey, clock=Ticking(END + timedelta(hours=1))))
    for figure in TYPED:
        for sign in figure:
            desk.press(sign, sign)
        desk.press("enter", None)
    return draw_walk(desk, 80, 24)


def without_time(lines: list[str]) -> list[str]:
    return [re.sub(r"saved \d\d:\d\d:\d\d", "saved", line) for line in lines]


def test_the_picture_is_what_is_drawn(demo_laid: Path, tmp_path: Path) -> None:
    path = Path(copytree(demo_laid.parent, tmp_path / "job")) / demo_laid.name
    (picture,) = re.findall(r"```\n( Demo heading.*?)```", README.read_text(encoding="utf-8"), re.S)
    page = text_of(drawn(path)).splitlines()
    print("\n".join(page))
    assert without_time([line.rstrip() for line in picture.splitlines()]) == without_time(page)


def test_a_page_drawn_as_a_picture_has_its_words_in_their_order(demo_laid: Path, tmp_path: Path) -> None:
    page = drawn(Path(copytree(demo_laid.parent, tmp_path / "job")) / demo_laid.name)
    picture = ElementTree.fromstring(svg(page, asyncio.run(styles("day"))))
    words = [element.text for element in picture.iter("{http://www.w3.org/2000/svg}text")]
    blocks = {"█" * count for count in range(1, 80)}
    assert words == [word for line in page for text, _ in joined(line) for word in text.split() if word not in blocks]
