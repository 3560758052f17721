"""`verify` and `gather` on real surveys: what they say, and with which exit status."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from fieldtui.cli import main
from fieldtui.custody.figures import compare_figures
from fieldtui.job import Walk, declare, load_job, logs_folder
from fieldtui.job import closing as closing_room
from fieldtui.job import survey as survey_room
from fieldtui.log import LogWriter, short_code
from fieldtui.route import Route, load_route
from fieldtui.survey import Target
from harness.jobs import Ticking, answer_start, begin, book_calm, book_chord, lay, resume
from harness.sheets import job_of


@pytest.fixture
def logs(tmp_path: Path) -> Path:
    """One closed survey of three chords."""
    walk = begin(lay(tmp_path))
    book_calm(walk)
    return walk.writer.path.parent


def said(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str]:
    status = main([str(one) for one in arguments])
    return status, capsys.readouterr().out


def test_a_whole_log_is_whole_and_its_figures_come_out_again(logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, text = said(capsys, "verify", logs, "--figures")
    assert status == 0
    assert "whole" in text
    assert "3 of 3 closed lengths come out the same" in text


def test_a_code_copied_by_hand_is_found_again(logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = next(logs.iterdir())
    code = short_code(json.loads(log.read_text().splitlines()[-1])["h"])
    assert said(capsys, "verify", log, "--code", code.lower().replace("-", " "))[0] == 0
    other = short_code("0" * 64)
    status, text = said(capsys, "verify", log, "--code", other)
    assert status == 1
    assert "fits no record" in text


def test_one_altered_byte_is_told_with_its_record(logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = next(logs.iterdir())
    content = log.read_bytes()
    at = content.index(b'"12.32"')
    log.write_bytes(content[:at] + b'"12.33"' + content[at + 7 :])
    status, text = said(capsys, "verify", log)
    assert status == 1
    record = content[:at].count(b"\n")
    assert f"record {record}, bytes" in text
    status, text = said(capsys, "verify", log, "--json")
    answer = json.loads(text)
    assert answer["needs_attention"] is True
    assert answer["logs"][0]["damage"][0]["record"] == record


def close_with(walk: Walk, told: Callable[[list[Any]], list[Any]], monkeypatch: pytest.MonkeyPatch) -> None:
    """Close a survey as a program would that tells of its bookings otherwise."""
    honest = closing_room.closing_data

    def data(*arguments: Any) -> dict[str, Any]:
        closed = honest(*arguments)
        return {**closed, "bookings": told(closed["bookings"])}

    with monkeypatch.context() as otherwise:
        otherwise.setattr("fieldtui.job.walk.closing_data", data)
        walk.close()


def test_a_length_that_does_not_come_out_again_is_a_fault(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A log closed by a program that reduced otherwise, and says it had the same reduction."""
    walk = begin(lay(tmp_path))
    answer_start(walk)
    book_chord(walk, "320", "12.3", "12.32", "12.31")

    def other(bookings: list[Any]) -> list[Any]:
        return [one if one["length"] is None else {**one, "length": "1234.500000"} for one in bookings]

    close_with(walk, other, monkeypatch)
    status, text = said(capsys, "verify", walk.writer.path, "--figures")
    assert status == 1
    assert "closed with 1234.500000" in text
    monkeypatch.setattr("fieldtui.custody.figures.REDUCTION", 99)
    status, text = said(capsys, "verify", walk.writer.path, "--figures")
    assert status == 0
    assert "another reduction" in text


