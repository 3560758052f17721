"""The Enter that a hand types after the 0 that closed a page: lists are left by both, what is read by 0 alone."""

from __future__ import annotations

import math
import time
from collections.abc import Callable

TOGETHER = 1.0
"""Seconds: an Enter that follows the 0 within them was meant for the same page."""


class AfterZero:
    """Knows when a 0 closed a page. `ticks` counts seconds and never jumps."""

    def __init__(self, ticks: Callable[[], float] = time.monotonic) -> None:
        self._ticks = ticks
        self._closed_at = -math.inf

    def closed(self, character: str | None) -> None:
        """A page was closed by this key: only a 0 has an Enter behind it."""
        self._closed_at = self._ticks() if character == "0" else -math.inf

    def takes(self, key: str) -> bool:
        """Whether a key is that Enter; it does nothing then. The next key of any sort, or a paste, is itself again."""
        meant = key == "enter" and self._ticks() - self._closed_at < TOGETHER
        self._closed_at = -math.inf
        return meant
