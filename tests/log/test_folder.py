"""Many logs as one: heads, forks, missing logs, files that go on from others."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from faultlab.cuts import NoSync, a_log
from faultlab.job import WHO, Ticking
from fieldtui.log import LogRefused, LogWriter, heads, read_folder, read_log, together
from fieldtui.log.index import Derive, read_indexed
from fieldtui.log.record import GENESIS, seal
from fieldtui.log.verify import verify


def a_survey(folder: Path, log_id: str, after: list[dict[str, Any]], entries: int = 1) -> LogWriter:
    writer = LogWriter.create(
        folder,
        survey=f"survey-{log_id[0]}",
        label=log_id[0],
        scope="route",
        after=after,
        clock=Ticking(),
        identity=WHO,
        calls=NoSync(),
        log_id=log_id * 8,
    )
    for number in range(entries):
        writer.append("dial", {"n": str(number)})
    writer.close()
    return writer


def test_each_log_witnesses_the_heads_that_no_other_names(tmp_path: Path) -> None:
    assert heads(tmp_path) == []
    assert heads(tmp_path / "not there") == []
    one = a_survey(tmp_path, "aaaa", heads(tmp_path))
    assert heads(tmp_path) == [one.tip]
    two = a_survey(tmp_path, "bbbb", heads(tmp_path))
    beside = a_survey(tmp_path, "cccc", [one.tip])  # another crew, after the same head
    assert heads(tmp_path) == [two.tip, beside.tip]
    three = a_survey(tmp_path, "dddd", heads(tmp_path))
    assert heads(tmp_path) == heads(read_folder(tmp_path)) == heads(read_folder(tmp_path).logs) == [three.tip]
    found = read_folder(tmp_path)
    assert len(found.logs) == 4
    assert found.forks == ()
    assert found.missing == ()


def test_a_log_that_grew_after_it_was_witnessed_is_witnessed_again(tmp_path: Path) -> None:
    one = a_survey(tmp_path, "aaaa", [])
    a_survey(tmp_path, "bbbb", [one.tip])
    with LogWriter.reopen(one.path, clock=Ticking(), calls=NoSync()) as again:
        again.append("dial", {})
    assert again.tip in heads(tmp_path)
    assert read_folder(tmp_path).missing == ()


def test_a_missing_log_and_a_lost_tail_are_told(tmp_path: Path) -> None:
    one = a_survey(tmp_path, "aaaa", [], entries=3)
    two = a_survey(tmp_path, "bbbb", [one.tip])
    content = one.path.read_bytes()
    lines = content.splitlines(keepends=True)
    one.path.write_bytes(b"".join(lines[:-1]))  # cut at a record: the file itself looks whole
    assert read_log(one.path).state == "unclosed"
    (lost,) = read_folder(tmp_path).missing
    assert (lost.log, lost.seq, lost.h, lost.named_by) == (one.id, 3, one.tip["h"], two.id)
    assert "end is lost" in lost.what
    one.path.unlink()
    (gone,) = read_folder(tmp_path).missing
    assert "not here" in gone.what


def test_a_head_that_stands_in_its_log_with_another_hash_is_told(tmp_path: Path) -> None:
    one = a_survey(tmp_path, "aaaa", [], entries=3)
    a_survey(tmp_path, "bbbb", [{**one.tip, "h": "e" * 64}])
    (other,) = read_folder(tmp_path).missing
    assert "another record" in other.what


def test_a_log_that_is_continued_is_missed_where_it_is_not_there(tmp_path: Path) -> None:
    one = a_survey(tmp_path, "aaaa", [])
    LogWriter.continuing(read_log(one.path), tmp_path, clock=Ticking(), calls=NoSync(), identity=WHO).close()
    assert read_folder(tmp_path).missing == ()
    one.path.unlink()
    (gone,) = read_folder(tmp_path).missing
    assert (gone.log, gone.seq) == (one.id, one.tip["seq"])


def test_a_fork_is_told_and_folded_by_nobody(tmp_path: Path) -> None:
    one = a_survey(tmp_path / "a", "aaaa", [])
    other = tmp_path / "b" / one.path.name
    other.parent.mkdir()
    other.write_bytes(one.path.read_bytes())
    for path, dial in ((one.path, "1"), (other, "2")):
        with LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()) as writer:
            writer.append("dial", {"dial": dial})
    found = together([read_log(one.path), read_log(other)])
    assert found.logs == ()
    (fork,) = found.forks
    assert (fork.log, fork.seq) == (one.id, 3)
    assert len(fork.logs) == 2
    assert len(heads(found)) == 2


def test_a_head_of_either_half_of_a_fork_is_there(tmp_path: Path) -> None:
    one = a_survey(tmp_path / "a", "aaaa", [])
    other = tmp_path / "b" / one.path.name
    other.parent.mkdir()
    other.write_bytes(one.path.read_bytes())
    tips = []
    for path, dial in ((one.path, "1"), (other, "2")):
        with LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()) as writer:
            writer.append("dial", {"dial": dial})
            tips.append(writer.tip)
    assert tips[0]["seq"] == tips[1]["seq"]
    after = a_survey(tmp_path / "a", "bbbb", tips)
    files = [one.path, other, after.path]
    assert together(map(read_log, files)).missing == ()
    assert verify(files).missing == ()


def test_of_two_copies_the_longer_counts_and_a_damaged_one_is_helped(tmp_path: Path) -> None:
    path = a_log(tmp_path, 5)
    whole = path.read_bytes()
    lines = whole.splitlines(keepends=True)
    short = tmp_path / "short.jsonl"
    short.write_bytes(b"".join(lines[:5]))
    found = together([read_log(short), read_log(path)])
    assert [log.path for log in found.logs] == [path]
    path.write_bytes(whole.replace(b'"dial":"2.50"', b'"dial":"9.50"'))
    assert len(read_log(path).records) == 6
    (log,) = together([read_log(short), read_log(path)]).logs
    assert [record.seq for record in log.records] == list(range(7))
    assert log.problems != ()  # it is still told
    assert log.state == "damaged"


def test_records_past_the_point_where_another_file_goes_on_are_shown_and_not_folded(tmp_path: Path) -> None:
    one = a_survey(tmp_path, "aaaa", [], entries=2)
    new = LogWriter.continuing(read_log(one.path), tmp_path, clock=Ticking(), calls=NoSync(), identity=WHO)
    new.close()
    writer = LogWriter.reopen  # another machine, which does not know of the new file, goes on in the old one
    moved = tmp_path / "elsewhere" / one.path.name
    moved.parent.mkdir()
    moved.write_bytes(one.path.read_bytes())
    with writer(moved, clock=Ticking(), calls=NoSync(), identity=WHO) as old:
        late = old.append("dial", {"n": "late"})
    found = together([read_log(moved), read_log(new.path)])
    log = next(log for log in found.logs if log.id == one.id)
    assert [record.data.get("n") for record in log.records] == [None, "0", "1"]
    assert log.beyond == (late,)
    assert heads(found) == [new.tip]


def test_files_in_which_nothing_was_saved_are_kept_apart(tmp_path: Path) -> None:
    path = a_log(tmp_path, 1)
    (tmp_path / "cut.jsonl").write_bytes(path.read_bytes()[:500])
    (tmp_path / "note.jsonl").write_text("a note\n")
    (tmp_path / ".hidden.jsonl").write_text("a note\n")
    (tmp_path / "sheet.csv").write_text("a,b\n")
    found = read_folder(tmp_path)
    assert [log.path.name for log in found.logs] == [path.name]
    assert sorted(log.path.name for log in found.empty) == ["cut.jsonl", "note.jsonl"]


@pytest.fixture
def littered(tmp_path: Path) -> Path:
    """A folder of one log, and beside it things that bear a log's name and are none."""
    a_survey(tmp_path, "aaaa", [])
    (tmp_path / "20310504T000000Z-dangling.jsonl").symlink_to(tmp_path / "not there")
    (tmp_path / "20310504T000000Z-folder.jsonl").mkdir()
    os.mkfifo(tmp_path / "20310504T000000Z-pipe.jsonl")
    (tmp_path / "20310504T000000Z-sealed.jsonl").write_text("")
    return tmp_path


