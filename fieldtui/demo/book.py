"""Today's survey of the demo booked to its end without anybody at the keyboard, through the door the screen uses.

Walk.step ──► what the invented ground shows ──► Walk.book …  ──► closed ──► a summary in plain lines
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from fieldtui.demo.generate import answers, gauge_of
from fieldtui.demo.lay import read_truth
from fieldtui.demo.plan import Planned, installed
from fieldtui.demo.sight import Gauge, Sight
from fieldtui.demo.summary import summary
from fieldtui.demo.truth import Truth
from fieldtui.errors import FieldError
from fieldtui.job import Walk, accept, doubt, load_job, logs_folder, parting, system_clock
from fieldtui.job.walk import Clock
from fieldtui.route import load_route
from fieldtui.survey import Target
from fieldtui.survey.words import prompt


def book_one(route_path: Path, clock: Clock = system_clock) -> str:
    """Book the demo's broken-off survey, or a new one if there is none, close it, and say what came of it.

    `FieldError` where the folder is no demo job, or its log cannot be written.
    """
    truth = read_truth(route_path)
    route = load_route(route_path)
    job = load_job(route, logs_folder(route))
    waiting = job.unclosed[0] if job.unclosed else None
    walk = Walk.begin(job, clock=clock) if waiting is None else Walk.resume(job, waiting, clock=clock)
    began = "A new survey was begun." if waiting is None else f"Resumed at: {prompt(walk.route, walk.step)}"
    try:
        while walk.step.kind != "end":
            _book(truth, walk)
        told = summary(walk)
        walk.close()
    finally:
        walk.leave()
    return "\n".join((began, "", *told, "", parting(walk), f"Route: {route_path}"))


def typed_at(truth: Truth, walk: Walk) -> str:
    """What somebody in the demo's tunnel would type at the present prompt."""
    step = walk.step
    if step.kind == "say":
        return dict(answers(truth, walk.route, _today(truth, walk), walk.clock()))[step.what]
    if step.kind != "figure" or step.target is None:
        return ""
    gauge = _gauge(truth, walk)
    if step.target.is_zero:
        return gauge.zero(step.target)
    return _sight(gauge, step.target, _first_read(walk, step.target)).typed(step.what)


def _book(truth: Truth, walk: Walk) -> None:
    step = walk.step
    if step.kind == "closed":
        raise FieldError("This survey is closed already.", todo="Begin a new one.")
    if step.kind == "result":
        doubted = doubt(walk) is not None
        accept(walk, outcome="kept" if doubted else "read", reason="nobody was at the tape" if doubted else "")
    else:
        walk.book(typed_at(truth, walk))


def _today(truth: Truth, walk: Walk) -> Planned:
    """A survey of today: the tape in use at the end of the story, every station there."""
    stations = installed(truth.scenario, 0.0)
    return Planned(0, walk.label, walk.clock(), truth.scenario.tapes[-1].serial, stations, truth.scenario.crews[0])


def _gauge(truth: Truth, walk: Walk) -> Gauge:
    return gauge_of(truth, walk.route, walk.label, walk.state.answer("tape") or "")


def _first_read(walk: Walk, target: Target) -> datetime:
    """When the booking was begun: a reading taken up again goes on with the length it was begun at."""
    booking = walk.state.bookings.get(target)
    first = booking.slots.get("hole") if booking is not None else None
    return first.read_at if first is not None else walk.clock()


def _sight(gauge: Gauge, target: Target, at: datetime) -> Sight:
    return gauge.frame(target, at) if target.is_frame else gauge.chord(target, at)
