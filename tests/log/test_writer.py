"""The one writer: create, append, go on elsewhere, take up again."""

from __future__ import annotations

import errno
import json
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from faultlab.cuts import NoSync, a_log
from faultlab.failing import FailingCalls
from faultlab.job import WHO, Ticking
from fieldtui.log import LogLocked, LogRefused, LogWriter, WriteFailed, read_log
from fieldtui.log.record import GENESIS, seal


def begun(folder: Path, **named: object) -> LogWriter:
    settings: dict[str, object] = {
        "survey": "survey-1",
        "label": "one",
        "scope": "route",
        "after": [],
        "first": [("route", {"text": "invented"})],
        "clock": Ticking(),
        "identity": WHO,
        "calls": NoSync(),
    }
    return LogWriter.create(folder, **(settings | named))  # type: ignore[arg-type]


def test_a_new_log_has_its_name_its_first_record_and_the_route(tmp_path: Path) -> None:
    writer = begun(tmp_path / "new" / "logs", log_id="00c0ffee" * 4)
    assert writer.path.name == "20310503T060001Z-00c0ffee.jsonl"
    assert writer.id == "00c0ffee" * 4
    head, route = writer.records
    assert head.data == {
        "format": 1,
        "log": "00c0ffee" * 4,
        "survey": "survey-1",
        "label": "one",
        "scope": "route",
        "machine": "field-1",
        "pid": 4711,
        "user": "surveyor",
        "boot": "boot-1",
        "program": head.data["program"],
        "with": 2,
        "after": [],
    }
    assert head.prev == GENESIS
    assert route.kind == "route"
    assert route.prev == head.h


def test_what_append_returns_is_what_the_file_says(tmp_path: Path) -> None:
    writer = begun(tmp_path)
    given = {"dial": "12.3400", 7: ("a", "b")}
    booked = writer.append("dial", given)  # type: ignore[arg-type]
    assert booked.data == {"dial": "12.3400", "7": ["a", "b"]}
    given["dial"] = "0"
    many = writer.append_all([("hole", {"hole": "12"}), ("temperature", {"temperature": "14.5"})])
    assert [record.kind for record in many] == ["hole", "temperature"]
    log = read_log(writer.path)
    assert log.records == tuple(writer.records)
    assert log.records[-3:] == (booked, *many)
    assert log.last is not None
    assert writer.tip == {"log": log.id, "seq": log.last.seq, "h": log.last.h}


def test_times_can_be_given_for_bookings_from_paper(tmp_path: Path) -> None:
    writer = begun(tmp_path)
    at = [datetime(2031, 4, 1, 7, minute, tzinfo=UTC) for minute in (0, 5)]
    booked = writer.append_all([("a", {}), ("b", {})], ats=at)
    assert [record.at for record in booked] == ["2031-04-01T07:00:00.000Z", "2031-04-01T07:05:00.000Z"]
    with pytest.raises(ValueError, match="as many times"):
        writer.append_all([("a", {})], ats=at)
    assert writer.append_all([]) == []


def test_a_closing_record_is_written_after_the_others_are_durable(tmp_path: Path) -> None:
    calls = FailingCalls(NoSync(), 0, 0, "error", for_ever=False)
    writer = begun(tmp_path, calls=calls)
    calls.made.clear()
    writer.append_all([("a", {}), ("b", {}), ("closed", {})])
    assert [call for call in calls.made if call in {"write", "fsync"}] == ["write", "fsync", "write", "fsync"]
    assert writer.closed


def test_nothing_is_written_after_the_closing_record(tmp_path: Path) -> None:
    writer = begun(tmp_path)
    writer.append("closed", {})
    before = writer.path.read_bytes()
    with pytest.raises(LogRefused, match="closed and never written again"):
        writer.append("dial", {})
    with pytest.raises(LogRefused, match="closed and never written again"):
        writer.append_all([("dial", {})])
    assert writer.path.read_bytes() == before


def test_a_survey_written_at_one_go_is_closed_after_the_rest_is_durable(tmp_path: Path) -> None:
    calls = FailingCalls(NoSync(), 0, 0, "error", for_ever=False)
    writer = begun(tmp_path, calls=calls, first=[("route", {"text": "r"}), ("dial", {}), ("dial", {}), ("closed", {})])
    made = [call for call in calls.made if call in {"write", "fsync", "fsync_folder"}]
    assert made == ["write", "fsync", "fsync_folder", "write", "fsync"]
    assert [record.kind for record in writer.records] == ["log", "route", "dial", "dial", "closed"]
    assert len({record.at for record in writer.records}) == 1
    assert read_log(writer.path).records == tuple(writer.records)


