"""Files that cannot be read, and texts that are not TOML: one sentence, with the line where there is one."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from fieldtui.route import Problem, RouteRefused, load_route


def refused(path: Path) -> Problem:
    with pytest.raises(RouteRefused) as caught:
        load_route(path)
    (problem,) = caught.value.problems
    assert "Traceback" not in str(caught.value)
    return problem


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    problem = refused(tmp_path / "road.toml")
    assert problem.what == f'there is no file "road.toml" in {tmp_path}'
    assert problem.line == 0
    assert problem.todo


def test_a_folder_names_the_route_files_in_it(tmp_path: Path) -> None:
    (tmp_path / "road.toml").write_text("")
    problem = refused(tmp_path)
    assert "is a folder" in problem.what
    assert "road.toml" in problem.todo


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def denied(path: Path) -> bytes:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "read_bytes", denied)
    assert "may not be read" in refused(tmp_path / "road.toml").what


def test_a_disk_that_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(path: Path) -> bytes:
        raise OSError(5, "Input/output error", str(path))

    monkeypatch.setattr(Path, "read_bytes", broken)
    assert "cannot be read (Input/output error)" in refused(tmp_path / "road.toml").what


def test_a_name_that_no_disk_can_have() -> None:
    assert "cannot be read" in refused(Path("road\0.toml")).what


def test_bytes_that_are_not_utf8_are_told_with_their_line(tmp_path: Path, sound: str) -> None:
    (tmp_path / "road.toml").write_bytes(sound.encode().replace(b"Invented drift", b"Stra\xdfe"))
    problem = refused(tmp_path / "road.toml")
    assert problem.line == 3
    assert "UTF-8" in problem.what
    (tmp_path / "road.toml").write_bytes(b"\xdf\n")
    assert refused(tmp_path / "road.toml").line == 1


def test_a_table_that_is_not_utf8_is_told_with_its_own_line(tmp_path: Path, sound: str) -> None:
    (tmp_path / "road.toml").write_text(sound.replace("holes = 400", 'holes = 400\ncalibration = "t.csv"'))
    (tmp_path / "t.csv").write_bytes(b"hole,distance\n1,25.0\n\xdf,50.0\n")
    problem = refused(tmp_path / "road.toml")
    assert (problem.file, problem.line, problem.key) == ("t.csv", 3, "")


def test_utf16_is_named(tmp_path: Path, sound: str) -> None:
    (tmp_path / "road.toml").write_bytes(sound.encode("utf-16"))
    problem = refused(tmp_path / "road.toml")
    assert (problem.line, problem.what) == (1, '"road.toml" is saved as UTF-16')


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("pitch = 25.0", "pitch = 25,0  #!", "comma"),
        ("pitch = 25.0", "pitch 25.0  #!", "equals sign"),
        ("pitch = 25.0", "pitch =  #!", "value that cannot be read"),
        ('serial = "T-1"', 'serial = "T-1  #!', "not closed|not allowed"),
        ('serial = "T-1"', "serial = T-1  #!", "value that cannot be read"),
        ("pitch = 25.0", "pitch = 25.0\npitch = 24.0  #!", "given before"),
        ("[stability]", "[stability]\n[stability]  #!", "opened before"),
        ("[[tape]]", "[[tape]  #!", "not closed"),
        ("pitch = 25.0", "pitch = 25.0 holes = 3  #!", "goes on"),
        ("[[tape]]", "tape: #!", "equals sign"),
        ("[[tape]]", "= #!", "cannot be read"),
        ("[[tape]]", "[=] #!", "begins with a sign"),
        ('name = "north"', 'name = "a\\q" #!', "begins nothing known"),
        ("chainage = 10.0", "chainage = 1e #!", "goes on|cannot be read"),
        ("hole = 0.03", "hole.x.y = 1\nhole = 0.03 #!", "given before"),
        ("[[face]]", "[uncertainty.temperature] #!", "given before|opened before"),
        ("[stability]", "[[stability]]\n[stability] #!", "opened before"),
        ("every_hours = 24", "every_hours = 24\na = {b = 1}\na.c = 2 #!", "given before|already closed"),
    ],
)
def test_a_slip_of_syntax_is_told_with_its_line(
    sound: str, problems_of: Callable[..., tuple[Problem, ...]], old: str, new: str, words: str
) -> None:
    text = sound.replace(old, new, 1)
    (problem,) = problems_of(text)
    line = next(number for number, one in enumerate(text.split("\n"), 1) if "#!" in one)
    assert any(word in problem.what for word in words.split("|")), problem
    assert problem.line == line
    assert problem.todo


def test_a_list_left_open_is_told_at_the_end(problems_of: Callable[..., tuple[Problem, ...]]) -> None:
    (problem,) = problems_of("format = 1\nstation = [\n{},\n\n\n")
    assert (problem.line, problem.what) == (3, "ends in the middle of a value")


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 5000,
        "a = " + "9" * 5000,
        "a = " + "[" * 300 + "]" * 300,
        "a = " + "[" * 480 + "]" * 480,
        "a = " + "{b=" * 3000,
        "\0",
        "a = 1\r",
    ],
)
def test_text_beyond_all_measure_is_refused_in_words(
    text: str, problems_of: Callable[..., tuple[Problem, ...]]
) -> None:
    assert problems_of(text)


def test_a_path_without_a_name_is_still_named() -> None:
    assert refused(Path()).file == "."


@pytest.mark.parametrize(
    ("given", "todo"), [("2", "newer version"), ("0", "format = 1"), ("99999999999999999999", "newer version")]
)
def test_another_format_is_told_alone(
    sound: str, problems_of: Callable[..., tuple[Problem, ...]], given: str, todo: str
) -> None:
    text = sound.replace("format = 1", f"format = {given}").replace("pitch = 25.0", "slope = 3")
    (problem,) = problems_of(text)
    assert (problem.line, problem.key) == (2, "format")
    assert todo in problem.todo


def test_a_file_that_is_far_too_large_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "road.toml"
    with path.open("wb") as file:
        file.truncate(5_000_000)
    with pytest.raises(RouteRefused) as refused:
        load_route(path)
    assert "too large" in refused.value.problems[0].what
