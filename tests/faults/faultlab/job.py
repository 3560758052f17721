"""One sitting at the log as a program does it, and the check that nothing acknowledged is lost.

`Sitting` books tokens and keeps those that were acknowledged: by `append`, by `append_all`, or shown by a reopened log.
`lost` reads the folders afresh and names acknowledged tokens that are not among the entries to be folded.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

from fieldtui.errors import FieldError
from fieldtui.log import Identity, LogRefused, LogWriter, OsCalls, Record, WriteFailed, read_log, together

WHO = Identity(machine="field-1", pid=4711, user="surveyor", boot="boot-1")
START = datetime(2031, 5, 3, 6, 0, tzinfo=UTC)


class Ticking:
    """A clock that goes on by a second at each look."""

    def __init__(self, start: datetime = START) -> None:
        self._now = start

    def __call__(self) -> datetime:
        self._now += timedelta(seconds=1)
        return self._now


def log_ids() -> Iterator[str]:
    return (f"{number:08x}" + "0" * 24 for number in count(1))


class Sitting:
    """A program at work in `folder`, going on in `spare` where the folder takes no more."""

    def __init__(self, folder: Path, calls: OsCalls, *, writer: type[LogWriter] = LogWriter) -> None:
        self.folder, self.spare = folder, folder.with_name(folder.name + "-spare")
        self.calls, self.kind_of_writer = calls, writer
        self.clock = Ticking()
        self.acknowledged: list[str] = []
        self.refused: list[str] = []  # said to be not saved
        self.given_up: list[str] = []  # refused, and a new file goes on without them
        self.writer: LogWriter | None = None
        self._tokens = (f"t{number}" for number in count())

    def start(self) -> None:
        self.writer = self.kind_of_writer.create(
            self.folder,
            survey="survey-1",
            label="one",
            scope="route",
            after=[],
            first=[("route", {"text": "invented"})],
            clock=self.clock,
            identity=WHO,
            calls=self.calls,
        )

    def book(self, size: int = 0, kind: str = "entry") -> None:
        """Book one token; it counts as acknowledged once `append` has returned."""
        assert self.writer is not None
        token = next(self._tokens)
        self.refused.append(token)
        self.writer.append(kind, {"token": token, "fill": "." * size})
        self.acknowledged.append(self.refused.pop())

    def book_all(self, number: int) -> None:
        assert self.writer is not None
        tokens = [next(self._tokens) for _ in range(number)]
        self.refused += tokens
        self.writer.append_all([("entry", {"token": token}) for token in tokens])
        self.acknowledged += tokens
        del self.refused[-number:]

    def book_survey(self, number: int) -> None:
        """A whole survey from paper: begun, booked and closed at one go, in a log of its own."""
        tokens = [next(self._tokens) for _ in range(number)]
        rows = [("entry", {"token": token}) for token in tokens]
        self.kind_of_writer.create(
            self.folder,
            survey="survey-paper",
            label="paper",
            scope="route",
            after=[],
            first=[("route", {}), *rows, ("closed", {})],
            clock=self.clock,
            identity=WHO,
            calls=self.calls,
        ).close()
        self.acknowledged += tokens

    def go_on(self) -> None:
        """After a failed write: a new file in the same folder, else in the spare one."""
        assert self.writer is not None
        try:
            self.writer = self.writer.continue_in(self.folder)
        except FieldError:
            self.writer = self.writer.continue_in(self.spare)
        self.given_up += self.refused
        self.refused.clear()

    def leave(self) -> None:
        """The program ends, by itself or by a kill: the kernel frees the lock."""
        if self.writer is not None:
            self.writer.close()
            self.writer = None

    def resume(self) -> None:
        """Take up the newest log that is not closed, or go on from it in a new file; what is shown counts as saved."""
        for log in together([read_log(path) for path in paths(self.folder, self.spare)]).logs:
            if log.closed and not log.problems:
                self._shown(log.records)
        for path in reversed(paths(self.folder, self.spare)):
            log = read_log(path)
            if not log.begun or log.closed:
                continue
            try:
                self.writer = self.kind_of_writer.reopen(path, clock=self.clock, calls=self.calls, identity=WHO)
            except WriteFailed:
                return
            except LogRefused:
                if not log.problems:
                    continue
                # what a damaged log shows is told as such; it is neither said to be saved nor given up
                self.refused.clear()
                self.writer = self.kind_of_writer.continuing(log, self.folder, clock=self.clock, calls=self.calls)
            else:
                self._shown(self.writer.records)
                self.refused.clear()
            return

    def _shown(self, records: Iterable[Record]) -> None:
        shown = [record.data["token"] for record in records if "token" in record.data]
        self.acknowledged += [token for token in shown if token not in self.acknowledged]
        self.given_up = [token for token in self.given_up if token not in shown]


def paths(*folders: Path) -> list[Path]:
    return sorted((path for folder in folders for path in folder.glob("*.jsonl")), key=lambda path: path.name)


def tokens(*folders: Path) -> Counter[str]:
    """Tokens among the entries to be folded, of all folders together, with how often each is there."""
    every = together([read_log(path) for path in paths(*folders)])
    assert not every.forks
    return Counter(record.data["token"] for log in every.logs for record in log.records if "token" in record.data)


def lost(sitting: Sitting) -> list[str]:
    """Acknowledged tokens that are gone or counted twice, and tokens folded although a file went on without them."""
    found = tokens(sitting.folder, sitting.spare)
    gone = [token for token in sitting.acknowledged if found[token] != 1]
    return gone + [token for token in sitting.given_up if found[token]]
