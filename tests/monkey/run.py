"""One life of the program: a job, a seed, so many events. A failure is cut down to the events that bring it about."""

from __future__ import annotations

import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from fieldtui.tui.desks import Desk
from fieldtui.tui.lines import text_of
from tests.monkey.event import Clock, Event
from tests.monkey.hand import Hand
from tests.monkey.held import Held
from tests.monkey.jobs import JOBS
from tests.monkey.stage import Stage
from tests.monkey.visited import Visited

CLOSELY = 150
"""Events between two looks at everything."""
LAST = 30
PATIENCE = 90.0
"""Seconds that cutting a failure down may take."""


class Failed(AssertionError):
    """Something did not hold, or the program crashed: after which events."""

    def __init__(self, events: Sequence[Event], error: BaseException, screen: str) -> None:
        super().__init__(f"{type(error).__name__}: {error}")
        self.events, self.error, self.screen = tuple(events), error, screen

    @property
    def sign(self) -> str:
        """What tells one failure from another: the error and the line it came from."""
        last = traceback.extract_tb(self.error.__traceback__)[-1]
        return f"{type(self.error).__name__} {Path(last.filename).name}:{last.lineno}"


@dataclass
class Told:
    """What lives have shown together."""

    events: Counter[str] = field(default_factory=Counter)
    visited: Visited = field(default_factory=Visited)
    entries: int = 0
    surveys: int = 0
    looked: int = 0
    compared: int = 0

    def __str__(self) -> str:
        kinds = ", ".join(f"{kind} {count:,}" for kind, count in self.events.most_common())
        return (
            f"{sum(self.events.values()):,} events on desks: {kinds}\n{self.looked:,} looks at disk and screen, "
            f"{self.compared:,} pages compared with a fresh start; {self.entries:,} entries in the logs, "
            f"{self.surveys} surveys closed\n{self.visited}"
        )


class Life:
    """One job with its program, watched."""

    def __init__(self, job: str, place: Path, told: Told, closely: int = CLOSELY) -> None:
        self.told, self.closely = told, closely
        self.clock = Clock()
        self.ready = JOBS[job](place, self.clock)
        with self.clock.asked():
            self.stage = Stage(self.ready.opened, self.clock, told.visited)
            self.stage.draw()
        self.held = Held(self.stage, self.ready.logs)
        self.events: list[Event] = []

    @property
    def desk(self) -> Desk:
        return self.stage.desk

    def do(self, event: Event) -> None:
        """One event, and all that must hold after it."""
        self.events.append(event)
        self._watch(lambda: self.stage.do(event), self.held.look)
        if len(self.events) % self.closely == 0:
            self.look_closely()
        self.told.events[event.kind] += 1

    def look_closely(self) -> None:
        """Read everything anew."""
        self._watch(self.held.look_closely)

    def _watch(self, *what: Callable[[], None]) -> None:
        try:
            for one in what:
                one()
        except Exception as error:
            raise Failed(self.events, error, text_of(self.stage.lines)) from error

    def end(self) -> None:
        """The program is told to end; everything is looked at once more."""
        self.stage.end()
        self.held.ledger.read_on()
        self.held.ledger.prove()
        self.told.entries += self.held.ledger.entries
        self.told.looked += self.held.looked
        self.told.compared += self.held.compared
        pages = self.held.ledger.pages.values()
        self.told.surveys += sum(1 for page in pages if page.entries and page.entries[-1].kind == "closed")


def live(job: str, seed: str, count: int, told: Told) -> None:
    """So many events; `Failed` where something does not hold."""
    with tempfile.TemporaryDirectory(prefix="monkey-") as place:
        hand = Hand(Random(seed))
        with told.visited.counting():
            life = Life(job, Path(place), told)
            with life.clock.asked():
                for _ in range(count):
                    life.do(hand.next(life.desk))
                life.end()


def replay(job: str, events: Sequence[Event]) -> Failed | None:
    """The failure that these events bring about, from the same beginning; None for none."""
    with tempfile.TemporaryDirectory(prefix="monkey-") as place:
        life = Life(job, Path(place), Told())
        with life.clock.asked():
            try:
                for event in events:
                    life.do(event)
                life.look_closely()
            except Failed as failed:
                return failed
            finally:
                life.stage.end()
    return None


def cut_down(job: str, failed: Failed) -> Sequence[Event]:
    """Fewer events with the same failure, as far as there is time."""
    events, size = list(failed.events), max(1, len(failed.events) // 2)
    end = time.monotonic() + PATIENCE
    while size and time.monotonic() < end:
        at = 0
        while at < len(events) and time.monotonic() < end:
            fewer = events[:at] + events[at + size :]
            found = replay(job, fewer)
            if found is not None and found.sign == failed.sign:
                events = list(found.events)
            else:
                at += size
        size //= 2
    return events