def test_a_new_file_repeats_the_route_and_not_what_was_booked_with_it(tmp_path: Path) -> None:
    writer = begun(tmp_path, first=[("route", {"text": "r"}), ("dial", {"dial": "1"})])
    new = writer.continue_in(tmp_path)
    assert [record.kind for record in new.records] == ["log", "route"]


@pytest.mark.parametrize("kind", ["resumed", "torn", "batch", "after", ""])
def test_kinds_of_the_log_itself_cannot_be_booked(kind: str, tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="not a kind of entry"):
        begun(tmp_path).append(kind, {})


def test_data_that_json_cannot_hold_leaves_the_log_as_it_was(tmp_path: Path) -> None:
    writer = begun(tmp_path)
    before = writer.path.read_bytes()
    for bad in ({"a": float("nan")}, {"a": {1}}):
        with pytest.raises((TypeError, ValueError)):
            writer.append("dial", bad)
        with pytest.raises((TypeError, ValueError)):
            writer.append_all([("dial", {}), ("dial", bad)])
    assert writer.path.read_bytes() == before
    writer.append("dial", {})
    assert read_log(writer.path).problems == ()


def test_a_file_that_another_program_has_changed_takes_no_more(tmp_path: Path) -> None:
    writer = begun(tmp_path)
    with writer.path.open("ab") as file:
        file.write(b"x")
    with pytest.raises(WriteFailed, match="changed or removed"):
        writer.append("dial", {})
    gone = begun(tmp_path)
    gone.path.unlink()
    with pytest.raises(WriteFailed, match="changed or removed"):
        gone.append("dial", {})


def test_a_released_log_takes_no_more(tmp_path: Path) -> None:
    with begun(tmp_path) as writer:
        writer.append("dial", {})
    writer.close()
    with pytest.raises(LogRefused, match="released"):
        writer.append("dial", {})


def test_an_interruption_in_the_middle_of_a_write_ends_the_file(tmp_path: Path) -> None:
    class Interrupted(NoSync):
        def write(self, fd: int, data: bytes) -> int:
            super().write(fd, data[:10])
            raise KeyboardInterrupt

    writer = begun(tmp_path)
    writer._calls = Interrupted()
    with pytest.raises(KeyboardInterrupt):
        writer.append("dial", {})
    writer._calls = NoSync()
    with pytest.raises(WriteFailed):
        writer.append("dial", {})


def test_record_0_stays_below_1_kb_whatever_it_names(tmp_path: Path) -> None:
    many = [{"log": f"{number:032x}", "seq": number, "h": "ab" * 32} for number in range(40)]
    writer = begun(tmp_path, after=many, label="é" * 40)
    first, second, *_ = writer.path.read_bytes().split(b"\n")
    assert len(first) < 1000
    assert json.loads(second)["kind"] == "after"
    log = read_log(writer.path)
    assert list(log.after) == many
    assert [record.kind for record in log.records] == ["log", "route"]
    with pytest.raises(LogRefused, match="label is too long"):
        begun(tmp_path, label="é" * 200)


def test_after_a_failed_write_a_new_file_names_the_last_saved_record(tmp_path: Path) -> None:
    writer = begun(tmp_path / "a")
    saved = writer.append("dial", {"dial": "1"})
    writer._calls = FailingCalls(NoSync(), 2, 5, "done but error", for_ever=False)
    with pytest.raises(WriteFailed) as failed:
        writer.append("dial", {"dial": "2"})
    assert "not saved" in failed.value.what
    assert failed.value.where == str(writer.path)
    assert writer.dead
    writer._calls = NoSync()
    new = writer.continue_in(tmp_path / "b")
    assert new.records[0].data["continues"] == {"log": writer.id, "seq": saved.seq, "h": saved.h}
    assert [(record.kind, record.data) for record in new.records[1:]] == [("route", {"text": "invented"})]
    assert new.records[0].data["survey"] == "survey-1"
    assert new.id != writer.id
    assert not new.dead


def test_a_file_beside_it_that_cannot_be_read_does_not_keep_a_log_from_being_taken_up(tmp_path: Path) -> None:
    class Unreadable(NoSync):
        def open_read(self, path: Path) -> int:
            raise OSError(errno.EACCES, "Permission denied")

    writer = begun(tmp_path)
    writer.close()
    (tmp_path / "other.jsonl").touch()
    LogWriter.reopen(writer.path, clock=Ticking(), calls=Unreadable()).close()


def test_a_log_that_is_continued_beside_it_is_not_taken_up_again(tmp_path: Path) -> None:
    writer = begun(tmp_path)
    new = writer.continue_in(tmp_path)
    new.close()
    with pytest.raises(LogRefused, match="continued in another file") as refused:
        LogWriter.reopen(writer.path, clock=Ticking(), calls=NoSync())
    assert new.path.name in refused.value.todo
    LogWriter.reopen(new.path, clock=Ticking(), calls=NoSync()).close()


