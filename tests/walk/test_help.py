"""Help on every page, the tour of the demo, and the way back from each by the number pad."""

from __future__ import annotations

import importlib
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from textual.events import Paste

from fieldtui.job import Job, load_job, logs_folder
from fieldtui.job.due import due_of
from fieldtui.job.instrument import instruments_of
from fieldtui.route import load_route
from fieldtui.survey.actions import ACTIONS, USUAL
from fieldtui.tui.app import FieldApp
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.desks import Desk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.due_page import DueDesk
from fieldtui.tui.help_desk import PagesDesk
from fieldtui.tui.instrument_page import InstrumentDesk
from fieldtui.tui.journal import JournalDesk
from fieldtui.tui.leafing import LeafingDesk
from fieldtui.tui.lines import text_of
from fieldtui.tui.list_desk import ListDesk
from fieldtui.tui.start import RoutesDesk, StartDesk, drawing, open_route
from fieldtui.tui.tour import TourDesk, pages
from fieldtui.tui.worked_out import WorkedOut
from harness.jobs import answer_start, begin, lay, with_past

NOW = datetime(2031, 5, 4, 6, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Job:
    route = load_route(with_past(lay(tmp_path_factory.mktemp("job"))))
    return load_job(route, logs_folder(route))


def desks(job: Job) -> Iterator[ListDesk | LeafingDesk]:
    def back() -> Desk:
        return StartDesk(job)

    yield StartDesk(job)
    yield RoutesDesk(job.folder.parent)
    yield JournalDesk(job, lambda told: StartDesk(job, told))
    yield DueDesk(job, WorkedOut(NOW, due_of(job, NOW), (), ()), back)
    yield InstrumentDesk(job, instruments_of(job, NOW), back)


def shown(desk: Desk, size: tuple[int, int] = (80, 24)) -> str:
    return text_of(drawing(desk)(*size))


def subclasses(kind: type) -> Iterator[type]:
    for one in kind.__subclasses__():
        yield one
        yield from subclasses(one)


@pytest.mark.parametrize("kind", [ListDesk, LeafingDesk])
def test_every_page_says_what_it_is_for(kind: type) -> None:
    importlib.import_module("fieldtui.laying.opening")  # its pages are lists as well
    pages_of = [one for one in subclasses(kind) if one.__module__.startswith("fieldtui.")]
    assert pages_of
    for page in pages_of:
        assert len(page.purpose) > 40, page


@pytest.mark.parametrize("key", [("f1", None), ("question_mark", "?")])
def test_help_opens_over_every_page_and_leads_back_to_it(job: Job, key: tuple[str, str | None]) -> None:
    for desk in desks(job):
        before = shown(desk)
        desk.press(*key)
        opened = desk.next
        assert isinstance(opened, PagesDesk), desk
        words = " ".join(shown(opened).split())
        assert " ".join(desk.purpose.split()) in words
        assert "Keys" in words
        opened.press("0", "0")
        assert opened.next is desk
        assert not desk.done
        assert shown(desk) == before


def test_a_question_mark_within_a_text_is_a_text(job: Job) -> None:
    form = JournalDesk(job, lambda told: StartDesk(job, told))
    for key in str(len(form.menu.items)):  # a remark
        form.press(key, key)
    while not form.wide:
        form.press("enter", None)
        assert isinstance(form.next, ListDesk)
        form = form.next  # type: ignore[assignment]
    form.press("question_mark", "?")
    assert form.field.text == "?"
    form.press("f1", None)
    assert isinstance(form.next, PagesDesk)


def test_zero_leads_back_from_a_list_and_is_in_it(job: Job) -> None:
    desk = JournalDesk(job, lambda told: StartDesk(job, told))
    assert "0 back" in shown(desk)
    desk.press("0", "0")
    desk.press("enter", None)
    assert isinstance(desk.next, StartDesk)


def test_the_first_page_is_left_by_the_number_pad_as_there_is_nothing_to_go_back_to(job: Job) -> None:
    desk = StartDesk(job)
    assert "0 back" not in shown(desk)
    assert "0 leave" in shown(desk)
    desk.press("0", "0")
    desk.press("enter", None)
    assert desk.done
    assert desk.next is None


def test_a_figure_typed_over_the_help_of_the_walk_is_not_booked_without_its_first_digit(tmp_path: Path) -> None:
    walk = begin(lay(tmp_path))
    answer_start(walk)
    walk.book("")
    desk = WalkDesk(walk)
    booked = walk.state.entered
    for key in ("question_mark", "2", "5", "6", "enter", "plus"):
        desk.press(key, {"question_mark": "?", "plus": "+", "enter": None}.get(key, key))
    assert desk.mode.name == "help"
    assert walk.state.entered == booked
    desk.press("0", "0")
    assert desk.mode.name == "step"
    assert desk.field.empty


def at_arrival(folder: Path) -> WalkDesk:
    """At the first station, its clock standing still."""
    desk = WalkDesk(begin(lay(folder)))
    answer_start(desk.walk)
    desk.to_step()
    desk.ticks = lambda: 0.0
    return desk


def test_the_help_left_by_zero_and_enter_as_a_list_is_accepts_nothing(tmp_path: Path) -> None:
    desk = at_arrival(tmp_path)
    assert desk.step.kind == "arrive"
    for key in ("f1", "0", "enter"):
        desk.press(key, key if len(key) == 1 else None)
    assert (desk.mode.name, desk.step.kind) == ("step", "arrive")
    desk.press("enter", None)
    assert desk.step.kind == "figure", "one Enter belongs to the 0, the next one to the page"


def test_an_enter_long_after_the_zero_is_meant_for_the_page_that_is_seen(tmp_path: Path) -> None:
    desk = at_arrival(tmp_path)
    for key in ("f1", "0"):
        desk.press(key, key if len(key) == 1 else None)
    desk.ticks = lambda: 1.0
    desk.press("enter", None)
    assert desk.step.kind == "figure"


def test_an_enter_after_what_was_pasted_is_not_that_of_a_zero_before_it(tmp_path: Path) -> None:
    desk = WalkDesk(begin(lay(tmp_path)))
    desk.ticks = lambda: 0.0
    for key in ("f1", "0"):
        desk.press(key, key if len(key) == 1 else None)
    desk.paste("AB")
    desk.press("enter", None)
    assert desk.walk.state.answer("reader") == "AB"


async def test_a_number_pasted_after_the_help_was_left_is_chosen_by_enter(job: Job) -> None:
    app = FieldApp(StartDesk(job))
    async with app.run_test(size=(80, 24)) as pilot:
        start = app.desk
        await pilot.press("question_mark", "0")
        app.post_message(Paste("1"))
        await pilot.pause()
        await pilot.press("enter")
        assert app.desk is not start


async def test_zero_and_enter_close_the_help_of_the_start_page_and_begin_no_survey(job: Job) -> None:
    app = FieldApp(StartDesk(job))
    async with app.run_test(size=(80, 24)) as pilot:
        start = app.desk
        await pilot.press("question_mark")
        assert isinstance(app.desk, PagesDesk)
        await pilot.press("0", "enter")
        assert app.desk is start
        await pilot.press("question_mark", "escape", "enter")
        assert app.desk is not start, "Esc has no Enter behind it"


def test_the_point_of_the_number_pad_opens_the_help_of_a_list_and_stays_a_point_in_a_text(job: Job) -> None:
    desk = JournalDesk(job, lambda told: StartDesk(job, told))
    assert "point: help" in shown(desk)
    desk.press("full_stop", ".")
    assert isinstance(desk.next, PagesDesk)
    form: ListDesk = JournalDesk(job, lambda told: StartDesk(job, told))
    for key in (*str(len(form.menu.items)), "enter"):  # a remark
        form.press(key, key if len(key) == 1 else None)
    assert isinstance(form.next, ListDesk)
    form = form.next
    form.press("full_stop", ".")
    assert form.field.text == "."


def test_the_walk_is_left_by_f10_from_its_help_too(tmp_path: Path) -> None:
    desk = WalkDesk(begin(lay(tmp_path)))
    desk.press("f1", None)
    desk.press("f10", None)
    assert desk.done


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
def test_the_help_of_the_walk_tells_of_the_prompt_at_hand_and_of_every_key(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    desk = WalkDesk(begin(lay(tmp_path)))
    desk.press("f1", None)
    seen = ""
    for _ in range(8):
        seen += text_of(draw_walk(desk, *size)) + "\n"
        desk.press("enter", None)
    assert "A question about the whole survey" in seen
    for action in ACTIONS:
        assert action.keys in seen
    desk.press("0", "0")
    answer_start(desk.walk)
    desk.to_step()
    desk.press("f1", None)
    assert "A station is reached" in text_of(draw_walk(desk, *size))


@pytest.fixture
def demo_like(job: Job, tmp_path: Path) -> Job:
    assert job.route.path is not None
    shutil.copytree(job.route.path.parent, tmp_path / "demo")
    (tmp_path / "demo" / "scenario.toml").write_text("")
    route = load_route(tmp_path / "demo" / job.route.path.name)
    return load_job(route, logs_folder(route))


def test_the_tour_is_offered_beside_the_demo_and_nowhere_else(job: Job, demo_like: Job) -> None:
    assert "a tour of the walk" not in shown(StartDesk(job))
    start = StartDesk(demo_like)
    assert "a tour of the walk" in shown(start)
    start.press(*[str(len(start.menu.items))] * 2)
    start.press("enter", None)
    assert isinstance(start.next, TourDesk)


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
def test_the_tour_fits_and_ends_at_the_surveys(demo_like: Job, size: tuple[int, int]) -> None:
    tour = TourDesk(USUAL, lambda: open_route(demo_like))
    for title, sentences in pages(USUAL):
        page = " ".join(shown(tour, size).split())
        assert title in page
        for sentence in sentences:
            assert sentence in page
        assert not tour.done
        tour.press("enter", None)
    assert isinstance(tour.next, StartDesk)


@pytest.mark.parametrize("key", [("escape", None), ("0", "0"), ("x", "x")])
def test_one_key_skips_the_tour(demo_like: Job, key: tuple[str, str | None]) -> None:
    tour = TourDesk(USUAL, lambda: open_route(demo_like))
    tour.press(*key)
    assert isinstance(tour.next, StartDesk)


def test_f10_leaves_from_a_page_that_is_only_read_as_from_every_other(job: Job) -> None:
    for desk in desks(job):
        desk.press("f10", None)
        assert (desk.done, desk.next) == (True, None), desk


def test_a_number_that_is_not_in_the_list_is_told_which_are(job: Job) -> None:
    first, journal = StartDesk(job), JournalDesk(job, lambda told: StartDesk(job, told))
    for desk, begins in ((first, 0), (journal, 0)):
        for key in ("9", "9", "enter"):
            desk.press(key, key if len(key) == 1 else None)
        assert f"Type a number from {begins} to" in desk.message
