"""A route text is checked once in a folder: a start with years behind does without the models that check it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from fieldtui.job import job_to_walk
from fieldtui.job.checked_routes import NAME
from fieldtui.route import Route, RouteRefused, checking
from harness.jobs import begin, book_calm, lay


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A job with one survey, begun once since."""
    path = lay(tmp_path)
    book_calm(begin(path))
    job_to_walk(path)
    return path


@pytest.fixture
def checks(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The texts that are checked from now on."""
    texts: list[str] = []
    right = checking.checked

    def noted(text: str, *rest: object) -> Route:
        texts.append(text)
        return right(text, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(checking, "checked", noted)
    return texts


def kept(path: Path) -> Path:
    return path.parent / "logs" / NAME


def test_a_text_that_was_checked_is_not_checked_again(path: Path, checks: list[str]) -> None:
    job = job_to_walk(path)
    assert checks == []
    assert job.route == checking.checked(path.read_text(), lambda _: "", path.name, path)
    assert [survey.route.path for survey in job.surveys] == [None]
    assert job.surveys[0].route.stations == job.route.stations
    assert job.questions() == ()


def test_a_text_that_differs_in_one_sign_is_checked(path: Path, checks: list[str]) -> None:
    path.write_text(path.read_text().replace("pitch = 25.0", "pitch = -25.0"))
    with pytest.raises(RouteRefused):
        job_to_walk(path)
    path.write_text(path.read_text().replace("pitch = -25.0", "pitch = 25.00"))
    checks.clear()
    assert str(job_to_walk(path).route.tapes[0].pitch) == "25.00"
    assert checks == [path.read_text()]
    job_to_walk(path)
    assert len(checks) == 1, "both the file's text and the one in the log are known now"


def test_a_table_that_has_changed_is_read_again(tmp_path: Path, checks: list[str]) -> None:
    path = lay(tmp_path)
    table = tmp_path / "t.csv"
    table.write_text("hole,distance\n" + "".join(f"{hole},{hole * 25}.00\n" for hole in range(1, 401)))
    path.write_text(path.read_text().replace("pitch = 25.0", 'pitch = 25.0\ncalibration = "t.csv"', 1))
    book_calm(begin(path))
    job_to_walk(path)
    checks.clear()
    assert str(job_to_walk(path).route.tapes[0].hole_distance(300)) == "7500.00"
    assert checks == []
    table.write_text(table.read_text().replace("7500.00", "7500.12"))
    assert str(job_to_walk(path).route.tapes[0].hole_distance(300)) == "7500.12"
    assert len(checks) == 1


def test_routes_of_another_version_are_checked(path: Path, checks: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fieldtui.job.kept.__version__", "0.0.0")
    job_to_walk(path)
    assert len(checks) > 0


def cut_short(content: bytes) -> bytes:
    return content[:-40]


def emptied(content: bytes) -> bytes:
    return content[:0]


def written_to(content: bytes) -> bytes:
    return content.replace(b"25.0", b"26.0")


@pytest.mark.parametrize("spoilt", [cut_short, emptied, written_to])
def test_what_does_not_prove_itself_is_as_good_as_gone(
    path: Path, checks: list[str], spoilt: Callable[[bytes], bytes]
) -> None:
    before = kept(path).read_bytes()
    kept(path).write_bytes(spoilt(before))
    assert kept(path).read_bytes() != before
    assert str(job_to_walk(path).route.tapes[0].pitch) == "25.0"
    assert len(checks) > 0


def test_a_text_that_is_no_route_is_passed_over(path: Path, checks: list[str]) -> None:
    told = json.loads(kept(path).read_bytes().split(b"\n")[1])
    told["routes"] = dict.fromkeys(told["routes"], '{"is":"Route"}')
    line = json.dumps(told).encode() + b"\n"
    kept(path).write_bytes(hashlib.sha256(line).hexdigest().encode() + b"\n" + line)
    assert len(job_to_walk(path).surveys) == 1
    assert len(checks) > 0


def test_nothing_is_written_where_no_folder_is(tmp_path: Path) -> None:
    path = lay(tmp_path)
    job_to_walk(path)
    assert not (tmp_path / "logs").exists()


def test_a_folder_that_cannot_be_written_is_read_all_the_same(
    path: Path, checks: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kept(path).unlink()

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    assert len(job_to_walk(path).surveys) == 1
    assert not kept(path).exists()
    assert len(checks) > 0
