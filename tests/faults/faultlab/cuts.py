"""A log cut at every byte and with every bit flipped.

Each function asserts what must hold and gives the number of cases; `sample` takes every so many-th case.
"""

from __future__ import annotations

from pathlib import Path

from faultlab.job import WHO, Ticking
from fieldtui.log import LogFile, LogWriter, OsCalls, Record
from fieldtui.log.reader import log_of, scan

PLACE = Path("invented.jsonl")


class NoSync(OsCalls):
    """Real files without the wait for the disk: for tests of bytes, not of durability."""

    def fsync(self, fd: int) -> None:
        return

    def fsync_folder(self, folder: Path) -> None:
        return

    def pause(self, seconds: float) -> None:
        return


def read(content: bytes) -> LogFile:
    return log_of(PLACE, content, *scan(content))


def a_log(folder: Path, entries: int, *, closed: bool = False, log_id: str = "0a" * 16) -> Path:
    """A log of record 0, a route and `entries` more, the last `closed` where asked."""
    clock = Ticking()
    writer = LogWriter.create(
        folder,
        survey="survey-1",
        label="one \N{LATIN SMALL LETTER E WITH ACUTE}",
        scope="route",
        after=[],
        first=[("route", {"text": 'name = "invented"\n', "files": {"punched.csv": "1,25.01\n"}})],
        clock=clock,
        identity=WHO,
        calls=NoSync(),
        log_id=log_id,
    )
    for number in range(entries):
        writer.append("dial", {"chord": "L-R", "dial": f"{number}.50", "unit": "mm", "seq": number})
    if closed:
        writer.append("closed", {"chords": {"L-R": {"length": "8000.00"}}})
    writer.close()
    return writer.path


def a_log_with_a_history(folder: Path) -> Path:
    """A log that was torn and taken up again, more than once."""
    path = a_log(folder, 3)
    for number in range(2):
        with path.open("ab") as file:
            file.write(b'{"seq":7,"at":"2031-05-03T06:00:09.000Z","ki')
        with LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()) as writer:
            writer.append("dial", {"dial": f"{number}.75"})
            writer.append_all([("hole", {"hole": "12"}), ("temperature", {"temperature": "14.5"})])
    return path


def whole_before(content: bytes, cut: int, records: tuple[Record, ...]) -> tuple[Record, ...]:
    """The records that a file cut at a byte must still give: all whose last hash character is there."""
    ends, position = [], 0
    for line in content.split(b"\n")[:-1]:
        position += len(line) + 1
        ends.append(position - 1)
    return tuple(record for record, end in zip(records, ends, strict=True) if end <= cut)


def cut_everywhere(content: bytes, folder: Path, *, sample: int = 1) -> int:
    """Cut, read, take up again: the whole records are there, the bytes are kept, and the log takes entries."""
    every = read(content)
    assert every.problems == ()
    assert len(every.records) == content.count(b"\n"), "only for a log without bookkeeping"
    begun = len(content.split(b"\n")[0]) + len(content.split(b"\n")[1]) + 1
    folder.mkdir(exist_ok=True)
    cases = range(0, len(content), sample)
    for cut in cases:
        left = content[:cut]
        expected = whole_before(content, cut, every.records)
        found = read(left)
        assert found.records == expected, f"cut at {cut}"
        assert found.problems == (), f"cut at {cut}: {found.problems}"
        if cut < begun:
            assert found.state == "empty", f"cut at {cut}"
            continue
        at_an_end = content[cut - 1 : cut] == b"\n" or content[cut : cut + 1] == b"\n"
        assert found.state == ("unclosed" if at_an_end else "torn"), f"cut at {cut}"
        take_up(left, expected, folder / "cut.jsonl")
    return len(cases)


def take_up(left: bytes, expected: tuple[Record, ...], path: Path) -> bytes:
    """Reopen a file with these bytes and book; gives the bytes after."""
    path.write_bytes(left)
    with LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync()) as writer:
        assert tuple(writer.records) == expected
        healed = path.read_bytes()
        booked = writer.append("dial", {"dial": "1.25"})
    after = path.read_bytes()
    assert after.startswith(left), "what was in the file is no longer its beginning"
    found = read(after)
    assert found.records == (*expected, booked)
    assert found.problems == ()
    assert found.state == "unclosed"
    assert found.piece is None
    return healed


def interrupt_recovery(content: bytes, cut: int, folder: Path, *, depth: int, sample: int = 1) -> int:
    """Cut, take up again, cut the recovery at every byte, take up again, and so on."""
    folder.mkdir(exist_ok=True)
    expected = whole_before(content, cut, read(content).records)
    layer = [content[:cut]]
    count = 0
    for level in range(depth):
        following = []
        for number, left in enumerate(layer):
            healed = take_up(left, expected, folder / "again.jsonl")
            count += 1
            step = sample if level == 0 else sample * 37
            following += [healed[:at] for at in range(len(left), len(healed), step)][number % 3 :]
        layer = following
    for left in layer:
        take_up(left, expected, folder / "again.jsonl")
    return count + len(layer)


def flip_everywhere(content: bytes, *, sample: int = 1, bits: int = 8) -> int:
    """Flip each bit: told, located to a record or a pair, and every other record still there."""
    whole = read(content)
    assert whole.problems == ()
    told = {(mark.first_byte, mark.last_byte, mark.what) for mark in whole.marks}
    starts, position = [], 0
    for line in content.split(b"\n")[:-1]:
        starts.append(position)
        position += len(line) + 1
    starts.append(position)
    flipped = bytearray(content)
    cases = range(0, len(content) * bits, sample)
    for case in reversed(cases):  # the end is where rules differ most
        at, bit = divmod(case, bits)
        flipped[at] ^= 1 << bit
        found = read(bytes(flipped))
        flipped[at] ^= 1 << bit
        new = [m for m in found.marks if (m.first_byte, m.last_byte, m.what) not in told]
        _located(at, bit, (*found.problems, *new), starts)
        kept = {record.h for record in found.records}
        missing = [record for record in whole.records if record.h not in kept]
        assert len(missing) <= 2, f"flip at {at}.{bit} lost {len(missing)} records"
        assert kept <= {record.h for record in whole.records}, f"flip at {at}.{bit} made a record"
        if missing:
            assert found.state == "damaged", f"flip at {at}.{bit} lost a record and the log is {found.state}"
    return len(cases)


def _located(at: int, bit: int, said: tuple[object, ...], starts: list[int]) -> None:
    """One of the findings holds the byte and spans at most two lines."""
    assert said, f"flip at {at}.{bit} was not seen"
    fits = [one for one in said if one.first_byte <= at <= one.last_byte + 1]  # type: ignore[attr-defined]
    assert fits, f"flip at {at}.{bit} was seen elsewhere: {said}"
    best = min(fits, key=lambda one: one.last_byte - one.first_byte)  # type: ignore[attr-defined]
    begun = sum(best.first_byte < start <= best.last_byte for start in starts[:-1])  # type: ignore[attr-defined]
    assert begun <= 1, f"flip at {at}.{bit}: {best} spans {begun + 1} lines"
    assert best.last_record - best.record <= 1  # type: ignore[attr-defined]
