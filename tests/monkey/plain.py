"""The walk line by line under random lines: orders, figures, junk, lines that end, interrupts; held against the disk.

in process     every line is looked at: what is said to be saved is on the disk, what is refused is not
by a pipe      the real command with bytes that are no text
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from random import Random

from fieldtui.job import job_to_walk
from fieldtui.log.verify import verify
from fieldtui.plain.start import start_plain
from fieldtui.route import Route, load_route
from fieldtui.survey.actions import ACTIONS
from tests.monkey.event import Clock
from tests.monkey.hand import PASTES, TEXTS, on_the_tape, reach
from tests.monkey.jobs import JOBS
from tests.monkey.ledger import Ledger

NUMBERS = ("1", "1", "1", "2", "3", "0", "back", "17")
WITH = (
    "",
    "",
    "",
    " 12.31",
    " A L-R",
    " 2",
    " unsafe loose block",
    " zero",
    " time 03:10",
    " dial",
    " tape",
    " care",
    " 1",
)
JUNK = ("\ufffd12", "12.3.4", "١٢", "1e3", "nan", "-", "--5", "[b]", "\x00", "320 320", "9" * 400, "\u202e12", "/", "?")


@dataclass
class PlainTold:
    """What the lines have shown."""

    lines: Counter[str] = field(default_factory=Counter)
    prompts: Counter[str] = field(default_factory=Counter)
    orders: Counter[str] = field(default_factory=Counter)
    ends: Counter[str] = field(default_factory=Counter)
    entries: int = 0
    closed: int = 0

    def __str__(self) -> str:
        kinds, prompts, orders, ends = (
            ", ".join(f"{name} {count:,}" for name, count in counter.most_common())
            for counter in (self.lines, self.prompts, self.orders, self.ends)
        )
        return (
            f"{sum(self.lines.values()):,} lines: {kinds}\nprompts: {prompts}\norders: {orders}\n"
            f"walks ended: {ends}; {self.entries:,} entries, {self.closed} surveys closed"
        )


class PlainLife:
    """One job, walked again and again by lines."""

    def __init__(self, job: str, place: Path, seed: str, told: PlainTold) -> None:
        self.chance, self.told, self.clock = Random(seed), told, Clock()
        self.path = JOBS[job](place, self.clock).route
        self.route: Route = load_route(self.path)
        self.ledger = Ledger(self.path.parent / "logs")
        self.written: list[str] = []
        self.last: list[str] = []
        self.left = 0

    def walk(self, lines: int) -> None:
        """So many lines, in as many walks as they make."""
        self.left = lines
        while self.left > 0:
            self.ledger.read_on()
            self.written.clear()
            status = start_plain(job_to_walk(self.path), self._read, self.written.append, clock=lambda: self.clock.now)
            self._look()
            assert status in (0, 1), f"exit status {status}"
            self.told.ends[f"status {status}"] += 1
        self.ledger.prove()
        answer = verify([self.ledger.folder])
        assert not answer.needs_attention or all(one.state == "unclosed" for one in answer.verdicts if one.problems)
        self.told.entries += self.ledger.entries
        self.told.closed += sum(page.entries[-1].kind == "closed" for page in self.ledger.pages.values())

    def _read(self, prompt: str) -> str:
        self._look()
        self.clock.go_on(self.chance.choice((0.0, 1.0, 5.0, 60.0)))
        self.left -= 1
        if self.left <= 0 or self.chance.random() < 0.002:
            self.told.lines["end of the lines"] += 1
            raise EOFError
        if self.chance.random() < 0.002:
            self.told.lines["interrupt"] += 1
            raise KeyboardInterrupt
        line = self._line(prompt)
        self.last = [*self.last[-29:], f"{prompt}{line[:60]}"]
        return line

    def _look(self) -> None:
        """What was said since the last line, against what came to the disk since then."""
        new = [record.kind for records in self.ledger.read_on().values() for record in records]
        said = "\n".join(self.written)
        self.written.clear()
        if "Nothing was booked." in said:
            assert not {"figure", "said", "accepted", "note"} & set(new), f"said: {said}\non the disk: {new}"
        if "figure" in new:
            assert "saved " in said, f"a figure is on the disk and not said to be: {said}"
        if "  saved " in said:
            assert new, f"said to be saved, and nothing is on the disk: {said}"

    def _line(self, prompt: str) -> str:
        chance, told = self.chance, self.told.lines
        drawn = chance.random()
        if drawn < 0.06:
            told["junk"] += 1
            return chance.choice((*JUNK, *PASTES))
        if drawn < 0.14:
            told["order"] += 1
            action = chance.choice(ACTIONS)
            if action.id in ("leave", "end", "unsafe") and chance.random() < 0.8:
                action = ACTIONS[0]
            self.told.orders[action.id] += 1
            return chance.choice((action.letter, f"/{action.letter}", action.pad or action.letter)) + chance.choice(
                WITH
            )
        told["answer"] += 1
        return self._answer(prompt)

    def _answer(self, prompt: str) -> str:
        chance = self.chance
        what = prompt.split(":")[-2].strip() if prompt.count(":") > 1 else prompt.split(":")[0]
        self.told.prompts[_plain(prompt)] += 1
        if "it is seen" in prompt or "the caution is read" in prompt:
            return chance.choice(("1", "1", "1", "", "a"))
        if "Enter when there" in prompt or "figures are in" in prompt:
            return chance.choice(("", "", "", "a", "k seen twice", "c 12.31")) if "not agree" in prompt else ""
        if "Number" in prompt or "What now" in prompt or prompt.startswith("End of"):
            return chance.choice(NUMBERS)
        if "type close" in prompt:
            return "close"
        if "Copy the log" in prompt:
            return chance.choice(("", "0", str(self.path.parent), "/no/such/place"))
        if "in use" in prompt or "Cautions" in prompt:
            return "1"
        if "says so" in prompt or "not taken" in prompt:
            return chance.choice(("k seen twice", "a", "")) if "says so" in prompt else ""
        slot = what.rpartition("(")[0].strip() or what
        for words, typed in (("zero", "0.00"), ("temp", "12.0" if self.route.units.name == "metric" else "54")):
            if words in slot:
                return typed
        if "hole" in slot or "dial" in slot:
            hole, dial = on_the_tape(self.route.tapes[0], self.route.extensometers[0], self._length(prompt))
            shown = dial + Decimal(chance.choice((-2, 0, 0, 1, 900))) / 100
            return str(hole + chance.choice((0,) * 20 + (1,))) if "hole" in slot else f"{abs(shown):.2f}"
        return chance.choice(("", "AB", *TEXTS))

    def _length(self, prompt: str) -> Decimal:
        for station, chord in self.route.walk():
            if prompt.startswith(f"{station.name} {chord.name}"):
                return reach(self.route, station, chord)
        return self.route.controls[0].length if self.route.controls else Decimal(1000)


def _plain(prompt: str) -> str:
    return prompt.split(":")[-2].strip()[:30] if prompt.count(":") > 1 else prompt.split(":")[0][:30]


def live_by_lines(job: str, seed: str, lines: int, told: PlainTold) -> None:
    """So many lines in process. AssertionError, with the last lines, where something does not hold."""
    with tempfile.TemporaryDirectory(prefix="monkey-") as place:
        life = PlainLife(job, Path(place), seed, told)
        with life.clock.asked():
            try:
                life.walk(lines)
            except Exception as error:
                error.add_note(f"job {job}, seed {seed}; the last lines:\n  " + "\n  ".join(life.last))
                raise


def pipe_bytes(job: str, seed: str, runs: int, told: PlainTold) -> None:
    """So many runs of the real command on a pipe of lines with bytes that are no text."""
    chance = Random(seed)
    with tempfile.TemporaryDirectory(prefix="monkey-") as place:
        path = JOBS[job](Path(place), Clock()).route
        ledger = Ledger(path.parent / "logs")
        for _ in range(runs):
            lines = [chance.choice((b"1", b"", b"AB", b"0.00", b"320", b"12.31", b"9.5", b"\xff\xfe", b"\xc3", bytes(
                chance.randrange(256) for _ in range(8)))) for _ in range(chance.randrange(120))]  # fmt: skip
            done = subprocess.run(
                [sys.executable, "-m", "fieldtui", "walk", "--plain", str(path)],
                input=b"\n".join(lines), capture_output=True, check=False, env={**os.environ, "PYTHONUTF8": "0"},
            )  # fmt: skip
            told.lines["piped"] += len(lines)
            told.ends[f"pipe, status {done.returncode}"] += 1
            assert done.returncode in (0, 1), done.stderr.decode(errors="replace")
            assert b"Traceback" not in done.stdout + done.stderr, done.stderr.decode(errors="replace")
            ledger.read_on()
            ledger.prove()
