"""A small program that books tokens until it is killed: the log's part of the real program, without the screen.

    python booker.py FOLDER [early | unsynced]

It takes up the newest log or starts one, prints `shown N` with the tokens that the log shows, then `saved TOKEN` after
each append. Two options break the rule on purpose: `early` says saved before the record is written,
`unsynced` before it is on the disk.
"""

from __future__ import annotations

import sys
import time
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

from fieldtui.log import OS, LogWriter, OsCalls, read_log


def now() -> datetime:
    return datetime.now(UTC)


class Unsynced(OsCalls):
    """A system that says yes to fsync and does nothing."""

    def fsync(self, fd: int) -> None:
        return

    def fsync_folder(self, folder: Path) -> None:
        return


def main(folder: Path, options: list[str]) -> None:
    writer = taken_up(folder, Unsynced() if "unsynced" in options else OS)
    shown = [record.data["token"] for record in writer.records if "token" in record.data]
    say("shown", len(shown), *shown[-1:])
    for number in count(len(shown)):
        token = f"t{number}"
        if "early" in options:
            say("saved", token)
            time.sleep(0.003)
        writer.append("entry", {"token": token, "fill": "." * (number * 37 % 700)})
        if "early" not in options:
            say("saved", token)


def taken_up(folder: Path, calls: OsCalls) -> LogWriter:
    for path in sorted(folder.glob("*.jsonl"), reverse=True):
        if read_log(path).begun:
            return LogWriter.reopen(path, clock=now, calls=calls)
    return LogWriter.create(
        folder, survey="s", label="", scope="", after=[], first=[("route", {})], clock=now, calls=calls
    )


def say(*words: object) -> None:
    sys.stdout.write(" ".join(map(str, words)) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
