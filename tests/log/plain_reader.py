"""A reader of the survey log that imports nothing of the project: what the format says, in thirty lines."""

import hashlib
import json


def read(content):
    """Records by number, and the byte ranges that are none; copies in `resumed` fill what is lost before them."""
    found, odd, start = {}, [], 0
    for line in content.split(b"\n"):
        whole = line if proved(line) else line[:-1] if proved(line[:-1]) else line[line.rfind(b'{"seq":') :]
        if proved(whole):
            record = json.loads(whole)
            copies = record["data"]["copies"] if record["kind"] == "resumed" else []
            for one in [json.loads(copy) for copy in copies if proved(copy.encode())] + [record]:
                found.setdefault(one["seq"], one)
        if whole != line or not proved(line):
            odd += [(start, start + len(line))] if line else []
        start += len(line) + 1
    return [found[seq] for seq in sorted(found)], odd


def proved(line):
    body, tail = line[:-72], line[-72:]
    return tail == b',"h":"%b"}' % hashlib.sha256(body).hexdigest().encode() and body.startswith(b'{"seq":')


def unlinked(records):
    """Numbers of records that do not name the one before; bookkeeping that was lost leaves a step."""
    before = [{"seq": -1, "h": "0" * 64}, *records[:-1]]
    return [b["seq"] for a, b in zip(before, records, strict=True) if (b["prev"], b["seq"]) != (a["h"], a["seq"] + 1)]
