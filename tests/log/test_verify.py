"""Whole, open, torn, damaged, forked, missing; and the code in the field book."""

from __future__ import annotations

import json
import os
from io import BytesIO
from pathlib import Path

import pytest

from faultlab.cuts import NoSync, a_log, a_log_with_a_history
from faultlab.job import WHO, Ticking
from fieldtui.log import LogRefused, LogWriter, read_log, short_code, stream
from fieldtui.log.verify import verify, verify_log


def test_each_state_is_told_as_the_reader_tells_it(tmp_path: Path) -> None:
    closed = a_log(tmp_path / "closed", 4, closed=True)
    content = closed.read_bytes()
    unclosed = a_log(tmp_path / "unclosed", 4)
    history = a_log_with_a_history(tmp_path / "history")
    made = {
        "torn": unclosed.read_bytes()[:-30],
        "last byte": content[:-1] + b"x",
        "no newline": content[:-1],
        "damaged": content.replace(b'"1.50"', b'"1.51"'),
        "joined": content.replace(b"\n", b"x", 3),
        "after the end": content + b"x" * 40,
        "empty": b"",
        "other": b"a note\n",
        "history, changed": history.read_bytes().replace(b'"1.75"', b'"1.76"'),
        "zeros": content + bytes(9000),
    }
    paths = [closed, unclosed, history]
    for name, bytes_ in made.items():
        paths.append(tmp_path / f"{name}.jsonl")
        paths[-1].write_bytes(bytes_)
    for path in paths:
        log, verdict = read_log(path), verify_log(path)
        assert verdict.state == log.state, path.name
        assert verdict.problems == log.problems, path.name
        assert verdict.marks == log.marks, path.name
        assert verdict.records == len(log.chain), path.name
        assert verdict.h == (log.last.h if log.last else "0" * 64), path.name
        assert verdict.id == log.id
    assert {verify_log(path).state for path in paths} == {"whole", "unclosed", "torn", "damaged", "empty"}


def test_a_log_that_is_open_is_open(tmp_path: Path) -> None:
    path = a_log(tmp_path, 2)
    with LogWriter.reopen(path, clock=Ticking(), calls=NoSync()):
        assert verify_log(path).state == "open"


class Growing(BytesIO):
    """A file that is at its end in the middle of a line, and by the next look a writer has added the rest."""

    def __init__(self, content: bytes, cut: int) -> None:
        super().__init__(content[:cut])
        self._rest = content[cut:]

    def readlines(self, hint: int | None = -1, /) -> list[bytes]:
        lines = super().readlines(hint)
        here, self._rest = self._rest, b""
        place = self.tell()
        self.seek(0, os.SEEK_END)
        self.write(here)
        self.seek(place)
        return lines


def test_a_line_that_a_writer_is_just_adding_is_never_taken_for_a_broken_one(tmp_path: Path) -> None:
    content = a_log(tmp_path, 4).read_bytes()
    last = content[:-1].rindex(b"\n") + 1
    for cut in range(last + 1, len(content)):
        passed = stream.pass_over(Growing(content, cut), cut)
        assert passed.chain.problems == []
        assert passed.records >= content.count(b"\n") - 1


def test_a_log_that_is_being_written_needs_no_attention_whatever_of_its_last_line_is_there(tmp_path: Path) -> None:
    path = a_log(tmp_path, 3)
    with LogWriter.reopen(path, clock=Ticking(), calls=NoSync()):
        content = path.read_bytes()
        last = content[:-1].rindex(b"\n") + 1
        for cut in range(last + 1, len(content)):
            os.truncate(path, cut)
            assert (verify_log(path).state, verify_log(path).needs_attention) == ("open", False)
            path.write_bytes(content)


def test_the_code_of_the_head_is_taken_back(tmp_path: Path) -> None:
    path = a_log(tmp_path, 4, closed=True)
    verdict = verify_log(path)
    code = verdict.code
    assert verify_log(path, code=code.lower()).code_answer == "fits"
    earlier = short_code(read_log(path).records[3].h)
    assert verify_log(path, code=earlier).code_answer == "fits an earlier record"
    assert verify_log(path, code=short_code("7" * 64)).code_answer == "fits no record"
    assert verify_log(path, code=code[:-1] + ("A" if code[-1] != "A" else "B")).code_answer == "was not copied well"
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(lines[:-1]))  # a tail cut off at a record leaves a sound chain
    assert verify_log(path).needs_attention is False
    cut = verify([path], code=code)
    assert cut.code_answer == "fits no record"
    assert cut.needs_attention


def test_several_together_show_forks_and_missing_logs(tmp_path: Path) -> None:
    one = a_log(tmp_path / "a", 3)
    copy = tmp_path / "b" / one.name
    copy.parent.mkdir()
    copy.write_bytes(one.read_bytes())
    for path, dial in ((one, "1"), (copy, "2")):
        with LogWriter.reopen(path, clock=Ticking(), calls=NoSync(), identity=WHO) as writer:
            writer.append("dial", {"dial": dial})
    tip = read_log(one).records[3]
    named = [{"log": read_log(one).id, "seq": 3, "h": tip.h}, {"log": "f" * 32, "seq": 9, "h": "a" * 64}]
    LogWriter.create(
        tmp_path / "a", survey="s", label="", scope="", after=named, clock=Ticking(), calls=NoSync(), identity=WHO
    ).close()
    found = verify([tmp_path / "a", copy])
    (fork,) = found.forks
    assert (fork.log, fork.seq, set(fork.paths)) == (read_log(one).id, 6, {one, copy})
    (missing,) = found.missing  # the other head is named and there, though not the last of its log
    assert missing.log == "f" * 32
    assert found.needs_attention
    data = json.loads(json.dumps(found.as_data()))
    assert data["forks"][0]["seq"] == 6
    assert data["missing"][0]["seq"] == 9
    assert data["needs_attention"] is True


def test_a_file_that_cannot_be_read_is_told_among_the_others(tmp_path: Path) -> None:
    path = a_log(tmp_path, 2)
    found = verify([path, tmp_path / "gone.jsonl"])
    assert len(found.verdicts) == 1
    assert "cannot be read" in str(found.unread[0])
    assert found.needs_attention
    with pytest.raises(LogRefused):
        verify_log(tmp_path / "gone.jsonl")


def test_progress_is_told_in_bytes_and_reaches_the_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stream, "BLOCK", 1000)
    paths = [a_log(tmp_path / "a", 20), a_log(tmp_path / "b", 20, log_id="0b" * 16)]
    size = sum(path.stat().st_size for path in paths)
    told: list[tuple[int, int]] = []
    verify(paths, progress=lambda done, every: told.append((done, every)))
    assert len(told) > 8
    assert told == sorted(told)
    assert told[-1] == (size, size)


@pytest.mark.parametrize("block", [1, 300, 1000, 2500])
def test_blocks_change_nothing(block: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = a_log_with_a_history(tmp_path)
    changed = tmp_path / "changed.jsonl"
    changed.write_bytes(path.read_bytes().replace(b'"1.50"', b'"1.51"'))
    at_once = [verify_log(path), verify_log(changed)]
    monkeypatch.setattr(stream, "BLOCK", block)
    assert [verify_log(path), verify_log(changed)] == at_once


def test_what_is_no_file_is_told_and_nobody_waits_for_it(tmp_path: Path) -> None:
    a_log(tmp_path, 4)
    os.mkfifo(tmp_path / "20310503T060000Z-0badcafe.jsonl")
    found = verify([tmp_path])
    assert len(found.verdicts) == 1
    assert "This is no file" in str(found.unread[0])
