"""Verifying, taking up again, and a folder of a thousand surveys.

python -m tests.bench.log.read [FOLDER] [RECORDS TO VERIFY]
"""

from __future__ import annotations

import gc
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

from fieldtui.log import LogWriter, OsCalls, heads, read_folder
from fieldtui.log.index import NAME, Derive, read_indexed
from fieldtui.log.verify import verify_log
from tests.bench.figure import Figure, told
from tests.bench.log.measure import in_turns, machine

ENTRY = {"station": "S12", "chord": "L-R", "dial": "12.34", "unit": "mm", "read_at": "2031-05-03T06:00:00Z"}


class NoSync(OsCalls):
    """Real files without the wait for the disk."""

    def fsync(self, fd: int) -> None:
        return

    def fsync_folder(self, folder: Path) -> None:
        return


def now() -> datetime:
    return datetime.now(UTC)


def a_log(folder: Path, records: int, after: list[dict[str, object]] | None = None) -> LogWriter:
    writer = LogWriter.create(folder, survey="s", label="", scope="", after=after or [], clock=now, calls=NoSync())
    for start in range(0, records, 10_000):
        writer.append_all([("dial", ENTRY)] * min(10_000, records - start))
    return writer


def hash_and_link_alone(path: Path) -> bool:
    prev, sound = b"0" * 64, True
    with path.open("rb") as file:
        for line in file:
            h = sha256(line[:-73]).hexdigest().encode()
            sound = sound and h == line[-67:-3] and line[-138:-74] == prev
            prev = h
    return sound


def verifying(folder: Path, records: int) -> Iterator[Figure]:
    writer = a_log(folder, records)
    writer.close()
    assert hash_and_link_alone(writer.path)
    assert verify_log(writer.path).records >= records
    times = in_turns({"alone": lambda: hash_and_link_alone(writer.path), "verify": lambda: verify_log(writer.path)}, 5)
    print(f"verify, {records} records: {times['verify']:.2f} s; hash and link alone {times['alone']:.2f} s")
    yield Figure("verify beside hash and link alone", times["verify"] / times["alone"], 1.3)


def reopening(folder: Path) -> Iterator[Figure]:
    gc.disable()  # it looks for rings at odd moments; records hold none
    times = {}
    for records in (5_000, 10_000, 20_000):
        writer = a_log(folder / str(records), records)
        for _ in range(3):
            writer.append("dial", ENTRY)  # the last write is one entry, as in the walk
        writer.close()
        path = writer.path
        times[records] = in_turns({"": lambda path=path: _reopen(path)}, 7)[""]
    yield Figure("reopen 10,000 records", times[10_000] * 1e3, 150, "ms")
    yield Figure("twice as many records take, of twice the time", times[20_000] / times[10_000] / 2, 1.15)
    gc.enable()


def _reopen(path: Path) -> None:
    LogWriter.reopen(path, clock=now, calls=NoSync()).close()


def a_thousand_surveys(folder: Path) -> Iterator[Figure]:
    tip: list[dict[str, object]] = []
    for _ in range(1000):
        writer = a_log(folder, 120, tip)
        writer.append("closed", {"chords": {}})
        tip = [writer.tip]
        writer.close()
    derive = Derive("", lambda log: {"dials": b"x" * 8000})
    time.sleep(2.5)  # a file that is younger than that is held against its bytes once more
    start = time.perf_counter()
    read_indexed(folder, derive)
    built = time.perf_counter() - start
    times = in_turns({"index": lambda: read_indexed(folder, derive), "logs": lambda: read_folder(folder)}, 5)
    size = (folder / NAME).stat().st_size
    print(f"1,000 surveys of 120 records: index built in {built * 1e3:.0f} ms, {size / 1e3:.0f} kB")
    yield Figure("a folder of 1,000 surveys by its index, beside its logs", times["index"] / times["logs"], 0.15)
    assert heads(read_indexed(folder, derive)[0]) == tip


def measured(folder: Path, records: int) -> Iterator[Figure]:
    print(machine())
    yield from a_thousand_surveys(folder / "thousand")
    yield from reopening(folder / "reopen")
    yield from verifying(folder / "verify", records)


def figures(quick: bool) -> Iterator[Figure]:
    with tempfile.TemporaryDirectory(dir=Path.cwd()) as name:
        yield from measured(Path(name), 50_000 if quick else 1_000_000)


if __name__ == "__main__":
    place = Path(sys.argv[1]) if len(sys.argv) > 1 else Path.cwd()
    with tempfile.TemporaryDirectory(dir=place) as name:
        list(told(measured(Path(name), int(sys.argv[2]) if len(sys.argv) > 2 else 1_000_000)))
