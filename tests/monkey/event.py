"""One thing that happens to the program, and the clock that goes on meanwhile."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from unittest.mock import patch

ASKED = ("fieldtui.job.walk_log", "fieldtui.job.instrument", "fieldtui.review.opening")
"""Modules that ask what time it is."""


@dataclass(frozen=True, slots=True)
class Event:
    """`kind` is what is counted; `seconds` go by before it. Without `pause` the bytes that follow come at once."""

    kind: str
    data: bytes = b""
    size: tuple[int, int] = (0, 0)
    seconds: float = 1.0
    pause: bool = True

    def __str__(self) -> str:
        what = f"{self.size[0]}x{self.size[1]}" if self.kind == "resize" else repr(self.data) if self.data else ""
        return f"{self.kind} {what} (+{self.seconds:g} s{'' if self.pause else ', and at once'})"


class Clock:
    """The laptop's clock, set by hand."""

    def __init__(self, start: datetime = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)) -> None:
        self.now = start
        self.run = 0.0
        """Seconds gone by, whatever the clock was set to."""

    def go_on(self, seconds: float) -> None:
        self.now += timedelta(seconds=seconds)
        self.run += max(0.0, seconds)

    @contextmanager
    def asked(self) -> Iterator[None]:
        """While this holds, the program asks this clock."""
        clock = self

        class Set(datetime):
            @classmethod
            def now(cls, tz: tzinfo | None = None) -> datetime:  # type: ignore[override]
                return clock.now.astimezone(tz) if tz is not None else clock.now.replace(tzinfo=None)

        with ExitStack() as stack:
            for module in ASKED:
                stack.enter_context(patch(f"{module}.datetime", Set))
            yield
