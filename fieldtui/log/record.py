"""One record, one line: sealed, proved, read back.

    {"seq":n,"at":"…Z","kind":"…","data":{…},"prev":"<64 hex>","h":"<64 hex>"}

`h` is SHA-256 over the bytes of the line before `,"h":"`; `prev` is the `h` of the record before. Both stand at a
fixed distance from the end, so a line is proved and linked without reading its JSON.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from datetime import UTC, datetime
from functools import cache
from hashlib import sha256
from typing import Any

from msgspec import Struct

FORMAT = 1
KEYS = ("seq", "at", "kind", "data", "prev", "h")
GENESIS = "0" * 64  # the `prev` of record 0
HASH_WIDTH = 72  # ,"h":"<64 hex>"}
PREV = slice(-137, -73)
HASH = slice(-66, -2)
TAIL = b',"prev":"' + b"\0" * 64 + b'","h":"' + b"\0" * 64 + b'"}'
HEX = frozenset(b"0123456789abcdef")
KIND = re.compile(rb'\{"seq":\d{1,18},"at":"[^"]{0,40}","kind":"([a-z_]{1,40})","data":')
HEAD = re.compile(rb'\{"seq":(\d{1,18}),"at":"')

# kinds that the log writes for itself; they carry nothing of the survey
RESUMED, TORN, BATCH, AFTER = "resumed", "torn", "batch", "after"
BOOKKEEPING = frozenset({RESUMED, TORN, BATCH, AFTER})
LOG, CLOSED = "log", "closed"

# allow_nan=False: NaN is not JSON, and other readers would refuse the whole line
_encode = json.JSONEncoder(ensure_ascii=True, allow_nan=False, separators=(",", ":")).encode
_text = json.encoder.encode_basestring_ascii  # what the encoder does with a text, without its other questions


@cache
def json_parser() -> Callable[..., Any]:
    """The library's parser of JSON. Loaded with the first line that is read: a start through the index reads none."""
    from pydantic_core import from_json

    return from_json


class Record(Struct, frozen=True):
    """One durable entry: order in the file, booking time (UTC), kind, what was booked, the chain."""

    seq: int
    at: str
    kind: str
    data: dict[str, Any]
    prev: str
    h: str


def booking_time(moment: datetime) -> str:
    """RFC 3339 in UTC to the millisecond; ValueError for a time without a zone."""
    if moment.tzinfo is not UTC:
        if moment.tzinfo is None:
            raise ValueError("a booking time needs a time zone")
        moment = moment.astimezone(UTC)
    return moment.isoformat("T", "milliseconds")[: -len("+00:00")] + "Z"


def seal(seq: int, at: str, kind: str, data: dict[str, Any], prev: str) -> bytes:
    """The line of a record, newline included; TypeError or ValueError for data that JSON cannot hold."""
    body = f'{{"seq":{seq},"at":{_text(at)},"kind":{_text(kind)},"data":{_encode(data)},"prev":"{prev}"'.encode("ascii")
    return b'%b,"h":"%b"}\n' % (body, sha256(body).hexdigest().encode("ascii"))


def proves(line: bytes) -> bool:
    """True where the line (without newline) carries the hash of its own bytes."""
    return (
        line[-HASH_WIDTH:-66] == b',"h":"'
        and line[-2:] == b'"}'
        and sha256(line[:-HASH_WIDTH]).hexdigest().encode("ascii") == line[HASH]
        and line[-146:-137] == b',"prev":"'
        and HEAD.match(line) is not None
    )


def follows(line: bytes, seq: int, prev: str) -> bool:
    """True where the line proves itself and is record `seq` after the record with hash `prev`."""
    return line[PREV] == prev.encode("ascii") and line.startswith(b'{"seq":%d,' % seq) and proves(line)


def number(line: bytes) -> int:
    """The `seq` of a line that proves itself."""
    found = HEAD.match(line)
    if found is None:
        raise ValueError("not a record")
    return int(found[1])


def kind_of(line: bytes) -> str:
    """The kind of a line that proves itself, without reading its JSON; empty where it is not spelled plainly."""
    found = KIND.match(line)
    return found[1].decode("ascii") if found else ""


def parse(line: bytes) -> Record:
    """A proved line as a record; ValueError where its JSON is not a record's."""
    try:
        # only keys come again and again; values would be looked up in the cache for nothing
        value = json_parser()(line, allow_inf_nan=False, cache_strings="keys")
    except ValueError:  # a lone surrogate is JSON for `json` and not for pydantic_core
        return parse_one(line)
    return record_of(value)


def parse_one(line: bytes) -> Record:
    """As `parse`, more slowly and without the library: for the few lines with which a log begins."""
    try:
        return record_of(json.loads(line))
    except RecursionError as error:
        raise ValueError("lists inside lists without end") from error


def record_of(value: Any) -> Record:
    """A record from the JSON of its line; ValueError where it is not a record's."""
    if not isinstance(value, dict) or tuple(value) != KEYS:
        raise ValueError("a line that is not a record")
    record = Record(*value.values())
    if not (type(record.at) is type(record.kind) is str and type(record.data) is dict):
        raise ValueError("a record with values of another type")
    return record


def parse_or_bare(line: bytes) -> Record:
    """As `parse`; a proved line whose JSON is not a record's comes without kind and data, and explains nothing."""
    try:
        return parse(line)
    except ValueError:
        return Record(number(line), "", "", {}, line[PREV].decode("ascii"), line[HASH].decode("ascii"))


def looks_complete(line: bytes, allowed: int = 8) -> bool:
    """True where the end of the line has a record's shape, but for a few bytes.

    A line that was cut short cannot have it; a complete line that was changed later has: this tells a piece that
    was never saved from damage to a record that was.
    """
    tail = line[-len(TAIL) :]
    if len(tail) < len(TAIL):
        return False
    off = sum(byte not in HEX if shape == 0 else byte != shape for byte, shape in zip(tail, TAIL, strict=True))
    return off <= allowed
