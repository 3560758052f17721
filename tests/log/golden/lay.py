"""Lays the golden logs of format 1. A log that is there is never laid again: these files hold the program to its
promise that every log ever written stays readable.

    python tests/log/golden/lay.py        from the project's root
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from unittest.mock import patch

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent.parent / "faults"))

from faultlab.cuts import NoSync  # noqa: E402
from faultlab.job import WHO, Ticking  # noqa: E402
from fieldtui.log import LogWriter, opening, read_log  # noqa: E402


def begun(folder: Path, log_id: str, clock: Ticking, **named: object) -> LogWriter:
    return LogWriter.create(
        folder,
        survey=f"survey-{log_id[:2]}",
        label="Invented gallery, \N{LATIN SMALL LETTER O WITH DIAERESIS}st",
        scope="route",
        first=[("route", {"text": 'name = "invented"\n', "sha256": "0" * 64, "files": {}})],
        clock=clock,
        identity=WHO,
        calls=NoSync(),
        log_id=log_id * 16,
        **{"after": [], **named},  # type: ignore[arg-type]
    )


def whole(folder: Path) -> LogWriter:
    """Booked one by one and several at a time, and closed."""
    writer = begun(folder, "01", Ticking())
    writer.append("hole", {"chord": "L-R", "hole": "319", "unit": ""})
    writer.append("dial", {"chord": "L-R", "dial": "12.3400", "unit": "mm"})
    writer.append_all([("dial", {"dial": "12.36"}), ("note", {"note": "d\N{LATIN SMALL LETTER E WITH ACUTE}gel\n[x]"})])
    writer.append("closed", {"chords": {"L-R": {"length": "8000.12"}}, "reduction": 1})
    return writer


def torn(folder: Path) -> LogWriter:
    """Cut in the middle of a record, taken up, cut again in the recovery, taken up and closed."""
    writer = begun(folder, "02", Ticking())
    writer.append("dial", {"dial": "1.00"})
    writer.close()
    for piece in (b'{"seq":3,"at":"2031-05-03T06:00:09.0', b'\n{"seq":5,"at":"2031'):
        with writer.path.open("ab") as file:
            file.write(piece)
        writer = LogWriter.reopen(writer.path, clock=Ticking(), identity=WHO, calls=NoSync())
        writer.append("dial", {"dial": "2.00"})
        writer.close()
    writer = LogWriter.reopen(writer.path, clock=Ticking(), identity=WHO, calls=NoSync())
    writer.append("closed", {})
    return writer


def restored(folder: Path) -> LogWriter:
    """An entry whose page was dropped after a failed fsync stands in the resumption only."""
    writer = begun(folder, "03", Ticking())
    writer.append("dial", {"dial": "1.00"})
    writer.append("dial", {"dial": "2.00"})
    writer.close()
    start = writer.path.read_bytes().rstrip(b"\n").rfind(b"\n") + 1
    end = writer.path.stat().st_size
    writer = LogWriter.reopen(writer.path, clock=Ticking(), identity=WHO, calls=NoSync())
    writer.append("closed", {})
    writer.close()
    content = writer.path.read_bytes()
    writer.path.write_bytes(content[:start] + bytes(end - start) + content[end:])
    return writer


def continued(folder: Path) -> LogWriter:
    """Goes on from a log that failed, and names many heads."""
    first = begun(folder, "04", Ticking())
    first.append("dial", {"dial": "1.00"})
    first.close()
    heads = [{"log": f"{number:032x}", "seq": number, "h": f"{number:064x}"} for number in range(1, 9)]
    writer = begun(folder, "05", Ticking(), continues=first.tip, after=heads)
    writer.append("dial", {"dial": "2.00"})
    return writer


def damaged(folder: Path) -> LogWriter:
    """One bit of one record is wrong."""
    writer = begun(folder, "06", Ticking())
    for number in range(4):
        writer.append("dial", {"dial": f"{number}.00"})
    content = bytearray(writer.path.read_bytes())
    content[content.index(b'"1.00"') + 1] ^= 1
    writer.path.write_bytes(content)
    return writer


def main() -> None:
    with patch.object(opening, "__version__", "0.1.0"):
        for lay in (whole, torn, restored, continued, damaged):
            if (HERE / f"{lay.__name__}.jsonl").exists():
                continue
            writer = lay(HERE / "making")
            writer.close()
            log = read_log(writer.path)
            writer.path.rename(HERE / f"{lay.__name__}.jsonl")
            expected = {
                "state": log.state,
                "head": log.last.h if log.last else "",
                "after": list(log.after),
                "continues": log.continues,
                "damage": [one.record for one in log.problems],
                "marks": [one.what for one in log.marks],
                "entries": [[record.seq, record.at, record.kind, record.data] for record in log.records],
            }
            (HERE / f"{lay.__name__}.expected.json").write_text(json.dumps(expected, indent=1) + "\n")
    for left in (HERE / "making").glob("*"):
        left.unlink()
    (HERE / "making").rmdir()


if __name__ == "__main__":
    main()
