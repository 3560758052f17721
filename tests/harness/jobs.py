"""Small jobs to walk in tests."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from fieldtui.job import Walk, load_job, logs_folder
from fieldtui.route import Route, load_route

ROUTES = Path(__file__).parents[2] / "routes"

TWO_CHORDS = """\
# An invented route for tests.
format = 1
name = "Test heading"
units = "metric"
{more}
[uncertainty]
temperature = 0.5
reproducibility = 0.08
hole = 0.03
[[tape]]
serial = "T1"
pitch = 25.0
first_hole = 1
first_hole_distance = 25.0
holes = 600
expansion = 11.6e-6
expansion_uncertainty = 0.5e-6
reference_temperature = 20.0
[[extensometer]]
serial = "X1"
dial_serial = "D1"
dial_range = [0.0, 50.0]
dial_resolution = 0.01
dial = "adds"
repeatability = 0.05
[[level]]
name = "look"
closing = 5.0
response = "Read again within the shift."
tell = ["shift engineer"]
[[level]]
name = "stop"
closing = 10.0
response = "Stop the heading."
tell = ["tunnel manager"]
[[station]]
name = "A"
chainage = 100.0
caution = "Loose block above the left anchor."
[[station.anchor]]
name = "L"
across = -4.0
up = 1.5
[[station.anchor]]
name = "R"
across = 4.0
up = 1.5
[[station.anchor]]
name = "K"
across = 0.0
up = 6.0
[[station.chord]]
from = "L"
to = "R"
[[station.chord]]
from = "L"
to = "K"
[[station]]
name = "B"
chainage = 120.0
[[station.anchor]]
name = "L"
across = -4.0
up = 1.5
[[station.anchor]]
name = "R"
across = 4.0
up = 1.5
[[station.chord]]
from = "L"
to = "R"
"""

CONTROL = """\
[[control]]
name = "bar"
length = 5000.0
limit = 0.15
correct = false
expansion = 11.6e-6
reference_temperature = 20.0
"""


class Ticking:
    """A clock that goes on by a second each time it is asked."""

    def __init__(self, start: datetime = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)) -> None:
        self.now = start

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


def lay(folder: Path, *, more: str = "", control: bool = False) -> Path:
    """The route file of three chords in two stations, in this folder."""
    path = folder / "heading.toml"
    path.write_text(TWO_CHORDS.replace("{more}", more) + (CONTROL if control else ""), encoding="utf-8")
    return path


def lay_shipped(folder: Path, name: str) -> Path:
    """A copy of one of the shipped routes."""
    shutil.copytree(ROUTES / name, folder / name)
    return folder / name / f"{name}.toml"


def begin(path: Path, clock: Callable[[], datetime] | None = None) -> Walk:
    """A new survey of a route."""
    route = load_route(path)
    return Walk.begin(load_job(route, logs_folder(route)), clock=clock or Ticking())


def resume(path: Path, clock: Callable[[], datetime] | None = None) -> Walk:
    """The newest survey that is not closed."""
    route: Route = load_route(path)
    job = load_job(route, logs_folder(route))
    return Walk.resume(job, job.unclosed[0], clock=clock or Ticking(datetime(2031, 5, 4, 6, 0, tzinfo=UTC)))


def answer_start(walk: Walk, reader: str = "AB") -> None:
    """Answer the questions and the dial zero of `lay`, up to the first chord's arrival."""
    for typed in (reader, "", "1", "1", "", "1", "0.00"):
        walk.book(typed)


def book_chord(walk: Walk, hole: str, *dials: str, temperature: str = "12.0") -> None:
    """Book one chord and accept it, arriving first and reading the hole twice where the prompts ask for it."""
    if walk.step.kind == "arrive":
        walk.book("")
    for typed in (hole, *dials):
        walk.book(typed)
    if walk.step.what == "hole_again":
        walk.book(hole)
    walk.book(temperature)
    walk.accept()


def nothing_read(path: Path) -> int:
    """The exit status of an export of this route that goes well: 1 where there is no log to export."""
    return int(not (path.parent / "logs").is_dir())


CALM = {("A", "L-R"): "320", ("A", "L-K"): "240", ("B", "L-R"): "320"}
"""Holes of the chords of `lay`, such that the length is about what the anchors say."""


def book_calm(walk: Walk) -> None:
    """Book a whole survey of `lay` in which nothing moves, and close it."""
    answer_start(walk)
    while walk.step.target is not None and walk.step.target.is_chord:
        book_chord(walk, CALM[walk.step.target.key], "12.30", "12.32", "12.31")
    walk.close()


def with_past(path: Path, *, before: datetime | None = None, surveys: int = 5) -> Path:
    """The same route with surveys on the days before, in which nothing moved."""
    end = before or datetime.now(UTC)
    for days in range(surveys, 0, -1):
        book_calm(begin(path, Ticking(end - timedelta(days=days))))
    return path
