"""Laying the demo: a folder that was not there, the same bytes for the same seed and end, nothing half done."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from fieldtui.demo import lay, lay_demo, open_or_lay_demo
from fieldtui.errors import FieldError
from fieldtui.job import Job
from fieldtui.log import WriteFailed
from fieldtui.route import load_route
from fieldtui.route.advice import advice


def contents(folder: Path) -> dict[str, bytes]:
    """What was laid out; the index of the logs comes and goes with whoever opens the job."""
    laid = (path for path in folder.rglob("*") if path.is_file() and path.name != ".index")
    return {str(path.relative_to(folder)): path.read_bytes() for path in laid}


def test_the_same_seed_and_end_give_the_same_bytes(tmp_path: Path, laid: Path, end: datetime) -> None:
    again = lay_demo(tmp_path / "other name", end)
    assert contents(again.parent) == contents(laid.parent)


@pytest.mark.parametrize(("seed", "later"), [(2, 0), (1, 86_400)])
def test_another_seed_or_end_gives_another_story(
    tmp_path: Path, laid: Path, end: datetime, seed: int, later: int
) -> None:
    other = lay_demo(tmp_path / "demo", end + timedelta(seconds=later), seed)
    assert not set(contents(other.parent / "logs")) & set(contents(laid.parent / "logs"))


def test_it_is_said_to_be_invented_in_every_file_and_name(laid: Path) -> None:
    for name in ("demo.toml", "scenario.toml", "today.txt"):
        assert "INVENTED" in (laid.parent / name).read_text(encoding="utf-8").splitlines()[0]
    assert "(invented)" in load_route(laid).name


def test_the_route_deserves_no_advice_but_that_its_crowns_want_a_platform(laid: Path, end: datetime) -> None:
    problems = advice(load_route(laid), today=date(end.year, end.month, end.day))
    assert problems
    assert all("platform" in problem.todo for problem in problems)


def test_the_job_loads_whole(job: Job) -> None:
    assert 50 <= len(job.surveys) <= 70
    assert job.problems == ()
    assert not job.logs.missing
    assert not job.logs.forks
    assert not job.logs.empty
    assert [survey.state.unknown for survey in job.surveys] == [0] * len(job.surveys)


def test_every_log_names_the_one_before_it(job: Job) -> None:
    logs = [survey.logs[0] for survey in job.surveys]
    for before, after in pairwise(logs):
        assert [head["log"] for head in after.after] == [before.id]


def test_nobody_in_particular_wrote_it(job: Job) -> None:
    heads = [survey.logs[0].head for survey in job.surveys]
    assert {(head["machine"], head["user"], head["pid"], head["boot"]) for head in heads} == {("demo", "demo", 0, "")}


def test_a_folder_that_is_there_is_refused_and_left_alone(tmp_path: Path, end: datetime) -> None:
    there = tmp_path / "demo"
    there.mkdir()
    (there / "mine.txt").write_text("keep", encoding="utf-8")
    with pytest.raises(FieldError, match="there already"):
        lay_demo(there, end)
    assert contents(tmp_path) == {"demo/mine.txt": b"keep"}


def test_an_empty_folder_a_file_and_a_dangling_link_are_refused_too(tmp_path: Path, end: datetime) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "file").touch()
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    for name in ("empty", "file", "link"):
        with pytest.raises(FieldError, match="there already"):
            lay_demo(tmp_path / name, end)
    assert not (tmp_path / "nowhere").exists()


def test_nothing_is_left_where_laying_fails(tmp_path: Path, end: datetime, monkeypatch: pytest.MonkeyPatch) -> None:
    written = iter(range(5))

    def fails_later(*_: object) -> dict[str, object]:
        if next(written, None) is None:
            raise WriteFailed("The disk is full.")
        return {"log": "0", "seq": 0, "h": "0"}

    monkeypatch.setattr(lay, "_write", fails_later)
    with pytest.raises(WriteFailed):
        lay_demo(tmp_path / "demo", end)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_made_is_told_in_words(tmp_path: Path, end: datetime) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(FieldError, match="cannot be laid here"):
        lay_demo(tmp_path / "file" / "demo", end)


def test_an_end_without_a_time_zone_is_a_mistake_of_the_program(tmp_path: Path, end: datetime) -> None:
    with pytest.raises(ValueError, match="time zone"):
        lay_demo(tmp_path / "demo", end.replace(tzinfo=None))


def test_a_demo_that_is_there_is_opened_as_it_is(laid: Path, end: datetime) -> None:
    before = contents(laid.parent)
    path, told = open_or_lay_demo(laid.parent, end + timedelta(days=3))
    assert path == laid
    assert "invented" in told
    assert contents(laid.parent) == before


def test_another_folder_is_not_taken_for_a_demo(tmp_path: Path, end: datetime) -> None:
    (tmp_path / "demo.toml").touch()
    with pytest.raises(FieldError, match="there already"):
        open_or_lay_demo(tmp_path, end)


@pytest.mark.parametrize("edit", [b"[[[", b"\xff", b"[[stage]]\nfrom = 1\n", b"[[crew]]\nwho = 1\n"])
def test_a_scenario_that_was_spoilt_by_hand_is_told_in_words(
    tmp_path: Path, laid: Path, end: datetime, edit: bytes
) -> None:
    (tmp_path / "demo.toml").write_bytes(laid.read_bytes())
    (tmp_path / "scenario.toml").write_bytes(laid.with_name("scenario.toml").read_bytes() + edit)
    with pytest.raises(FieldError, match="Lay the demo anew"):
        open_or_lay_demo(tmp_path, end)


def test_a_route_beside_a_scenario_that_was_never_laid_is_not_a_demo(tmp_path: Path, laid: Path, end: datetime) -> None:
    (tmp_path / "demo.toml").write_bytes(laid.read_bytes())
    story = (laid.parent / "scenario.toml").read_text(encoding="utf-8")
    (tmp_path / "scenario.toml").write_text(story.split("[made]")[0], encoding="utf-8")
    with pytest.raises(FieldError, match="seed and end"):
        open_or_lay_demo(tmp_path, end)
