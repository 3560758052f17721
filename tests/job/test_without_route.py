"""A route file that cannot be walked, or a log whose route is refused now: what is there can still be finished."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from fieldtui.errors import FieldError
from fieldtui.job import Walk, job_without_route, load_job, logs_folder
from fieldtui.log import index
from fieldtui.route import RouteRefused, load_route
from harness.jobs import Ticking, answer_start, begin, book_calm, book_chord, lay
from harness.shelf import Read, Shelf, route_with


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A survey open at its second chord, and a route file that has been spoilt since."""
    path = lay(tmp_path)
    book_calm(begin(path))
    walk = begin(path)
    answer_start(walk)
    book_chord(walk, "320", "12.30", "12.32", "12.31")
    walk.leave()
    path.write_text(path.read_text().replace("pitch = 25.0", "pitch = -1\nholes_made_by = 3"))
    return path


def refusal(path: Path) -> RouteRefused:
    with pytest.raises(RouteRefused) as refused:
        load_route(path)
    return refused.value


def test_an_open_survey_goes_on_with_the_route_that_its_log_holds(path: Path):
    job = job_without_route(path.parent / "logs", refusal(path))
    assert job is not None
    assert not job.may_begin
    assert len(job.surveys) == 2
    walk = Walk.resume(job, job.unclosed[0])
    assert walk.step.what == "hole"
    book_chord(walk, "240", "12.30", "12.32", "12.31")
    walk.leave()


def noting(reading: Callable[..., Any], read: set[str]) -> Callable[..., Any]:
    """The same reading of a log, which notes its name."""

    def noted(path: Path, *calls: object, **named: object) -> Any:
        read.add(path.name)
        return reading(path, *calls, **named)

    return noted


def test_closed_surveys_are_not_read_again_for_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    path = lay(tmp_path)
    clock = Ticking()  # one for all, so that no two are begun in the same second
    for _ in range(4):
        book_calm(begin(path, clock))
    walk = begin(path, clock)
    answer_start(walk)
    walk.leave()
    folder = path.parent / "logs"
    # else what was written in the last two seconds is read again, whatever the index says
    monkeypatch.setattr(index, "RACY_NS", 0)
    first = job_without_route(folder)
    read: set[str] = set()
    for name in ("read_log", "content_and_lock"):
        monkeypatch.setattr(index, name, noting(getattr(index, name), read))
    again = job_without_route(folder)
    assert first is not None
    assert again is not None
    assert [survey.label for survey in again.surveys] == [survey.label for survey in first.surveys]
    # the open one, and one of the closed for the route that all of them hold
    assert len(read) == 2


def test_what_is_wrong_with_the_file_is_told_first(path: Path):
    refused = refusal(path)
    job = job_without_route(path.parent / "logs", refused)
    assert job is not None
    assert job.problems[: len(refused.problems)] == tuple(str(problem) for problem in refused.problems)
    assert "Only what is open can be resumed or closed" in job.problems[len(refused.problems)]


def test_of_many_mistakes_the_first_are_told(path: Path):
    text = "\n".join(f"wrong_{number} = 1" for number in range(20))
    path.write_text(f"{text}\n{path.read_text()}")
    job = job_without_route(path.parent / "logs", refusal(path))
    assert job is not None
    assert "wrong_0" in job.problems[0]
    assert "and 19 more" in job.problems[3]


def test_no_survey_is_begun_with_it(path: Path):
    job = job_without_route(path.parent / "logs", refusal(path))
    assert job is not None
    with pytest.raises(FieldError, match="A new survey needs the route file"):
        Walk.begin(job)
    assert len(list((path.parent / "logs").glob("*.jsonl"))) == 2


def test_with_nothing_open_there_is_nothing_to_go_on_with(tmp_path: Path):
    path = lay(tmp_path)
    assert job_without_route(path.parent / "logs") is None
    book_calm(begin(path))
    assert job_without_route(path.parent / "logs") is None


def test_the_program_resumes_or_closes_and_nothing_else(path: Path):
    command = [sys.executable, "-m", "fieldtui", "walk", "--plain", str(path)]
    done = subprocess.run(command, input="3\n1\n240\n", capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "! heading.toml" in done.stdout
    assert "start a new survey" not in done.stdout
    assert "is not in the list" in done.stdout
    assert "A L-K: hole" in done.stdout


def test_the_program_says_what_is_wrong_where_nothing_is_open(tmp_path: Path):
    path = lay(tmp_path)
    path.write_text(path.read_text().replace("pitch = 25.0", "pitch = -1"))
    command = [sys.executable, "-m", "fieldtui", "walk", "--plain", str(path)]
    done = subprocess.run(command, input="", capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert "pitch" in done.stderr


def test_a_survey_whose_route_is_refused_now_is_left_out_and_told():
    shelf = Shelf(route_with())
    shelf.survey(0, Read("L-R", "8000"), label="old", route=replace(route_with(), text="format = 1\n"))
    shelf.survey(1, Read("L-R", "8000"), label="new")
    job = shelf.job
    assert [survey.label for survey in job.surveys] == ["new"]
    assert len(job.history()) == 1
    (problem,) = job.problems
    assert problem.startswith("old.jsonl: survey old is left out: the route in it is refused: ")


def test_a_route_read_from_its_file_may_be_begun(tmp_path: Path):
    path = lay(tmp_path)
    route = load_route(path)
    assert load_job(route, logs_folder(route)).may_begin
