"""A line that cannot be read is told as every mistake is: what, where, what to do; never the library's words."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from fieldtui import arguments, cli
from fieldtui.cli import main
from harness.jobs import lay, with_past

CASES = {
    "wlak": "fieldtui: There is no command “wlak”. Is it `fieldtui walk`? What it takes is told by: fieldtui --help",
    "dig": "fieldtui: There is no command “dig”. What it takes is told by: fieldtui --help",
    "--loud": "fieldtui: It does not take: --loud. ",
    "walk": "fieldtui walk: ROUTE is missing. What it takes is told by: fieldtui walk --help",
    "walk here.toml --loud": "fieldtui walk: It does not take: --loud. ",
    "walk here.toml --plain=3": "fieldtui walk: --plain takes no value, and here it has “3”. ",
    "export here.toml --to doc": "fieldtui export: --to does not take “doc”; it takes csv, xlsx, ags, parquet. ",
    "export here.toml --to": "fieldtui export: --to is without its value. ",
    "report here.toml --since 1 --survey 2": "fieldtui report: --survey does not go with --since. ",
    "report here.toml --s 1": "fieldtui report: --s may be --survey, --since, --status. ",
    "verify": "fieldtui verify: LOG is missing. ",
}


@pytest.mark.parametrize("line", CASES)
def test_what_cannot_be_read_is_told_in_one_line(line: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(line.split()) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith(CASES[line])
    assert told.err.count("\n") == 1


@pytest.mark.parametrize("line", ["--help", "walk --help", "--version"])
def test_help_and_version_are_no_mistake(line: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(line.split())
    assert left.value.code == 0
    assert "fieldtui" in capsys.readouterr().out


def test_every_command_that_can_be_typed_is_one_that_is_called() -> None:
    assert {None, *arguments._parser(arguments._EVERY)[1].choices} == set(cli._RUN)


def test_a_command_that_is_made_without_the_others_is_the_same() -> None:
    every = arguments._parser(arguments._EVERY)[1].choices
    for make, names in arguments._MAKERS:
        alone = arguments._parser([make])[1].choices
        assert tuple(alone) == names
        for name, command in alone.items():
            assert command.format_help() == every[name].format_help()
    assert arguments.asked(["walk", "heading.toml"]).route == Path("heading.toml")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
def test_output_that_finds_no_room_is_told_in_words() -> None:
    with Path("/dev/full").open("w") as full:
        run = subprocess.run(
            [sys.executable, "-m", "fieldtui"],
            stdin=subprocess.DEVNULL,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert run.returncode == 2
    assert run.stderr == "Reading or writing failed: No space left on device. Look at where the output goes.\n"


def test_what_is_told_goes_through_a_pipe_that_knows_few_signs() -> None:
    run = subprocess.run(
        [sys.executable, "-m", "fieldtui", "wlak"],
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
        capture_output=True,
        check=False,
    )
    assert run.returncode == 2
    assert "There is no command “wlak”" in run.stderr.decode("utf-8")


@pytest.mark.parametrize("command", ["check", "history", "verify", "gather"])
def test_a_name_in_an_error_does_not_act_on_the_terminal(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([command, "a\x1b[2Jb.toml"]) == 2
    told = capsys.readouterr()
    assert "\x1b" not in told.out + told.err
    assert "a·[2Jb.toml" in told.out + told.err


@pytest.mark.parametrize("command", [["history"], ["history", "--json"], ["due"], ["due", "--json"]])
def test_what_the_logs_lack_is_said_beside_the_answer(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: list[str]
) -> None:
    path = with_past(lay(tmp_path), surveys=3)
    main([command[0], str(path), *command[1:]])
    assert capsys.readouterr().err == ""
    sorted((path.parent / "logs").glob("*.jsonl"))[0].unlink()
    assert main([command[0], str(path), *command[1:]]) == 1
    assert "The log is not here." in capsys.readouterr().err


def test_a_folder_of_logs_that_is_not_there_is_no_empty_history(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = lay(tmp_path)
    assert main(["history", str(path)]) == 0
    told = capsys.readouterr()
    assert told.out == "Nothing was read.\n"
    assert f"There is no folder of logs {tmp_path / 'logs'}" in told.err


@pytest.mark.parametrize("line", [["export", "--to", "xlsx"], ["report"], ["sheet"]])
def test_a_bare_dash_is_refused_as_the_name_of_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], line: list[str]
) -> None:
    path = lay(tmp_path)
    monkeypatch.chdir(tmp_path)
    assert main([line[0], str(path), *line[1:], "--out", "-"]) == 2
    assert "--out: “-” is no name of a file" in capsys.readouterr().err
    assert sorted(tmp_path.iterdir()) == [path]