class Sealed(NoSync):
    """One file may not be read."""

    def open_read(self, path: Path) -> int:
        if path.name.endswith("sealed.jsonl"):
            raise PermissionError(13, "Permission denied")
        return super().open_read(path)


def test_what_is_no_file_or_cannot_be_read_is_told_and_the_rest_is_used(littered: Path) -> None:
    found = read_folder(littered, calls=Sealed())
    assert [log.id[:4] for log in found.logs] == ["aaaa"]
    assert [(Path(one.where).name.split("-")[1], one.what) for one in found.unread] == [
        ("dangling.jsonl", "This is a link to a file that is not there."),
        ("folder.jsonl", "This is a folder and no log."),
        ("pipe.jsonl", "This is no file."),
        ("sealed.jsonl", "The log cannot be read: Permission denied."),
    ]
    assert all(one.todo for one in found.unread)


def test_a_link_to_a_log_is_a_log(tmp_path: Path) -> None:
    log = a_survey(tmp_path, "aaaa", [])
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / log.path.name).symlink_to(log.path)
    found = read_folder(tmp_path / "elsewhere")
    assert (len(found.logs), found.unread) == (1, ())


def test_nothing_of_it_stands_in_the_way_of_writing(littered: Path) -> None:
    (first,) = heads(littered)
    later = a_survey(littered, "bbbb", [first])
    with LogWriter.reopen(later.path, clock=Ticking(), calls=NoSync()) as again:
        again.append("dial", {"n": "1"})
    assert heads(littered) == [again.tip]


