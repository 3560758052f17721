"""What a page asks of a desk: what every desk has, and what some have besides."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Protocol, runtime_checkable

from msgspec import Struct

from fieldtui.job import Job
from fieldtui.settings import Settings
from fieldtui.tui.lines import Lines

Drawing = Callable[[int, int], Lines]


class Desk(Protocol):
    """What a page shows and sends keys to; `next` is the desk that follows when it is done, None at the end."""

    bell: bool
    done: bool

    @property
    def next(self) -> Desk | None: ...

    def press(self, key: str, character: str | None) -> None: ...

    def paste(self, text: str) -> None: ...


@runtime_checkable
class DrawsItself(Protocol):
    """A desk of another room: it brings its own drawing."""

    def draw(self, width: int, height: int) -> Lines: ...


@runtime_checkable
class Computes(Protocol):
    """A desk that has something to compute: the page says so at once, takes keys meanwhile, and is drawn anew after."""

    def work(self) -> Callable[[], None] | None:
        """What is to be computed now, given out once; None for nothing.

        A `Work` is stopped when the page goes on to another desk, and the desk drawn anew while it goes on.
        """


@runtime_checkable
class Edits(Protocol):
    """A desk that knows the keys that wait for no disk, since they edit its field or leaf through a list."""

    def edit(self, key: str, character: str | None) -> bool:
        """Take such a key; False, and nothing is done, where it is another."""
        ...


@runtime_checkable
class TakesSettings(Protocol):
    """A desk on which keys can be other than usual, or that says what is wrong in the settings."""

    def take(self, settings: Settings) -> None: ...


class Elsewhere(Struct):
    """A desk of a room that the screens know by its name only: the application is told how to open it."""

    room: str
    job: Job
    bell: bool = False
    done: bool = False
    next: Desk | None = None

    def press(self, key: str, character: str | None) -> None: ...

    def paste(self, text: str) -> None: ...


Rooms = Mapping[str, Callable[[Job], Desk]]
"""How the rooms that the screens know by name only are opened."""
