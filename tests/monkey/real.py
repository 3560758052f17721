"""The real program in a pseudo-terminal: the same events as bytes, and real signals; the screen held against the disk.

Key and screen have no common clock here, so after each event the screen is looked at until it agrees with the logs;
it fails where it does not within some seconds.
"""

from __future__ import annotations

import os
import re
import signal
import tempfile
import time
from collections import Counter, deque
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from random import Random
from zoneinfo import ZoneInfo

from fieldtui.job import Job, Survey, load_job
from fieldtui.route import Route, load_route
from fieldtui.survey import Target, read_time
from fieldtui.survey import words as say
from harness.terminal import Terminal
from tests.monkey.event import Clock, Event
from tests.monkey.hand import ENTER, Hand, on_the_tape, reach
from tests.monkey.held import counts_of
from tests.monkey.jobs import JOBS
from tests.monkey.ledger import Ledger
from tests.monkey.shown import LABELS, fields_shown, read_screen

PATIENCE = 30.0
"""Seconds for the screen to say what the logs say, on a busy machine."""
SLOW_DISK = 20
"""Seconds that an entry may take to the disk, where many programs share it."""
SIGNALS = {"SIGTERM": signal.SIGTERM, "SIGHUP": signal.SIGHUP, "SIGINT": signal.SIGINT, "kill -9": signal.SIGKILL}
FAKETIME = Path("/usr/lib/x86_64-linux-gnu/faketime/libfaketimeMT.so.1")
"""Where it is installed, the clock is stepped under the running program."""


@dataclass
class RealTold:
    """What was done in the terminal, and what came of it."""

    events: Counter[str] = field(default_factory=Counter)
    starts: int = 0
    ends: Counter[str] = field(default_factory=Counter)
    compared: int = 0
    entries: int = 0

    def __str__(self) -> str:
        kinds = ", ".join(f"{kind} {count:,}" for kind, count in self.events.most_common())
        ends = ", ".join(f"{how} {count}" for how, count in self.ends.most_common())
        return (
            f"{sum(self.events.values()):,} events in the real terminal: {kinds}\n{self.starts} starts; ended: {ends}; "
            f"{self.compared:,} screens of the walk held against the logs; {self.entries:,} entries"
        )


