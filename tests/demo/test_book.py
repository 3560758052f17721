"""`fieldtui demo` without a terminal: the broken-off survey is taken up, booked to its end, closed, summed up."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from fieldtui.demo import book_one
from fieldtui.demo.book import typed_at
from fieldtui.demo.truth import Truth
from fieldtui.errors import FieldError
from fieldtui.job import Job, Walk, load_job, logs_folder
from fieldtui.log import code_fits
from fieldtui.route import load_route
from fieldtui.survey import next_step


@pytest.fixture
def own(laid: Path, tmp_path: Path) -> Path:
    """A copy of the demo that may be written to."""
    shutil.copytree(laid.parent, tmp_path / "own")
    return tmp_path / "own" / laid.name


@pytest.fixture(scope="module")
def told(laid: Path, tmp_path_factory: pytest.TempPathFactory, end: datetime) -> str:
    """The summary of today's survey, booked at the demo's end."""
    folder = tmp_path_factory.mktemp("told") / "own"
    shutil.copytree(laid.parent, folder)
    return book_one(folder / laid.name, lambda: end)


def loaded(path: Path) -> Job:
    route = load_route(path)
    return load_job(route, logs_folder(route))


def ticking(start: datetime) -> Iterator[datetime]:
    while True:
        start += timedelta(seconds=20)
        yield start


def test_one_survey_waits_in_the_middle_of_a_chord(job: Job, truth: Truth) -> None:
    (waiting,) = job.unclosed
    step = next_step(waiting.route, waiting.state)
    assert (step.kind, step.what) == ("figure", "dial_2")
    assert step.target is not None
    assert step.target.key == (truth.scenario.interrupted.station, truth.scenario.interrupted.chord)


def test_the_survey_is_resumed_there_booked_and_closed(own: Path, end: datetime) -> None:
    clock = ticking(end)
    told = book_one(own, lambda: next(clock))
    assert told.startswith("Resumed at: S07 L-K: dial 2")
    job = loaded(own)
    assert job.unclosed == ()
    assert job.problems == ()
    last = job.surveys[-1].logs[0].records[-1]
    assert last.kind == "closed"
    assert last.data["missing"] == []
    assert "Every planned chord was dealt with." in told
    code = told.split("Code for the field book: ")[1].split("\n")[0]
    assert code_fits(code, last.h)
    assert str(job.surveys[-1].logs[0].path) in told


def test_every_chord_has_its_line(told: str, truth: Truth) -> None:
    lines = told.splitlines()
    for station, chord in truth.route.walk():
        (line,) = [one for one in lines if one.startswith(f"{station.name:<8}{chord.name:<8}")]
        assert line.count("±") == 3


def test_what_cannot_be_told_from_a_level_is_told_with_response_and_people(told: str, truth: Truth) -> None:
    level = truth.route.levels[0]
    assert f"CANNOT TELL: S08 L-R, level {level.name} (closing {level.closing} mm)" in told
    assert level.response in told
    assert ", ".join(level.tell) in told
    assert told.count("CANNOT TELL") + told.count("ABOVE") == 1


def test_a_level_that_is_passed_is_above(own: Path, end: datetime) -> None:
    told = book_one(own, lambda: end + timedelta(days=6))
    assert "ABOVE: S08 L-R, level notice" in told


def test_nothing_in_the_summary_calls_the_ground_safe(told: str) -> None:
    assert "safe" not in told.lower()


def test_a_second_call_begins_a_new_survey(own: Path, end: datetime) -> None:
    book_one(own, lambda: end)
    told = book_one(own, lambda: end + timedelta(days=2))
    assert told.startswith("A new survey was begun.")
    assert loaded(own).surveys[-1].label == "2025-06-20"


def test_a_reading_taken_up_days_later_goes_on_with_the_figures_it_was_begun_with(own: Path, end: datetime) -> None:
    job = loaded(own)
    later = end + timedelta(days=9)
    book_one(own, lambda: later)
    booking = next(
        one for target, one in loaded(own).surveys[-1].state.bookings.items() if target.key == ("S07", "L-K")
    )
    page = next(line for line in (own.parent / "today.txt").read_text().splitlines() if line.startswith("S07      L-K"))
    assert [entry.typed for entry in booking.slots.values()] == page.split()[2:]
    assert job.unclosed[0].id == loaded(own).surveys[-1].id


def test_the_page_of_figures_is_what_today_is_booked_from(own: Path, truth: Truth, end: datetime) -> None:
    """Typed at the prompts from the page, the survey comes to its end."""
    page = {tuple(line.split()[:2]): line.split()[2:] for line in (own.parent / "today.txt").read_text().splitlines()}
    job = loaded(own)
    walk = Walk.resume(job, job.unclosed[0], clock=lambda: end)
    while walk.step.kind != "end":
        step = walk.step
        if step.kind == "figure" and step.target is not None:
            place = step.target.key if step.target.is_chord else (step.target.chord, step.target.part)
            typed = page[place][-1 if step.what == "temperature" else list_place(step.what)]
            assert typed == typed_at(truth, walk)
            walk.book(typed)
        else:
            walk.book("")
    walk.leave()


def list_place(slot: str) -> int:
    return 0 if slot in ("hole", "zero") else int(slot.removeprefix("dial_"))


def test_a_folder_without_a_demo_is_told(tmp_path: Path) -> None:
    with pytest.raises(FieldError, match="not a demo job"):
        book_one(tmp_path / "demo.toml")
