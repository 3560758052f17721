"""A thousand surveys without reading a thousand logs; and an index that is never the truth."""

from __future__ import annotations

import os
import time
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path

import pytest

from faultlab.cuts import NoSync, a_log
from faultlab.job import WHO, Ticking
from fieldtui.log import LogFile, LogFolder, LogWriter, heads, read_folder, read_log
from fieldtui.log.gather import gather
from fieldtui.log.index import NAME, Derive, Derived, read_indexed


class Counting(NoSync):
    """Counts the files that are read."""

    def __init__(self) -> None:
        super().__init__()
        self.opened = 0

    def open_read(self, path: Path) -> int:
        self.opened += 1
        return super().open_read(path)


def dials(log: LogFile) -> Mapping[str, bytes]:
    """One piece for each figure, and one for all."""
    found = [str(record.data["dial"]) for record in log.records if record.kind == "dial"]
    return {"all": ",".join(found).encode(), **{f"dial {dial}": str(len(found)).encode() for dial in found}}


DERIVE = Derive("1", dials)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Five logs, two of them not closed, each naming the one before; written long before they are indexed."""
    named: list[dict[str, object]] = []
    for number in range(5):
        clock = Ticking()
        log_id = f"{number:08x}" * 4
        with LogWriter.create(
            tmp_path, survey="s", label="", scope="", after=named, clock=clock, identity=WHO, calls=NoSync(),
            first=[("route", {})], log_id=log_id,
        ) as writer:  # fmt: skip
            for dial in range(number + 1):
                writer.append("dial", {"dial": f"{dial}.50"})
            if number % 2 == 0:
                writer.append("closed", {})
            named = [writer.tip]
    return tmp_path


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the files have been written long before."""
    now = time.time_ns
    monkeypatch.setattr(time, "time_ns", lambda: now() + 60_000_000_000)


def same(found: LogFolder, folder: Path) -> None:
    assert found == read_folder(folder)
    assert heads(found) == heads(folder)


def all_pieces(derived: Derived) -> dict[str, dict[str, bytes]]:
    found = {name: dict(derived.pieces(name)) for name in derived.names()}
    return {name: pieces for name, pieces in found.items() if pieces}


@pytest.mark.usefixtures("later")
def test_what_was_broken_off_and_named_is_told_from_the_index_too(folder: Path) -> None:
    path = sorted(folder.glob("*.jsonl"))[1]  # not closed
    path.write_bytes(path.read_bytes()[:-20])
    with LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()) as writer:
        writer.append("closed", {})
    marks = read_log(path).marks
    assert marks
    for _ in range(2):
        found, derived = read_indexed(folder, DERIVE)
        assert next(log for log in found.logs if log.path == path).marks == marks
    assert read_log(path).id in derived.logs, "told without the log"


@pytest.mark.usefixtures("later")
def test_only_what_is_open_or_has_changed_is_read_again(folder: Path) -> None:
    calls = Counting()
    first, derived = read_indexed(folder, DERIVE, calls=calls)
    assert calls.opened == 5
    assert derived.logs == {log.id for log in first.logs if log.closed}, "nobody holds what was read of them"
    calls.opened = 0
    again, derived = read_indexed(folder, DERIVE, calls=calls)
    assert calls.opened == 2, "the two that are not closed"
    assert derived.logs == {log.id for log in first.logs if log.closed}
    assert derived.pieces("all") == {log.id: dials(log)["all"] for log in read_folder(folder).logs if log.closed}
    assert derived.pieces("dial 4.50") == {first.logs[4].id: b"5"}
    assert derived.pieces("dial 9.50") == {}
    assert calls.opened == 2
    same(again, folder)  # asks for the records, which come from the logs
    assert calls.opened == 5