def test_a_damaged_log_is_continued_in_a_new_one(tmp_path: Path) -> None:
    path = a_log(tmp_path, 4)
    content = bytearray(path.read_bytes())
    content[-200] ^= 1
    path.write_bytes(content)
    with pytest.raises(LogRefused, match="damaged at record 5") as refused:
        LogWriter.reopen(path, clock=Ticking(), calls=NoSync())
    assert str(path) in str(refused.value)
    log = read_log(path)
    new = LogWriter.continuing(log, tmp_path, clock=Ticking(), calls=NoSync(), identity=WHO)
    assert new.records[0].data["continues"]["seq"] == 4
    assert new.records[1].kind == "route"
    assert path.read_bytes() == bytes(content)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (seal(0, "", "log", {"format": 2, "log": "a" * 32, "with": 1}, GENESIS), "format 2, which is later"),
        (seal(0, "", "log", {"format": 1, "log": "a" * 32, "with": 2}, GENESIS), "never begun"),
        (b"", "never begun"),
        (b'{"a": 1}', "never begun"),
        (b"a note\nof another kind\n", "never begun"),
    ],
)
def test_what_is_no_log_of_ours_is_refused_for_writing(line: bytes, words: str, tmp_path: Path) -> None:
    path = tmp_path / "other.jsonl"
    path.write_bytes(line)
    with pytest.raises(LogRefused, match=words):
        LogWriter.reopen(path, clock=Ticking(), calls=NoSync())
    assert path.read_bytes() == line


def test_unknown_kinds_are_read_and_refused_for_writing(tmp_path: Path) -> None:
    path = a_log(tmp_path, 2)
    with pytest.raises(LogRefused, match="does not know: dial"):
        LogWriter.reopen(path, clock=Ticking(), calls=NoSync(), kinds={"log", "route"})
    assert len(read_log(path).records) == 4
    LogWriter.reopen(path, clock=Ticking(), calls=NoSync(), kinds={"log", "route", "dial"}).close()


def test_a_resumption_repeats_the_last_write_and_never_another_resumption(tmp_path: Path) -> None:
    writer = begun(tmp_path)
    writer.append_all([("dial", {"n": str(number)}) for number in range(6)])
    writer.close()
    lines = writer.path.read_bytes().splitlines(keepends=True)
    writer.path.write_bytes(b"".join(lines[:-3]) + lines[-3][:40])  # the batch was cut: four of six are there
    again = LogWriter.reopen(writer.path, clock=Ticking(), calls=NoSync(), identity=WHO)
    assert copied(again.path) == ["batch", "dial", "dial", "dial"]
    again.append("dial", {"n": "by itself"})
    again.close()
    LogWriter.reopen(writer.path, clock=Ticking(), calls=NoSync(), identity=WHO).close()
    assert copied(again.path) == ["dial"]
    LogWriter.reopen(writer.path, clock=Ticking(), calls=NoSync(), identity=WHO).close()
    assert copied(again.path) == ["dial"]


def copied(path: Path) -> list[str]:
    """The kinds that the last resumption repeats."""
    last = json.loads(path.read_bytes().splitlines()[-1])
    return [json.loads(line)["kind"] for line in last["data"]["copies"]]


def test_the_holder_told_is_the_one_that_opened_it_last(tmp_path: Path) -> None:
    begun(tmp_path).close()
    (path,) = tmp_path.glob("*.jsonl")
    other = type(WHO)(machine="field-2", pid=12, user="second", boot="boot-2")
    held = LogWriter.reopen(path, clock=Ticking(), calls=NoSync(), identity=other)
    with pytest.raises(LogLocked) as refused:
        LogWriter.reopen(path, clock=Ticking(), calls=NoSync())
    assert (refused.value.machine, refused.value.pid, refused.value.user) == ("field-2", 12, "second")
    held.close()


def test_entries_from_two_threads_keep_one_chain(tmp_path: Path) -> None:
    writer = begun(tmp_path)
    threads = [
        threading.Thread(target=lambda: [writer.append("dial", {"n": str(n)}) for n in range(50)]) for _ in range(4)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    log = read_log(writer.path)
    assert log.problems == ()
    assert len(log.records) == 202


def test_a_clock_that_jumps_is_recorded_and_never_refused(tmp_path: Path) -> None:
    times = iter([datetime(2031, 5, 3, 6, tzinfo=UTC) + timedelta(days=days) for days in (0, 3, -400)])
    writer = begun(tmp_path, clock=lambda: next(times))
    writer.append("a", {})
    writer.append("b", {})
    assert [record.at[:10] for record in read_log(writer.path).records] == ["2031-05-03"] * 2 + [
        "2031-05-06",
        "2030-03-29",
    ]
