"""Several folders into one: the order in which they come does not matter, nothing is lost, no source is written."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from shutil import copytree

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from faultlab.cuts import NoSync, a_log
from faultlab.job import WHO, Ticking
from fieldtui.log import LogRefused, LogWriter, WriteFailed, read_folder, read_log
from fieldtui.log.gather import Gathered, gather

Contents = dict[str, bytes]


def beheaded(content: bytes) -> bytes:
    """The first record damaged: nothing in the file says which log it is."""
    return content.replace(b'"format":1', b'"format":2', 1)


def the_versions(place: Path) -> list[tuple[str, bytes]]:
    """Files of three logs: beginnings, forks, a torn one, damaged ones that help each other, one never begun."""
    versions: list[tuple[str, bytes]] = []
    for number in range(2):
        path = a_log(place, 4, log_id=f"{number + 1:08x}" * 4)
        whole = path.read_bytes()
        lines = whole.splitlines(keepends=True)
        versions += [(path.name, whole), (path.name, b"".join(lines[:4])), ("renamed.jsonl", b"".join(lines[:3]))]
    versions.append((path.name, whole[:-20]))
    versions.append((path.name, whole + b'{"seq":6'))
    versions.append((path.name, whole.replace(b'"1.50"', b'"1.51"')))
    versions.append((path.name, b"".join(lines[:5]).replace(b'"2.50"', b'"2.51"')))
    for dial in ("1", "2"):
        path.write_bytes(b"".join(lines[:4]))
        with LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()) as writer:
            writer.append("dial", {"dial": dial})
        versions.append((path.name, path.read_bytes()))
    versions.append(("beheaded.jsonl", beheaded(whole)))
    versions.append(("beheaded too.jsonl", beheaded(b"".join(lines[:4]))))
    versions.append(("stub.jsonl", whole[:300]))
    return versions


with tempfile.TemporaryDirectory() as made_in:
    VERSIONS = the_versions(Path(made_in))
PICKS = st.lists(st.integers(0, len(VERSIONS) - 1), max_size=5)
FOLDERS = st.lists(PICKS, min_size=3, max_size=3)


def laid_out(place: Path, picks: list[int]) -> Path:
    """A folder with these versions, each in a folder of its own below it."""
    for count, pick in enumerate(picks):
        name, content = VERSIONS[pick]
        (place / str(count)).mkdir(parents=True)
        (place / str(count) / name).write_bytes(content)
    place.mkdir(exist_ok=True)
    return place


def state(folder: Path) -> Contents:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def gathered(into: Path, *sources: Path) -> Contents:
    for source in sources:
        gather([source], into, calls=NoSync())
    return state(into)


def records(folders: list[Path]) -> set[tuple[int, str]]:
    logs = [read_log(path) for folder in folders for path in folder.rglob("*.jsonl")]
    return {link for log in logs if log.begun or log.beheaded for link in log.chain}


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(FOLDERS)
def test_gathering_commutes_associates_repeats_and_loses_nothing(picked: list[list[int]]) -> None:
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        a, b, c = (laid_out(place / letter, picks) for letter, picks in zip("abc", picked, strict=True))
        before = [state(one) for one in (a, b, c)]
        one_by_one = gathered(place / "1", a, b, c)
        assert gathered(place / "2", c, a, b) == one_by_one
        gather([b, c, a], place / "3", calls=NoSync())
        assert state(place / "3") == one_by_one
        gathered(place / "4", b, c)
        assert gathered(place / "5", a, place / "4") == one_by_one  # a + (b + c)
        assert gathered(place / "1", a, b, place / "1") == one_by_one
        assert [state(one) for one in (a, b, c)] == before
        assert records([place / "1"]) == records([a, b, c])


def test_what_was_done_is_told(tmp_path: Path) -> None:
    a, b = laid_out(tmp_path / "a", [0, 1, 4]), laid_out(tmp_path / "b", [3, len(VERSIONS) - 1])
    told: list[tuple[int, int]] = []
    first = gather([a, b], tmp_path / "all", calls=NoSync(), progress=lambda done, every: told.append((done, every)))
    assert len(first.new) == 2
    assert first.never_begun == (str(b / "1" / "stub.jsonl"),)
    assert told[-1] == (5, 5)
    assert not first.needs_attention
    again = gather([a, b], tmp_path / "all", calls=NoSync())
    assert (again.new, again.longer, again.same) == ((), (), 2)
    assert json.loads(json.dumps(first.as_data()))["into"] == str(tmp_path / "all")
    (tmp_path / "less").mkdir()
    less = gather([laid_out(tmp_path / "c", [1])], tmp_path / "less", calls=NoSync())
    more = gather([a], tmp_path / "less", calls=NoSync())
    assert less.new == more.longer


def test_a_fork_is_kept_twice_and_folded_by_nobody(tmp_path: Path) -> None:
    forks = [
        number for number, (_, content) in enumerate(VERSIONS) if b'"dial":"1"' in content or b'"dial":"2"' in content
    ]
    told = gather([laid_out(tmp_path / "a", forks)], tmp_path / "all", calls=NoSync())
    assert told.needs_attention
    (fork,) = told.forks
    assert fork.seq == 5
    assert len(list((tmp_path / "all").glob("*.jsonl"))) == 2
    assert read_folder(tmp_path / "all").logs == ()
    assert told.as_data()["forks"][0]["log"] == fork.log


def test_of_two_copies_with_the_same_records_one_is_kept(tmp_path: Path) -> None:
    whole, with_piece = VERSIONS[3], VERSIONS[7]
    assert with_piece[1].startswith(whole[1])
    for number, picks in enumerate(([3, 7], [7, 3])):
        gather([laid_out(tmp_path / f"from{number}", picks)], tmp_path / f"all{number}", calls=NoSync())
        assert state(tmp_path / f"all{number}") == {whole[0]: with_piece[1]}


def test_a_log_that_is_open_in_the_target_is_left_as_it_is(tmp_path: Path) -> None:
    target = tmp_path / "all"
    path = a_log(target, 2)
    more = tmp_path / "more" / path.name
    copytree(target, more.parent)
    with LogWriter.reopen(more, clock=Ticking(), identity=WHO, calls=NoSync()) as writer:
        writer.append("dial", {"dial": "7"})
    before = path.read_bytes()
    with LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()):
        held = path.read_bytes()
        told = gather([more.parent], target, calls=NoSync())
        assert path.read_bytes() == held
    assert len(told.open_here) == 1
    assert told.needs_attention
    path.write_bytes(before)
    assert gather([more.parent], target, calls=NoSync()).longer


def test_another_file_of_that_name_is_not_overwritten(tmp_path: Path) -> None:
    path = a_log(tmp_path / "a", 2)
    (tmp_path / "all").mkdir()
    (tmp_path / "all" / path.name).write_text("a note\n")
    with pytest.raises(LogRefused, match="Another file"):
        gather([tmp_path / "a"], tmp_path / "all", calls=NoSync())
    assert (tmp_path / "all" / path.name).read_text() == "a note\n"


def test_a_full_disk_is_told_and_what_was_there_stays(tmp_path: Path) -> None:
    class Full(NoSync):
        def write(self, fd: int, data: bytes) -> int:
            return super().write(fd, data[:100])

    path = a_log(tmp_path / "a", 5)
    short = tmp_path / "all" / path.name
    short.parent.mkdir()
    short.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[:4]))
    before = short.read_bytes()
    with pytest.raises(WriteFailed, match="not gathered"):
        gather([tmp_path / "a"], tmp_path / "all", calls=Full())
    assert short.read_bytes() == before
    done: Gathered = gather([tmp_path / "a"], tmp_path / "all", calls=NoSync())
    assert len(done.longer) == 1
    assert short.read_bytes() == path.read_bytes()


def test_a_log_whose_first_record_is_damaged_is_taken_and_put_together_with_a_copy_that_has_it(tmp_path: Path) -> None:
    whole = a_log(tmp_path / "made", 4)
    content = whole.read_bytes()
    lines = content.splitlines(keepends=True)
    (tmp_path / "laptop").mkdir()
    (tmp_path / "laptop" / whole.name).write_bytes(beheaded(content))
    told = gather([tmp_path / "laptop"], tmp_path / "all", calls=NoSync())
    assert len(told.new) == 1
    assert told.damaged == (f"{told.new[0]}.jsonl",)
    assert told.needs_attention
    assert read_folder(tmp_path / "all").logs == (), "nothing says which log it is"
    (tmp_path / "stick").mkdir()
    (tmp_path / "stick" / whole.name).write_bytes(b"".join(lines[:3]))
    gather([tmp_path / "stick"], tmp_path / "all", calls=NoSync())
    (log,) = read_folder(tmp_path / "all").logs
    assert log.records == read_log(whole).records
    gather([tmp_path / "made"], tmp_path / "all", calls=NoSync())
    assert state(tmp_path / "all") == {whole.name: content}, "a whole copy has all that the damaged one has"
