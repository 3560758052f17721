"""What is whole, what is torn, what is damaged, and where."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

import pytest

from faultlab.checks import splices
from faultlab.cuts import NoSync, a_log, read
from faultlab.job import WHO, Ticking
from fieldtui.log import LogWriter
from fieldtui.log.record import HASH


@pytest.fixture
def content(tmp_path: Path) -> bytes:
    return a_log(tmp_path, 4).read_bytes()


def starts(content: bytes) -> list[int]:
    """The first byte of each line."""
    return [0] + [at + 1 for at, byte in enumerate(content) if byte == 10]


def test_records_taken_out_exchanged_doubled_or_foreign_are_told(tmp_path: Path) -> None:
    splices(tmp_path)


def test_damage_is_told_with_its_record_and_its_bytes_and_the_rest_is_read(content: bytes) -> None:
    at = starts(content)
    changed = bytearray(content)
    changed[at[3] + 90] ^= 1
    log = read(bytes(changed))
    assert log.state == "damaged"
    (damage,) = log.problems
    assert (damage.record, damage.last_record, damage.first_byte, damage.last_byte) == (3, 3, at[3], at[4] - 2)
    assert [record.seq for record in log.records] == [0, 1, 2, 4, 5]


def test_a_lost_newline_is_damage_of_one_byte_and_costs_no_record(content: bytes) -> None:
    at = starts(content)
    changed = bytearray(content)
    changed[at[3] - 1] ^= 1
    log = read(bytes(changed))
    assert [(one.first_byte, one.last_byte) for one in log.problems] == [(at[3] - 1, at[3] - 1)]
    assert len(log.records) == 6


def test_a_wrong_last_byte_is_accepted_and_marked(content: bytes) -> None:
    log = read(content[:-1] + b"\r")
    assert len(log.records) == 6
    assert log.problems == ()
    assert [(mark.first_byte, mark.last_byte) for mark in log.marks] == [(len(content) - 1, len(content) - 1)]
    assert log.state == "torn"


def test_bytes_after_the_closing_record_are_damage(tmp_path: Path) -> None:
    content = a_log(tmp_path, 2, closed=True).read_bytes()
    assert read(content).state == "whole"
    log = read(content + b'{"seq":5,"at')
    assert log.state == "damaged"
    assert log.problems[0].what == "Bytes after the closing record."


def test_a_page_of_zeros_before_a_resumption_is_filled_from_its_copy(tmp_path: Path) -> None:
    path = a_log(tmp_path, 2)
    LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()).close()
    content = path.read_bytes()
    at = starts(content)
    lost = content[: at[3]] + bytes(at[4] - at[3]) + content[at[4] :]
    log = read(lost)
    assert [record.data.get("dial") for record in log.records] == [None, None, "0.50", "1.50"]
    assert log.problems == ()
    (mark,) = log.marks
    assert (mark.record, mark.last_record, mark.first_byte) == (3, 3, at[3])
    assert "restored" in mark.what
    more = content[: at[2]] + bytes(at[4] - at[2]) + content[at[4] :]  # the copy gives back only what it holds
    assert read(more).state == "damaged"


def test_entries_restored_from_a_later_copy_stand_in_their_order(tmp_path: Path) -> None:
    path = a_log(tmp_path, 1)
    with LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()) as writer:
        writer.append_all([("dial", {"n": str(number)}) for number in range(4)])
    LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()).close()
    content = path.read_bytes()
    at = starts(content)
    whole = read(content)
    for first, second in ((5, 7), (6, 8), (4, 5)):  # two of the five lines of one write are gone, not side by side
        lost = content
        for line in (first, second):
            lost = lost[: at[line]] + bytes(at[line + 1] - at[line]) + lost[at[line + 1] :]
        log = read(lost)
        assert log.records == whole.records, (first, second)
        assert log.problems == ()
        assert log.marks != ()


def test_a_piece_that_changed_after_it_was_named_is_told_and_is_no_damage(tmp_path: Path) -> None:
    path = a_log(tmp_path, 2)
    whole = path.read_bytes()
    path.write_bytes(whole + b'{"seq":4,"at"')
    LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()).close()
    content = path.read_bytes()
    assert [mark.what for mark in read(content).marks] == ["An unfinished record, named by the record after it."]
    log = read(content.replace(b'{"seq":4,"at"\n', b'{"seq":4,"xt"\n'))
    assert [mark.what for mark in log.marks] == [
        "An unfinished record, named by the record after it and changed since."
    ]
    assert log.problems == ()
    other = read(content.replace(b'{"seq":4,"at"\n', b'{"seq":4,"a"\n'))
    assert other.state == "damaged"


def test_a_line_whose_hash_fits_and_which_is_no_record_is_told(content: bytes) -> None:
    last = content.split(b"\n")[-2][HASH]
    body = b'{"seq":6,"at":"","kind":"odd","data":[],"prev":"%b"' % last
    line = body + b',"h":"' + sha256(body).hexdigest().encode() + b'"}\n'
    log = read(content + line)
    assert log.state == "damaged"
    assert log.problems[0].record == 6
    assert len(log.records) == 6


@pytest.mark.parametrize("content", [b"", b"\n", b"\n\n\n", bytes(5000), b"a note\n" * 300, b"{}\n", b"\xff" * 90])
def test_other_files_are_empty_logs_and_no_error(content: bytes) -> None:
    log = read(content)
    assert log.records == ()
    assert log.state == "empty"
    assert log.id == ""


def test_a_long_file_of_rubbish_is_read_in_time_proportional_to_its_length() -> None:
    line = b'{"seq":1,"at":"' + b"x" * 40 + b"\n"
    assert read(line * 20_000).state == "empty"
