"""The review in the application: computing is said and freezes nothing, keys typed meanwhile count."""

from __future__ import annotations

import asyncio
import threading
from pathlib import Path

import pytest
from review.conftest import NOW, shelf

from fieldtui.job import Job
from fieldtui.review.chord_page import COMPUTING, ChordDesk
from fieldtui.review.opening import OpeningDesk
from fieldtui.review.route_page import RouteDesk
from fieldtui.review.study import Study
from fieldtui.tui.app import FieldApp
from fieldtui.tui.desks import Desk, Elsewhere
from fieldtui.tui.due_page import DueDesk
from fieldtui.tui.lines import text_of
from fieldtui.tui.start import StartDesk, open_route
from fieldtui.tui.worked_out import WorkedOut
from harness.jobs import lay, with_past

DIGITS = {"\n": "enter"}


def shown(app: FieldApp, width: int = 80, height: int = 24) -> str:
    desk = app.desk
    return text_of(desk.draw(width, height)) if hasattr(desk, "draw") else ""


async def settle(app: FieldApp) -> None:
    await app.workers.wait_for_complete()


@pytest.fixture(scope="module")
def kept() -> Job:
    return shelf().job


async def test_from_the_opening_to_a_chord_and_out_by_the_number_pad_alone(kept: Job) -> None:
    app = FieldApp(OpeningDesk(kept, now=NOW))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app)
        assert isinstance(app.desk, RouteDesk)
        await pilot.press("1", "enter")
        await settle(app)
        assert isinstance(app.desk, ChordDesk)
        assert app.desk.key == ("A", "L-R")
        await pilot.press("4", "enter")
        assert "exponential" in shown(app)
        await pilot.resize_terminal(120, 40)
        await pilot.press("0", "enter", "0", "enter")
    assert app.return_code == 0


async def test_keys_typed_while_it_is_read_belong_to_the_page_that_follows(kept: Job) -> None:
    desk = OpeningDesk(kept, now=NOW)
    work = desk.work()
    assert work is not None
    assert desk.work() is None
    assert "Computing" in text_of(desk.draw(80, 24))
    for key in ("2", "enter", "3", "enter"):
        desk.press(key, key if len(key) == 1 else None)
    work()
    assert isinstance(desk.next, ChordDesk)
    assert (desk.next.key, desk.next.part) == (("A", "L-K"), "readings")


async def test_esc_while_it_is_read_leads_back_and_nothing_pulls_forward_again(kept: Job) -> None:
    desk = OpeningDesk(kept, lambda: StartDesk(kept), NOW)
    work = desk.work()
    desk.press("escape", None)
    assert isinstance(desk.next, StartDesk)
    assert work is not None
    work()
    assert isinstance(desk.next, StartDesk)


async def test_the_screen_says_that_it_computes_and_takes_keys_meanwhile(
    kept: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The laws' fit is held up: the page is drawn, other keys work, and the result comes by itself."""
    held, compute = threading.Event(), Study.compute

    def slow(self: Study, *arguments: object) -> None:
        held.wait(20)
        compute(self, *arguments)  # type: ignore[arg-type]

    monkeypatch.setattr(Study, "compute", slow)
    study = Study(kept, NOW)
    study.read()
    app = FieldApp(ChordDesk(study, ("A", "L-R"), "laws"))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert COMPUTING[:20] in shown(app)
        await pilot.press("3", "enter")
        assert "Closed surveys" in shown(app)
        await pilot.press("4", "enter")
        assert COMPUTING[:20] in shown(app)
        drawn = str(app.screen._compositor.render_strips())
        assert "Computing" in drawn
        held.set()
        await settle(app)
        await asyncio.sleep(0)
        assert "exponential" in shown(app)
        assert "exponential" in "".join(
            segment.text for strip in app.screen._compositor.render_strips() for segment in strip
        )


def start_desk(tmp_path: Path) -> StartDesk:
    from fieldtui.job import load_job, logs_folder
    from fieldtui.route import load_route

    route = load_route(with_past(lay(tmp_path)))
    return StartDesk(load_job(route, logs_folder(route)))


def number_of(desk: StartDesk, text: str) -> str:
    return str(next(place for place, item in enumerate(desk.menu.items, 1) if text in item.text))


async def test_opened_from_the_start_page_and_back_to_it(tmp_path: Path) -> None:
    start = start_desk(tmp_path)
    number = number_of(start, "look at what has moved")
    app = FieldApp(start, {"review": lambda job: OpeningDesk(job, lambda: open_route(job))})
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*number, "enter")
        await settle(app)
        assert isinstance(app.desk, RouteDesk)
        await pilot.press("0", "enter")
        await pilot.pause()
        assert isinstance(app.desk, StartDesk)


def test_the_start_page_says_what_is_due_and_shows_all_of_it_on_demand(tmp_path: Path) -> None:
    start = start_desk(tmp_path)
    assert any("to be read" in line.lower() or "has to be read" in line for line in start.about)
    start.press(number_of(start, "what has to be read"), number_of(start, "what has to be read"))
    start.press("enter", None)
    desk: Desk | None = start.next
    assert isinstance(desk, DueDesk)
    assert "what has to be read" in text_of(desk.draw(80, 24))
    desk.press("0", "0")
    assert isinstance(desk.next, StartDesk)


def test_what_is_due_comes_in_pages_where_it_is_long(study: Study) -> None:
    lines = [f"  S{place:02d} L-R  overdue by {place} h  (face within 1 width)" for place in range(40)]
    desk = DueDesk(study.job, WorkedOut(study.now, study.due, (), ()), lambda: StartDesk(study.job))
    desk.lines = lines
    first = text_of(desk.draw(80, 24))
    assert "page 1 of 2" in first
    assert "S00" in first
    assert "S39" not in first
    desk.press("enter", None)
    assert "S39" in text_of(desk.draw(80, 24))
    desk.press("enter", None)
    assert text_of(desk.draw(80, 24)) == first
    for size in ((10, 3), (60, 20), (200, 60)):
        assert len(desk.draw(*size)) == size[1]


def test_the_start_page_knows_the_review_by_name_only(tmp_path: Path) -> None:
    start = start_desk(tmp_path)
    start.press(number_of(start, "moved"), number_of(start, "moved"))
    start.press("enter", None)
    assert isinstance(start.next, Elsewhere)
    assert start.next.room == "review"