class RealLife:
    """The program on one job, started again whenever it ends."""

    def __init__(self, job: str, place: Path, seed: str, told: RealTold) -> None:
        self.told, self.place = told, place
        self.chance = Random(seed)
        self.hand = Hand(self.chance)
        self.route_path = JOBS[job](place / "job", Clock()).route
        self.route: Route = load_route(self.route_path)
        self.logs = self.route_path.parent / "logs"
        self.ledger = Ledger(self.logs)
        self.last: deque[Event] = deque(maxlen=30)
        self._job: Job | None = None
        self._clock(0.0)
        self.terminal = self._start()

    # -- events ------------------------------------------------------------------------------------------------------

    def next(self) -> Event:
        """One event more, from what stands on the screen."""
        if self.chance.random() < self.hand.wild:
            event = self.hand.anything()
            if event.kind == "power cut":
                return Event("SIGTSTP, SIGCONT")
            return event
        return Event("burst" if self.chance.random() < 0.5 else "key", self._sensible(self.terminal.text()))

    def do(self, event: Event) -> None:
        """One event, and the screen against the disk after it."""
        self.last.append(event)
        self.told.events[event.kind] += 1
        if event.kind == "resize":
            self.terminal.resize(max(20, event.size[0]), max(5, event.size[1]))
        elif event.kind == "clock":
            self._clock(event.seconds)
        elif event.kind == "SIGTSTP, SIGCONT":
            self._suspend()
        elif event.kind in SIGNALS:
            self._end(event.kind)
        else:
            self._type(event)
        self._agree()

    def _type(self, event: Event) -> None:
        data = event.data
        if event.kind == "key" and len(data) > 3:
            for sign in data:
                self.terminal.type(bytes([sign]))
                self.terminal.pump(0.004)
        else:
            self._write(data)

    def _write(self, data: bytes) -> None:
        """A long paste is written in parts, as it comes over a line."""
        for begin in range(0, len(data), 512):
            self.terminal.type(data[begin : begin + 512])
            self.terminal.pump(0.005)

    def _go_on(self) -> None:
        """As `fg` does, where a Ctrl+Z among the junk has stopped it: a stopped program hears no other signal."""
        if _state(self.terminal.process.pid) == "T":
            os.kill(self.terminal.process.pid, signal.SIGCONT)

    def _end(self, how: str) -> None:
        self._go_on()
        status = self.terminal.kill(SIGNALS[how])
        self.told.ends[how] += 1
        if how != "kill -9":
            assert status == 0, f"{how} ended it with status {status}:\n{self.terminal.text()}"
            assert self.terminal.is_clean(), f"{how} left the terminal as it was not before"
        self._again()

    def _suspend(self) -> None:
        os.kill(self.terminal.process.pid, signal.SIGTSTP)
        end = time.monotonic() + PATIENCE
        while _state(self.terminal.process.pid) != "T":
            assert time.monotonic() < end, "SIGTSTP did not stop it"
            self.terminal.pump(0.02)
        assert self.terminal.is_clean(), "suspended, it left the terminal as it was not before"
        os.kill(self.terminal.process.pid, signal.SIGCONT)

    # -- the program -------------------------------------------------------------------------------------------------

    def _start(self) -> Terminal:
        self.told.starts += 1
        terminal = Terminal("walk", str(self.route_path))
        terminal.wait_for("What now", 60)
        return terminal

    def _again(self) -> None:
        self.terminal.__exit__()
        crashed = list(self.place.glob("fieldtui-crash-*.txt"))
        assert not crashed, crashed[0].read_text()
        self.terminal = self._start()

    def _clock(self, seconds: float) -> None:
        """Set the program's clock by so much from the real one."""
        if FAKETIME.exists():
            step = self.place / "clock"
            step.write_text(f"{seconds:+.0f}\n")
            os.environ |= {
                "LD_PRELOAD": str(FAKETIME), "FAKETIME_TIMESTAMP_FILE": str(step), "FAKETIME_NO_CACHE": "1",
                "FAKETIME_DONT_FAKE_MONOTONIC": "1", "TMPDIR": str(self.place),
            }  # fmt: skip

    # -- what must hold ----------------------------------------------------------------------------------------------

    def _agree(self) -> None:
        """Look until screen and logs agree. AssertionError where they do not."""
        end = time.monotonic() + PATIENCE
        self._be_quiet()
        while True:
            self.terminal.pump(0.02)
            self._go_on()
            status = self.terminal.process.poll()
            if status is not None:
                text = self.terminal.text()
                assert status == 0, f"it ended with status {status}:\n{text}"
                assert "Traceback" not in text, text
                assert self.terminal.is_clean(), "it left the terminal as it was not before"
                self.told.ends["by a key"] += 1
                self._again()
                return
            if self.ledger.read_on():
                self._job = None
            wrong = self._wrong()
            if not wrong:
                return
            assert time.monotonic() < end, f"{wrong}; the screen is\n{self.terminal.text()}"

    def _be_quiet(self) -> None:
        """Until nothing has been drawn for a moment."""
        end = time.monotonic() + 2
        drawn = -1
        while drawn != self.terminal.bytes_out and time.monotonic() < end:
            drawn = self.terminal.bytes_out
            self.terminal.pump(0.08)

    def _wrong(self) -> str:
        """What on the screen is not what the logs say; empty where all of it is, or the walk is not on the screen."""
        lines = [line.rstrip() for line in self.terminal.screen.display]
        shown = read_screen(lines)
        if shown.counts is None or not self.logs.is_dir():
            return ""
        if self._job is None:
            self._job = load_job(self.route, self.logs)
        survey = next((one for one in self._job.surveys if one.label == shown.label), None)
        if survey is None:
            return f"no survey {shown.label} is in the logs"
        self.told.compared += 1
        counts = counts_of(survey.route, survey.state)
        if shown.counts != counts:
            return f"the head says {shown.counts}, the logs {counts}"
        return self._saved(shown.saved or "", survey) or self._fields(lines, survey)

    def _saved(self, saved: str, survey: Survey) -> str:
        if not saved.startswith("saved "):
            return ""
        last = read_time(survey.logs[-1].records[-1].at).astimezone(ZoneInfo(self.route.time_zone))
        # the entry is stamped before it goes to the disk, and shown as saved after that
        near = {f"saved {last + timedelta(seconds=late):%H:%M:%S}" for late in range(SLOW_DISK)}
        return "" if saved in near else f"{saved!r} is shown, the last entry is of {last:%H:%M:%S}"

    def _fields(self, lines: Sequence[str], survey: Survey) -> str:
        form = next((place for place, line in enumerate(lines[:-1]) if re.match(r"  (hole|dial) ", line)), None)
        if form is None:
            return ""
        fields = fields_shown(lines[form], lines[form + 1])
        booking = survey.state.bookings.get(self._target(lines[1], survey) or Target("", ""))
        if not fields or "zero" in fields or booking is None:
            return ""
        for slot, said in fields.items():
            entry = booking.slots.get(slot)
            booked = "" if entry is None else "none" if entry.declined else entry.typed[:8]
            if "[" not in said and said != booked:
                return f"{slot} shows {said!r}, {booked!r} is in the logs"
        return ""

    def _target(self, head: str, survey: Survey) -> Target | None:
        """The booking that the second line names."""
        for target in survey.state.bookings:
            again = f", reading {target.reading}" if target.reading > 1 else ""
            named = f" chord {target.chord}{again} at {target.station}," if target.is_chord else f" {say.place(target)}"
            if head.startswith(named) if target.is_chord else head == named:
                return target
        return None

    # -- what a surveyor would type ----------------------------------------------------------------------------------

    def _sensible(self, text: str) -> bytes:
        chance = self.chance
        if "What now" in text:
            return chance.choice((b"1",) * 30 + (b"2", b"3", b"4", b"5", b"6")) + ENTER
        if not read_screen(text.split("\n")).counts and chance.random() < 0.3:
            return b"\x1b"
        if "Number, then Enter" in text or "Type a number" in text:
            return chance.choice((b"1", b"1", b"2", b"3", b"4", b"0", b"7")) + ENTER
        lines = text.splitlines()
        asked = " ".join(lines[-5:])
        field_at = re.search(r"\[ *[^\]]*\]", asked)
        if field_at is None:
            return chance.choice((*(ENTER,) * 12, b"a", b"*", b"u", b"+", b"e", b"/"))
        if field_at[0][1:-1].strip() and chance.random() < 0.5:
            return b"\x1b"  # what was refused stands there still
        for words, answer in (
            ("Who", b"AB"),
            ("in use", b"1"),
            ("Chainage", b"130.5"),
            ("Cautions", b""),
            ("Folder", b""),
        ):
            if words in asked:
                return answer + ENTER
        return self._figure(lines).encode() + ENTER

    def _figure(self, lines: Sequence[str]) -> str:
        form = next((place for place, line in enumerate(lines[:-1]) if re.match(r"  (hole|dial) ", line)), None)
        if form is None:
            return "AB"
        labels, figures = lines[form], lines[form + 1]
        slots = [slot for slot, said in fields_shown(labels, figures).items() if "[" in said]
        slot = slots[0] if slots else ""
        if slot not in LABELS:
            return "AB"
        if slot in ("zero", "temperature"):
            return "0.00" if slot == "zero" else "12.0" if self.route.units.name == "metric" else "54.0"
        hole, dial = on_the_tape(self.route.tapes[0], self.route.extensometers[0], self._length(lines[1]))
        if slot in ("hole", "hole_again"):
            return str(hole + self.chance.choices((0, 1), (95, 5))[0])
        return f"{dial + Decimal(self.chance.choice((-2, -1, 0, 1, 2))) / 100:.2f}"

    def _length(self, head: str) -> Decimal:
        named = re.match(r" chord (\S+?)(, reading \d+)? at (.+?), ", head)
        station = self.route.station(named[3]) if named else None
        chord = station.chord(named[1]) if station is not None and named else None
        if station is None or chord is None:
            return self.route.controls[0].length if self.route.controls else Decimal(1000)
        return reach(self.route, station, chord)

    def end(self) -> None:
        """Kill it and look at every byte."""
        self.terminal.kill()
        self.terminal.__exit__()
        self.ledger.read_on()
        self.ledger.prove()
        self.told.entries += self.ledger.entries


def _state(pid: int) -> str:
    """R, S, T …, as the system has it."""
    return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]


def live_for_real(job: str, seed: str, count: int, told: RealTold) -> None:
    """So many events in the terminal. AssertionError, with the last events, where something does not hold."""
    before = dict(os.environ)
    with tempfile.TemporaryDirectory(prefix="monkey-") as place:
        life = RealLife(job, Path(place), seed, told)
        try:
            for _ in range(count):
                life.do(life.next())
            life.end()
        except AssertionError as error:
            error.add_note(f"job {job}, seed {seed}; the last events:\n  " + "\n  ".join(map(str, life.last)))
            raise
        finally:
            life.terminal.__exit__()
            os.environ.clear()
            os.environ |= before