@pytest.mark.parametrize("name", ["zz copy", "a copy"])
def test_of_copies_alike_the_file_that_was_begun_is_gone_on_with(tmp_path: Path, name: str) -> None:
    begun = a_survey(tmp_path, "abcd", []).path
    (tmp_path / f"{name}.jsonl").write_bytes(begun.read_bytes())
    (log,) = read_folder(tmp_path).logs
    assert log.path == begun


def test_a_folder_that_cannot_be_looked_into_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(path: Path) -> Iterator[Path]:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "iterdir", refused)
    with pytest.raises(LogRefused, match="cannot be looked into: Permission denied") as told:
        read_folder(tmp_path)
    assert told.value.where == str(tmp_path)


def test_a_file_of_which_nothing_may_be_known_stands_in_nobodys_way(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    closed, other = a_log(tmp_path, 2), a_log(tmp_path, 3, log_id="0b" * 16)
    stat = Path.stat

    def refused(path: Path, *, follow_symlinks: bool = True) -> os.stat_result:
        if path == closed:
            raise PermissionError(13, "Permission denied", str(path))
        return stat(path, follow_symlinks=follow_symlinks)

    monkeypatch.setattr(Path, "stat", refused)
    for found in (read_folder(tmp_path), read_indexed(tmp_path, Derive("1", lambda _: {}))[0]):
        assert [log.path for log in found.logs] == [other]
        assert [one.where for one in found.unread] == [str(closed)]


@pytest.mark.parametrize(
    "odd",
    [
        {"with": "x"},
        {"after": None},
        {"after": [{"x": 1}]},
        {"after": [3]},
        {"continues": 3},
        {"continues": {"seq": 1}},
    ],
)
def test_a_first_record_of_another_make_stands_in_nobodys_way(tmp_path: Path, odd: dict[str, object]) -> None:
    other = a_log(tmp_path, 3)
    head = {"format": 2, "log": "ab" * 16, "survey": "s", "label": "", "scope": "", "with": 1, "after": [], **odd}
    (tmp_path / "odd.jsonl").write_bytes(seal(0, "2031-05-03T06:00:00.000Z", "log", head, GENESIS))
    assert other in [log.path for log in read_folder(tmp_path).logs]
    assert len(verify([tmp_path]).verdicts) == 2
