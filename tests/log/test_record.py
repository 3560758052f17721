"""One record, one line."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta, timezone
from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtui.log.record import GENESIS, booking_time, looks_complete, number, parse, proves, seal

AT = "2031-05-03T06:00:01.000Z"
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=12,
)


def test_the_line_is_as_the_format_says() -> None:
    line = seal(7, AT, "dial", {"dial": "12.3400", "note": "é\n"}, "ab" * 32)
    body = (
        b'{"seq":7,"at":"2031-05-03T06:00:01.000Z","kind":"dial",'
        b'"data":{"dial":"12.3400","note":"\\u00e9\\n"},"prev":"' + b"ab" * 32 + b'"'
    )
    assert line == body + b',"h":"' + sha256(body).hexdigest().encode() + b'"}\n'


def test_data_too_deep_to_read_are_no_record() -> None:
    deep = seal(7, AT, "dial", {"dial": 0}, GENESIS).replace(b":0}", b":" + b"[" * 100_000 + b"]" * 100_000 + b"}")
    with pytest.raises(ValueError, match="lists inside lists"):
        parse(deep)


@given(st.dictionaries(st.text(), JSON, max_size=5))
def test_what_is_sealed_is_read_back(data: dict[str, object]) -> None:
    line = seal(3, AT, "note", data, GENESIS)
    assert line.isascii()
    assert line.count(b"\n") == 1
    assert proves(line[:-1])
    assert number(line[:-1]) == 3
    record = parse(line[:-1])
    assert (record.seq, record.at, record.kind, record.data, record.prev) == (3, AT, "note", data, GENESIS)
    assert record.h.encode() in line


def test_a_figure_keeps_the_zeros_it_was_typed_with() -> None:
    assert parse(seal(1, AT, "dial", {"dial": "12.3400"}, GENESIS)[:-1]).data["dial"] == "12.3400"


@pytest.mark.parametrize("value", [float("nan"), float("inf"), {1, 2}, b"bytes"])
def test_what_json_cannot_hold_is_refused(value: object) -> None:
    with pytest.raises((TypeError, ValueError)):
        seal(1, AT, "dial", {"dial": value}, GENESIS)


def test_a_lone_surrogate_from_a_bad_byte_is_kept() -> None:
    assert parse(seal(1, AT, "note", {"note": "\udcff"}, GENESIS)[:-1]).data == {"note": "\udcff"}


def test_a_line_without_its_own_hash_proves_nothing() -> None:
    line = seal(1, AT, "note", {}, GENESIS)[:-1]
    assert proves(line)
    assert not proves(line[:-1])
    assert not proves(line + b" ")
    assert not proves(line.replace(b'"kind":"note"', b'"kind":"nota"'))
    assert not proves(b"")


@pytest.mark.parametrize(
    "body",
    [
        b'{"seq":1,"at":"","kind":"a","data":[],"prev":"%b"' % GENESIS.encode(),
        b'{"seq":1,"at":"","kind":"a","prev":"%b"' % GENESIS.encode(),
        b'{"seq":1,"at":"","kind":7,"data":{},"prev":"%b"' % GENESIS.encode(),
    ],
)
def test_a_line_with_other_contents_is_no_record(body: bytes) -> None:
    line = body + b',"h":"' + sha256(body).hexdigest().encode() + b'"}'
    assert proves(line)
    with pytest.raises(ValueError, match="record"):
        parse(line)


def test_booking_time_is_utc_to_the_millisecond() -> None:
    local = datetime(2031, 5, 3, 8, 0, 1, 234567, tzinfo=timezone(timedelta(hours=2)))
    assert booking_time(local) == "2031-05-03T06:00:01.234Z"
    assert booking_time(datetime(2031, 5, 3, 6, tzinfo=UTC)) == "2031-05-03T06:00:00.000Z"
    with pytest.raises(ValueError, match="time zone"):
        booking_time(datetime(2031, 5, 3, 6))  # noqa: DTZ001 - that is the point


def test_a_cut_line_does_not_look_complete_and_a_changed_one_does() -> None:
    line = seal(1, AT, "dial", {"dial": "12.5", "fill": "." * 200}, GENESIS)[:-1]
    assert looks_complete(line)
    assert not any(looks_complete(line[:cut]) for cut in range(len(line)))
    for at in range(len(line)):
        changed = bytearray(line)
        changed[at] ^= 0x04
        assert looks_complete(bytes(changed))
    assert json.loads(line)["h"].encode() in line