@pytest.mark.usefixtures("later")
def test_where_no_index_can_be_written_no_log_is_read_twice(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fieldtui.log.index.save", lambda *_: None)
    calls = Counting()
    found, derived = read_indexed(folder, DERIVE, calls=calls)
    assert derived.pieces("dial 4.50") == {found.logs[4].id: b"5"}
    assert "all" in set(derived.names())
    assert calls.opened == 5


@pytest.mark.usefixtures("later")
def test_records_come_from_the_log_when_they_are_asked_for(folder: Path) -> None:
    read_indexed(folder, DERIVE)
    calls = Counting()
    found, _ = read_indexed(folder, DERIVE, calls=calls)
    log = found.logs[0]
    assert (log.id, log.survey, log.label, log.state, log.closed, log.begun) == (
        "00000000" * 4, "s", "", "whole", True, True,
    )  # fmt: skip
    assert len(log.records) == 4
    assert calls.opened == 2
    assert log.records == read_log(log.path).records
    assert log.records[-1].kind == "closed"
    assert calls.opened == 3


@pytest.mark.usefixtures("later")
def test_it_can_be_deleted_spoilt_or_unwritable_at_any_time(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    read_indexed(folder, DERIVE)
    expected, derived = read_indexed(folder, DERIVE)
    pieces = all_pieces(derived)
    index = folder / NAME
    whole = index.read_bytes()
    for spoilt in (None, b"", b"\n", b"{}", whole[:-5], whole[:200], whole.replace(b'"s"', b'"z"'), whole[65:]):
        index.unlink() if spoilt is None else index.write_bytes(spoilt)
        found, derived = read_indexed(folder, DERIVE)
        same(found, folder)
        made = all_pieces(derived)
        assert all(pieces[name].items() >= made[name].items() for name in made)
        found, derived = read_indexed(folder, DERIVE)
        same(found, folder)
        assert all_pieces(derived) == pieces, spoilt
        index.write_bytes(whole)
    index.unlink()
    monkeypatch.setattr(Path, "write_bytes", lambda *_: (_ for _ in ()).throw(OSError(30, "Read-only file system")))
    same(read_indexed(folder, DERIVE)[0], folder)
    same(expected, folder)
    assert not index.exists()


@pytest.mark.usefixtures("later")
def test_every_bit_of_it_can_be_wrong(folder: Path) -> None:
    read_indexed(folder, DERIVE)
    pieces = all_pieces(read_indexed(folder, DERIVE)[1])
    expected = read_folder(folder)
    index = folder / NAME
    whole = index.read_bytes()
    for bit in range(0, 8 * len(whole), 61):
        spoilt = bytearray(whole)
        spoilt[bit // 8] ^= 1 << bit % 8
        index.write_bytes(spoilt)
        found, derived = read_indexed(folder, DERIVE)
        assert [log.last for log in found.logs] == [log.last for log in expected.logs], bit
        for name, made in all_pieces(derived).items():
            assert made.items() <= pieces[name].items(), bit


def test_an_index_that_goes_or_changes_while_it_is_in_use_is_done_without(folder: Path, later: None) -> None:
    read_indexed(folder, DERIVE)
    _, derived = read_indexed(folder, DERIVE)
    _, other = read_indexed(folder, DERIVE)
    _, changed = read_indexed(folder, DERIVE)
    pieces = all_pieces(other)
    content = (folder / NAME).read_bytes()
    (folder / NAME).write_bytes(content[:-3] + b"?" + content[-2:])
    assert all_pieces(changed) == pieces
    (folder / NAME).unlink()
    assert all_pieces(derived) == pieces


@pytest.mark.usefixtures("later")
def test_a_file_whose_name_is_not_utf_8_is_read_like_any_other_and_alone(folder: Path) -> None:
    path = next(log.path for log in read_folder(folder).logs if log.closed)
    path.rename(path.with_name(os.fsdecode(b"H\xfctte.jsonl")))
    read_indexed(folder, DERIVE)
    calls = Counting()
    found, _ = read_indexed(folder, DERIVE, calls=calls)
    assert calls.opened == 3, "this one, and the two that are not closed"
    same(found, folder)


@pytest.mark.usefixtures("later")
def test_an_index_of_another_format_is_made_anew(folder: Path) -> None:
    expected, _ = read_indexed(folder, DERIVE)
    index = folder / NAME
    whole = index.read_bytes()
    for header in (b'{"format":1,"version":"1","logs":[[0,"a.jsonl","a",{}]],"parts":{}}', b"[]", b"no JSON"):
        line = header + b"\n"
        index.write_bytes(sha256(line).hexdigest().encode() + b"\n" + line)
        found, _ = read_indexed(folder, DERIVE)
        assert [log.last for log in found.logs] == [log.last for log in expected.logs]
        assert index.read_bytes().splitlines()[1] == whole.splitlines()[1]


@pytest.mark.usefixtures("later")
def test_a_log_that_names_more_than_its_first_record_holds_is_kept_with_all_of_it(tmp_path: Path) -> None:
    named = []
    for number in range(12):
        with LogWriter.create(
            tmp_path, survey="s", label="", scope="", after=[], clock=Ticking(), identity=WHO, calls=NoSync(),
            log_id=f"{number:08x}" * 4,
        ) as writer:  # fmt: skip
            named.append(writer.tip)
    with LogWriter.create(
        tmp_path, survey="t", label="", scope="", after=named, clock=Ticking(), identity=WHO, calls=NoSync()
    ) as writer:
        writer.append("closed", {})
    read_indexed(tmp_path, DERIVE)
    found, _ = read_indexed(tmp_path, DERIVE)
    (log,) = (one for one in found.logs if one.survey == "t")
    assert len(log.head["after"]) < 12
    assert list(log.named) == named


def test_a_file_held_against_its_sum_that_cannot_be_read_is_told_and_stands_in_nobodys_way(folder: Path) -> None:
    broken = next(log.path for log in read_folder(folder).logs if log.closed)

    class Failing(NoSync):
        def open_read(self, path: Path) -> int:
            if path == broken:
                raise OSError(5, "Input/output error")
            return super().open_read(path)

    read_indexed(folder, DERIVE)
    found, _ = read_indexed(folder, DERIVE, calls=Failing())
    assert len(found.logs) == 4
    assert [refused.where for refused in found.unread] == [str(broken)]


@pytest.mark.usefixtures("later")
def test_another_version_derives_anew(folder: Path) -> None:
    read_indexed(folder, DERIVE)
    read_indexed(folder, DERIVE)
    other = Derive("2", lambda log: {"kind": log.records[-1].kind.encode()})
    calls = Counting()
    read_indexed(folder, other, calls=calls)
    assert calls.opened == 5
    assert all_pieces(read_indexed(folder, other)[1]) == {"kind": {f"{n:08x}" * 4: b"closed" for n in (0, 2, 4)}}


@pytest.mark.usefixtures("later")
def test_files_that_come_go_and_change_are_seen(folder: Path) -> None:
    read_indexed(folder, DERIVE)
    first = read_folder(folder)
    first.logs[2].path.unlink()
    with LogWriter.reopen(first.logs[1].path, clock=Ticking(), identity=WHO, calls=NoSync()) as writer:
        writer.append("closed", {})
    a_log(folder, 2, closed=True, log_id="ff" * 16)
    content = first.logs[4].path.read_bytes()
    first.logs[4].path.write_bytes(content.replace(b'"3.50"', b'"3.51"'))
    for _ in range(2):
        found, derived = read_indexed(folder, DERIVE)
        same(found, folder)
        assert [log.state for log in found.logs if log.id == first.logs[4].id] == ["damaged"]
    assert set(derived.pieces("all")) == {"00000000" * 4, "00000001" * 4, "ff" * 16}


def test_a_file_that_changes_within_one_tick_of_the_clock_is_read_again(folder: Path) -> None:
    """The file's times are put back to what they were: only its bytes tell."""
    read_indexed(folder, DERIVE)
    path = read_folder(folder).logs[4].path
    status = path.stat()
    content = path.read_bytes()
    path.write_bytes(content.replace(b'"3.50"', b'"3.51"'))
    os.utime(path, ns=(status.st_atime_ns, status.st_mtime_ns))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Path, "stat", _with_times(Path.stat, path, status))
        found, _ = read_indexed(folder, DERIVE)
    same(found, folder)
    assert found.logs[-1].state == "damaged"


def _with_times(stat: object, path: Path, times: os.stat_result) -> object:
    def stated(self: Path, **named: object) -> os.stat_result:
        return times if self == path else stat(self, **named)  # type: ignore[operator, no-any-return]

    return stated


@pytest.mark.usefixtures("later")
def test_two_files_of_one_log_and_one_that_is_continued_are_taken_from_the_logs(folder: Path) -> None:
    first = read_folder(folder).logs[0]
    copy = first.path.with_name("20990101T000000Z-copied.jsonl")
    copy.write_bytes(b"".join(first.path.read_bytes().splitlines(keepends=True)))
    for _ in range(2):
        found, derived = read_indexed(folder, DERIVE)
        same(found, folder)
    assert first.id not in derived.logs


@pytest.mark.usefixtures("later")
def test_it_is_never_gathered(folder: Path, tmp_path: Path) -> None:
    read_indexed(folder, DERIVE)
    into = tmp_path / "all"
    gather([folder], into, calls=NoSync())
    assert not (into / NAME).exists()


@pytest.mark.usefixtures("later")
def test_a_head_in_the_middle_of_a_log_is_known_without_reading_it(folder: Path) -> None:
    log = read_folder(folder).logs[0]
    named = [{"log": log.id, "seq": seq, "h": log.hash_at(seq)} for seq in (1, 2)]
    LogWriter.create(folder, survey="t", label="", scope="", after=named, clock=Ticking(), calls=NoSync()).close()
    read_indexed(folder, DERIVE)
    read_indexed(folder, DERIVE)
    calls = Counting()
    read_indexed(folder, DERIVE, calls=calls)
    assert calls.opened == 3, "those that are not closed"
    named = [{"log": log.id, "seq": 77, "h": "0" * 64}]
    LogWriter.create(folder, survey="u", label="", scope="", after=named, clock=Ticking(), calls=NoSync()).close()
    read_indexed(folder, DERIVE)
    read_indexed(folder, DERIVE)
    calls = Counting()
    found, _ = read_indexed(folder, DERIVE, calls=calls)
    assert [one.seq for one in found.missing] == [77]
    assert calls.opened <= 5  # the four that are not closed, and for the number that is not there
