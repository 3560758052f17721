"""What the monkey is let loose on: the shipped routes, small ones of the tests, the demo, a route to be laid."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from fieldtui.demo import lay_demo
from fieldtui.laying.opening import open_laying
from fieldtui.tui.desks import Desk
from fieldtui.tui.start import RoutesDesk
from harness.jobs import CONTROL, lay, lay_shipped, with_past
from harness.laying import lay_out
from tests.monkey.event import Clock
from tests.monkey.stage import job_opened

MORE = """\
zero_check_every = 1
[[face]]
name = "top heading"
advances = "up"
[[care]]
what = "dial battery"
every_days = 30
"""


@dataclass(frozen=True)
class Ready:
    """A job laid in a folder, and how the program is opened on it."""

    route: Path
    opened: Callable[[], Desk]

    @property
    def logs(self) -> Path:
        return self.route.parent / "logs"


def shipped(name: str) -> Callable[[Path, Clock], Ready]:
    def ready(place: Path, clock: Clock) -> Ready:
        route = lay_shipped(place, name)
        return Ready(route, job_opened(route))

    return ready


def small(place: Path, clock: Clock) -> Ready:
    """Three chords, a frame, a face, care, and five calm surveys before."""
    place.mkdir(parents=True, exist_ok=True)
    with_past(lay(place), before=clock.now)
    route = lay(place, more=MORE, control=True)
    route.write_text(route.read_text().replace("pitch = 25.0", "pitch = 25.01"))  # a tape that is another: asked about
    return Ready(route, job_opened(route))


def two_tapes(place: Path, clock: Clock) -> Ready:
    """The same with a second tape and extensometer, found among the routes below a folder."""
    place.mkdir(parents=True, exist_ok=True)
    route = lay(place, more=MORE, control=True)
    text = route.read_text()
    for table in ("tape", "extensometer"):
        begin = text.index(f"[[{table}]]")
        one = text[begin : text.index("[[", begin + 2)]
        text += one.replace('"T1"', '"T2"').replace('"X1"', '"X2"').replace('"D1"', '"D2"')
    route.write_text(text)
    assert CONTROL in text
    return Ready(route, lambda: RoutesDesk(place))


def demo(place: Path, clock: Clock) -> Ready:
    """The demo job: a year of surveys, one of them broken off in the middle of a chord."""
    route = lay_demo(place / "demo", clock.now - timedelta(minutes=5))
    return Ready(route, job_opened(route))


def laid(place: Path, clock: Clock) -> Ready:
    """A route yet to be laid by questions."""
    place.mkdir(parents=True, exist_ok=True)
    return Ready(place / "drift.toml", lambda: open_laying(place / "drift.toml"))


def all_but_laid(place: Path, clock: Clock) -> Ready:
    """A route whose questions are all answered, kept as a draft: to be written, changed or thrown away."""
    place.mkdir(parents=True, exist_ok=True)
    lay_out(place / "drift.toml")
    return Ready(place / "drift.toml", lambda: open_laying(place / "drift.toml"))


JOBS: dict[str, Callable[[Path, Clock], Ready]] = {
    "small": small,
    "adit": shipped("adit"),
    "two tapes": two_tapes,
    "us-cavern": shipped("us-cavern"),
    "highway": shipped("highway"),
    "laid": laid,
    "all but laid": all_but_laid,
    "demo": demo,
}
