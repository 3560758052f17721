"""The program without a terminal: bytes to keys, keys to desks, desks to lines, all in the order that the page has.

What the terminal driver and `tui/page.py` do around a desk is done here in one thread, so that every event is at its
end when the next one comes.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from textual import events

from fieldtui.review.opening import rooms
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.desks import Computes, Desk, Elsewhere
from fieldtui.tui.key_decoder import KeyDecoder
from fieldtui.tui.lines import Lines
from fieldtui.tui.page import SAME_KEY
from fieldtui.tui.start import drawing
from tests.monkey.event import Clock, Event
from tests.monkey.visited import Visited

LARGEST = 400
"""Cells: no terminal is larger, whatever an escape sequence says."""
TORN = b'{"seq":%d,"at":"2031-05-04T02:00:00.000Z","kind":"figure","data":{"station":"A'


class Stage:
    """A desk, its size, and what it draws. `over` when the program has ended."""

    def __init__(self, opened: Callable[[], Desk], clock: Clock, visited: Visited) -> None:
        self.clock, self.visited = clock, visited
        self._opened = opened
        self._rooms = rooms()
        self.size = (80, 24)
        self.over = True
        self.begin()

    def begin(self) -> None:
        """Start the program."""
        self._decoder = KeyDecoder()
        self.over = False
        self.bell = False
        self.taken = 0
        """Keys and pastes of the event at hand."""
        self._stand(self._opened())
        self._settle()

    @property
    def walking(self) -> WalkDesk | None:
        """The walk on the screen."""
        return self.desk if isinstance(self.desk, WalkDesk) else None

    def do(self, event: Event) -> None:
        """Let one event happen, to its end."""
        self.clock.go_on(event.seconds)
        self.bell = False
        self.taken = 0
        self._drawn = False
        if event.kind == "resize":
            self.size = event.size
        elif event.kind in ("SIGTERM", "SIGHUP", "SIGINT", "kill -9", "power cut"):
            self.end(torn=event.kind == "power cut")
            self.begin()
        else:
            self._feed(event.data, event.pause)
        if self.over:
            self.end()
            self.begin()
        if not self._drawn or event.kind == "resize":
            self.draw()
        self.visited.look(self.desk)

    def end(self, *, torn: bool = False) -> None:
        """The program ends, at a signal or by itself: no file is open any more. `torn` leaves half a record."""
        walk = self.walking.walk if self.walking is not None else None
        if walk is not None:
            walk.leave()
            path = walk.writer.path
            if torn and not walk.state.closed:
                last = path.read_bytes().count(b"\n")
                with path.open("ab") as file:
                    file.write((TORN % last)[: 1 + last * 7 % len(TORN)])
        self.over = True

    def draw(self) -> Lines:
        """The page as it stands."""
        width, height = self.size
        self.lines = drawing(self.desk)(width, height)
        self._drawn = True
        return self.lines

    def _feed(self, data: bytes, pause: bool) -> None:
        for event in self._decoder.feed(data):
            self._take(event)
        if pause:
            parser = self._decoder._parser
            if parser._timeout_time is not None:
                parser._timeout_time = 0.0  # whoever types has waited long enough
            for event in self._decoder.tick():
                self._take(event)

    def _take(self, event: object) -> None:
        if self.over:
            return
        self.taken += 1
        if isinstance(event, events.Key):
            name = SAME_KEY.get(event.key, event.key)
            plain = not name.startswith(("alt+", "ctrl+", "super+", "meta+"))
            if name == "ctrl+q":  # the library's own key: the application ends
                self.over = True
                return
            self.desk.press(name, event.character if plain else None)
        elif isinstance(event, events.Paste):
            self.desk.paste(event.text)
        elif isinstance(event, events.Resize):
            self.size = (min(LARGEST, event.size.width), min(LARGEST, event.size.height))
        self._settle()

    def _settle(self) -> None:
        if self.desk.bell:
            self.desk.bell = False
            self.bell = True
        while self.desk.done:
            following = self.desk.next
            if following is None:
                self.over = True
                return
            if isinstance(following, Elsewhere):
                following = self._rooms[following.room](following.job)
            self._stand(following)
        work = self.desk.work() if isinstance(self.desk, Computes) else None
        if work is not None:
            self.draw()
            self.visited.look(self.desk)
            work()
            self._settle()
        elif not self.over:
            # what follows in the same burst is judged by what was drawn, as with a real terminal
            self.draw()

    def _stand(self, desk: Desk) -> None:
        self.desk = desk
        if isinstance(desk, WalkDesk):
            desk.ticks = lambda: self.clock.run


def job_opened(path: Path) -> Callable[[], Desk]:
    """Opens the start page of a route file, as `fieldtui walk` does."""
    from fieldtui.job import job_to_walk
    from fieldtui.tui.start import StartDesk

    return lambda: StartDesk(job_to_walk(path))