def test_a_length_that_the_closing_record_does_not_hold_is_not_passed_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A log closed by a program that left a chord out of its closing record."""
    walk = begin(lay(tmp_path))
    answer_start(walk)
    book_chord(walk, "320", "12.3", "12.32", "12.31")
    book_chord(walk, "240", "12.3", "12.32", "12.31")

    def forgetful(bookings: list[Any]) -> list[Any]:
        return [one for one in bookings if one.get("chord") != "L-R"]

    close_with(walk, forgetful, monkeypatch)
    status, text = said(capsys, "verify", walk.writer.path, "--figures")
    assert status == 1
    assert "A L-R is not in the closing record, the raw figures give 8011.566458" in text
    assert "1 of 2 closed lengths come out the same" in text
    status, text = said(capsys, "verify", walk.writer.path, "--figures", "--json")
    (differing,) = json.loads(text)["figures"]["differing"]
    assert (status, differing["held"], differing["booked"]) == (1, False, None)
    monkeypatch.setattr("fieldtui.custody.figures.REDUCTION", 99)
    assert said(capsys, "verify", walk.writer.path, "--figures")[0] == 0


def test_what_a_journal_amended_of_an_open_survey_comes_out_again_and_what_it_amended_later_is_no_fault(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = lay(tmp_path)
    walk = begin(path)
    answer_start(walk)
    book_chord(walk, "318", "12.3", "12.32", "12.31")
    place = dict(zip(("log", "seq"), walk.state.bookings[Target("A", "L-R")].slots["hole"].place, strict=True))
    walk.leave()
    for typed, clock in (("319", datetime(2031, 5, 4, 5, tzinfo=UTC)), ("320", datetime(2031, 5, 9, tzinfo=UTC))):
        amended = {**place, "reason": "by the field book", "typed": typed}
        declare(job_of(path), "CD", [("struck", amended)], Ticking(clock))
        if typed == "319":
            walk = resume(path)
            while walk.step.kind == "figure":  # the hole is asked for once more
                walk.book("319")
            walk.accept()
            walk.close()
    status, text = said(capsys, "verify", path.parent / "logs", "--figures")
    assert (status, "1 of 1 closed lengths come out the same" in text) == (0, True), text


def test_lengths_with_the_frame_taken_off_come_out_again(tmp_path: Path) -> None:
    path = lay(tmp_path, control=True)
    path.write_text(path.read_text().replace("correct = false", "correct = true"))
    clock = Ticking()  # one for both, so that they are not begun in the same second
    for hole, dial in (("200", "12.30"), ("200", "12.45")):
        route = load_route(path)
        walk = Walk.begin(load_job(route, logs_folder(route)), clock=clock)
        for typed in ("AB", "", "1", "1", "", "1", "0.00", hole, dial, dial, dial, "12"):
            walk.book(typed)
        walk.accept()
        book_chord(walk, "320", "12.3", "12.32", "12.31")
        walk.close()
    compared = compare_figures(sorted((tmp_path / "logs").glob("*.jsonl"))).compared
    chords = [one for one in compared if one.target.is_chord]
    assert [one.outcome for one in compared] == ["the same"] * 4
    assert float(chords[0].booked or 0) - float(chords[1].booked or 0) == pytest.approx(0.15, abs=1e-3)


def test_a_survey_whose_route_is_refused_now_is_not_passed_over(
    logs: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    right = survey_room.route_of

    def stricter(data: Mapping[str, Any]) -> Route:
        return right({**data, "text": data["text"].replace("pitch = 25.0", "pitch = -1")})

    monkeypatch.setattr(survey_room, "route_of", stricter)
    assert said(capsys, "verify", logs)[0] == 0
    status, text = said(capsys, "verify", logs, "--figures")
    assert status == 1
    assert "its figures are not checkable" in text
    assert "pitch" in text
    assert "0 of 0 closed lengths" in text
    status, text = said(capsys, "verify", logs, "--figures", "--json")
    answer = json.loads(text)
    assert (status, answer["needs_attention"]) == (1, True)
    assert len(answer["figures"]["not_checkable"]) == 1


def test_a_log_that_has_lost_its_route_is_not_passed_over(logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (log,) = logs.glob("*.jsonl")
    log.write_bytes(log.read_bytes().replace(b'"kind":"route"', b'"kind":"rout3"', 1))
    status, text = said(capsys, "verify", logs, "--figures")
    assert status == 1
    assert "The record that holds its route is lost" in text


def test_gathering_twice_changes_nothing(logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    into = tmp_path / "together"
    before = {path.name: path.read_bytes() for path in logs.iterdir()}
    status, text = said(capsys, "gather", logs, "--into", into)
    assert (status, "1 new" in text) == (0, True)
    status, text = said(capsys, "gather", logs, into, "--into", into)
    assert (status, "0 new" in text) == (0, True)
    assert {path.name: path.read_bytes() for path in logs.iterdir()} == before


def test_logs_in_folders_of_a_stick_and_single_files_are_gathered(
    logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (log,) = logs.iterdir()
    log.with_name(f"._{log.name}").write_bytes(b"what some systems leave beside a file")
    for number, source in enumerate((logs.parent, log)):
        status, text = said(capsys, "gather", source, "--into", tmp_path / f"into-{number}")
        assert (status, "1 new" in text, "left out" in text) == (0, True, False)


@pytest.mark.parametrize("command", [("verify", "nowhere"), ("gather", "nowhere", "--into", "x")])
def test_what_is_not_there_is_said(command: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(list(command)) == 2
    assert "nowhere" in capsys.readouterr().err


def test_a_folder_without_a_log_is_not_verified_as_whole(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for command in ("verify", "gather"):
        assert main([command, str(tmp_path)]) == 2
        assert "no log in it" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_a_file_that_is_no_log_and_a_code_that_is_none_are_said(
    logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = tmp_path / "photo.jpg"
    other.write_bytes(b"\xff\xd8\x00")
    status, told = said(capsys, "verify", other)
    assert (status, "no record of a log in it" in told) == (1, True)
    assert main(["verify", str(logs), "--code", " "]) == 2


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_told_and_not_waited_for(logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    pipe = tmp_path / "pipe.jsonl"
    os.mkfifo(pipe)
    status, text = said(capsys, "verify", logs, pipe, "--figures")
    assert (status, "This is no file" in text, "3 of 3 closed lengths" in text) == (1, True, True)
    status, text = said(capsys, "gather", logs, "--into", tmp_path)
    assert (status, "1 new" in text, "This is no file" in text) == (1, True, True)


def test_the_figures_of_copies_are_compared_once_and_none_is_passed_over(
    logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (log,) = logs.iterdir()
    (tmp_path / "stick").mkdir()
    copy = tmp_path / "stick" / log.name
    copy.write_bytes(log.read_bytes())
    status, text = said(capsys, "verify", logs, tmp_path / "stick", "--figures")
    assert (status, "3 of 3 closed lengths" in text) == (0, True)
    copy.unlink()
    log.write_bytes(log.read_bytes().replace(b'"label"', b'"lab3l"', 1))
    status, text = said(capsys, "verify", logs, "--figures")
    assert (status, "its figures are not checkable. The record that says which survey" in text) == (1, True)


def test_what_is_missing_is_told_as_it_is(logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (log,) = logs.iterdir()
    tip = {"log": json.loads(log.read_text().splitlines()[0])["data"]["log"], "seq": 2, "h": "a" * 64}
    named = [tip, {**tip, "seq": 999}, {**tip, "log": "f" * 32}]
    LogWriter.create(logs, survey="s", label="", scope="", after=named, clock=Ticking()).close()
    for command in ("verify", "gather"):
        status, text = said(capsys, command, logs, *(("--into", tmp_path / "into") if command == "gather" else ()))
        assert status == 1
        assert f"record 2 of log {tip['log'][:8]}" in text
        for what in ("with another record at this number", "its end is lost", "The log is not here"):
            assert what in text


def test_a_log_without_a_name_is_told_without_a_gap(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    LogWriter.create(tmp_path, survey="s", label="", scope="", after=[], clock=Ticking()).close()
    LogWriter.create(tmp_path, survey="s", label="a\x1b[2Jb", scope="", after=[], clock=Ticking()).close()
    text = said(capsys, "verify", tmp_path)[1]
    assert ": unclosed, 1 record, code " in text
    assert ": unclosed, 1 record, a·[2Jb, code " in text


def test_entries_past_the_file_that_goes_on_count_nowhere_and_are_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The disk failed and a stick went on; then the old file was taken up where the stick was not to be seen."""
    path = lay(tmp_path)
    walk = begin(path)
    answer_start(walk)
    (stick := tmp_path / "stick").mkdir()
    old = walk.writer.path
    walk.continue_in(stick)
    walk.book("")
    walk.leave()
    again = resume(path)
    again.book("")
    again.book("320")
    again.leave()
    assert said(capsys, "verify", old)[0] == 0
    status, text = said(capsys, "verify", old, stick)
    assert status == 1
    assert f"! {old.name}: one entry stands past the point where {walk.writer.path.name} goes on" in text
    told = json.loads(said(capsys, "verify", old, stick, "--json")[1])
    assert told["needs_attention"]
    assert len(told["beyond"]) == 1


def test_a_route_file_is_no_log_to_gather_and_a_log_by_another_name_is(
    logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    into = tmp_path / "gathered"
    assert main(["gather", str(tmp_path / "heading.toml"), "--into", str(into)]) == 2
    assert "This file is no log. Name folders that hold logs, or logs." in capsys.readouterr().err
    assert not into.exists()
    mailed = tmp_path / "from-the-laptop.txt"
    next(logs.glob("*.jsonl")).rename(mailed)
    status, text = said(capsys, "gather", mailed, "--into", into)
    assert (status, text) == (0, f"{into}: 1 new, 0 longer than before, 0 already there.\n")
