"""Every screen once, each as a desk that stands there: the demo job, walked by keys, and the pages around it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from fieldtui.demo import lay_demo
from fieldtui.demo.book import typed_at
from fieldtui.demo.lay import read_truth
from fieldtui.demo.truth import Truth
from fieldtui.job import Job, Walk, load_job, logs_folder
from fieldtui.log import WriteFailed
from fieldtui.review.chord_page import ChordDesk
from fieldtui.review.route_page import RouteDesk
from fieldtui.review.station_page import StationDesk
from fieldtui.review.study import Study
from fieldtui.route import load_route
from fieldtui.survey.actions import USUAL
from fieldtui.tui import deeds
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.desks import Computes, Desk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.start import RoutesDesk, StartDesk
from fieldtui.tui.tour import TourDesk
from harness.laying import lay_out

END = datetime(2025, 6, 18, 10, 12, tzinfo=UTC)
Screen = tuple[str, Desk]


class Ticking:
    """A clock that goes on by a little each time it is asked."""

    def __init__(self, start: datetime) -> None:
        self.now = start

    def __call__(self) -> datetime:
        self.now += timedelta(milliseconds=300)
        return self.now


def screens(folder: Path) -> Iterator[Screen]:
    """Name and desk of each, in the order of a day. A desk is to be drawn before the next one is asked for."""
    path = lay_demo(folder / "job", END)
    job = _job(path)
    yield "routes", RoutesDesk(folder)
    yield "start", computed(StartDesk(job))
    yield from _around(job)
    yield from _laying(folder)
    yield from _walk(path, read_truth(path))
    study = Study(_job(path), END + timedelta(days=1))
    yield "review route", computed(RouteDesk(study))
    station, chord = "S07", "L-K"
    yield "review chord", computed(ChordDesk(study, (station, chord)))
    yield "review station", computed(StationDesk(study, station))


def _job(path: Path) -> Job:
    route = load_route(path)
    return load_job(route, logs_folder(route))


def pressed(desk: Desk, keys: str) -> Desk:
    """The desk that stands there after these keys."""
    for sign in keys:
        desk.press("enter" if sign == "\n" else sign, None if sign == "\n" else sign)
        while desk.done and desk.next is not None:
            desk = desk.next
    return desk


def computed(desk: Desk) -> Desk:
    """A desk with what it has to compute computed."""
    work = desk.work() if isinstance(desk, Computes) else None
    if work is not None:
        work()
    return desk


def _around(job: Job) -> Iterator[Screen]:
    def back() -> Desk:
        return StartDesk(job)

    for name, words in (("due", "what has to be read"), ("instruments", "the instruments"), ("journal", "write into")):
        start = computed(StartDesk(job))
        assert isinstance(start, StartDesk)
        place = next(number for number, item in enumerate(start.menu.items, 1) if item.text.startswith(words))
        opened = pressed(start, f"{place}\n")
        yield name, opened
        if name == "journal":
            yield "journal question", pressed(opened, "1\n")
    helped = StartDesk(job)
    yield "help of a page", pressed(helped, "?")
    yield "tour", TourDesk(USUAL, back)


def _laying(folder: Path) -> Iterator[Screen]:
    yield "laying", lay_out(folder / "drift.toml", until="group0.layout")


def _walk(path: Path, truth: Truth) -> Iterator[Screen]:
    walk = Walk.begin(_job(path), clock=Ticking(END + timedelta(hours=12)))
    desk = WalkDesk(walk, _job(path))

    def on(until: Callable[[], bool]) -> None:
        while not until():
            step = walk.step
            draw_walk(desk, 200, 60)
            pressed(desk, ("" if step.kind in ("arrive", "result") else typed_at(truth, walk)) + "\n")

    yield "question", desk
    on(lambda: walk.step.what == "cautions")
    yield "cautions", desk
    on(lambda: walk.step.kind == "result")
    yield "frame", desk
    on(lambda: walk.step.kind == "arrive")
    yield "arrival", desk
    on(lambda: walk.step.what == "hole")
    pressed(desk, "35")
    yield "hole", desk
    pressed(desk, "\b\b")
    desk.to_step()
    on(lambda: walk.step.what == "dial_3")
    pressed(desk, "22.8")
    yield "dial", desk
    desk.to_step()
    on(lambda: walk.step.kind == "result")
    yield "result", desk
    yield "all actions", pressed(desk, "+")
    pressed(desk, "0\n*")
    yield "correcting", desk
    desk.to_step()
    pressed(desk, "/")
    yield "not read", desk
    pressed(desk, "0\n?")
    yield "help", desk
    pressed(desk, "0")
    on(lambda: walk.step.what == "hole" and walk.step.target is not None and walk.step.target.is_chord)
    pressed(desk, f"{int(typed_at(truth, walk)) + 1}\n")
    on(lambda: walk.step.kind == "result")
    yield "doubt", desk
    while desk.mode.menu is None:
        draw_walk(desk, 80, 24)
        pressed(desk, "\n")
    yield "what to do about it", desk
    desk.to_step()
    full = walk.writer.append

    def refused(*_: object) -> None:
        raise WriteFailed("The disk is full.")

    setattr(walk.writer, "append", refused)  # noqa: B010
    pressed(desk, "u")
    yield "not saved", desk
    setattr(walk.writer, "append", full)  # noqa: B010
    pressed(desk, "\n")
    pressed(desk, "e1\n")
    on(lambda: walk.step.kind == "end")
    yield "end", desk
    deeds.close(desk)
    yield "closed", desk
