"""Long work behind a page: done in steps in a thread, so that it can say how far it is, and stop.

steps ── Work, in a thread ──► so many of so many done       page left ── stop ──► no further step
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from threading import Event, Lock

_TURN = 0.0005
"""Seconds after which work in a thread gives way to a key."""
_BREATH = 0.3
"""Seconds before the first step: the page is drawn, and keys that were typed ahead are taken, without it."""
_one_at_a_time = Lock()


class Work:
    """Call it in a thread. `of` is how many steps there are, as far as is known beforehand."""

    def __init__(self, steps: Iterator[None], of: int) -> None:
        self._steps = steps
        self.of = of
        self.done = 0
        self._stop = Event()

    def __call__(self) -> None:
        """Go through the steps, one piece of work at a time in the program."""
        if self._stop.wait(_BREATH):
            return
        before = sys.getswitchinterval()
        with _one_at_a_time:
            sys.setswitchinterval(_TURN)
            try:
                for _ in self._steps:
                    self.done += 1
                    if self.stopped:
                        return
            finally:
                sys.setswitchinterval(before)

    @property
    def stopped(self) -> bool:
        return self._stop.is_set()

    def stop(self) -> None:
        """Nobody waits for it any more: the step that is under way is the last."""
        self._stop.set()
