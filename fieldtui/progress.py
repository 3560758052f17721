"""How far long work is, said on the error stream where that is a terminal, at most five times a second."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

Progress = Callable[[str, int, int], None]
"""What is being done, how much of it is done, and of how much."""
Row = TypeVar("Row")
_STEP = 500
_PAUSE = 0.2


def silent(what: str, done: int, whole: int) -> None:
    """No word of it."""


def counted(what: str, rows: Sequence[Row], progress: Progress) -> Iterator[Row]:
    """The rows one by one, with a word now and then."""
    for place, row in enumerate(rows):
        if place % _STEP == 0:
            progress(what, place, len(rows))
        yield row


class OnErrorStream:
    """The progress of a command. As a context it takes its line off the screen again at the end."""

    def __init__(self) -> None:
        self._last = time.monotonic()
        self._width = 0

    def __call__(self, what: str, done: int, whole: int) -> None:
        now = time.monotonic()
        # what cannot be counted says so once, at its beginning
        if (now - self._last > _PAUSE or not whole) and sys.stderr.isatty():
            self._last = now
            self._say(f"{what}: {100 * done // max(1, whole)} %" if whole else f"{what} ...")

    def __enter__(self) -> OnErrorStream:
        return self

    def __exit__(self, *_: object) -> None:
        if self._width:
            self._say("")

    def _say(self, told: str) -> None:
        print(f"\r{told:<{self._width}}", end="\r", file=sys.stderr, flush=True)
        self._width = len(told)
