"""A sequence whose length is known and whose items are read when the first of them is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any, TypeVar, overload

T = TypeVar("T")


class Later(Sequence[T]):
    """Equal to any sequence with the same items."""

    def __init__(self, length: int, load: Callable[[], Sequence[T]]) -> None:
        self._length, self._load = length, load
        self._items: Sequence[T] | None = None

    @property
    def loaded(self) -> bool:
        return self._items is not None

    def _all(self) -> Sequence[T]:
        if self._items is None:
            self._items = self._load()
        return self._items

    @overload
    def __getitem__(self, place: int) -> T: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[T]: ...
    def __getitem__(self, place: int | slice) -> T | Sequence[T]:
        return self._all()[place]

    def __len__(self) -> int:
        return self._length

    def __iter__(self) -> Iterator[T]:
        return iter(self._all())

    def __eq__(self, other: Any) -> bool:
        if not isinstance(other, Sequence):
            return NotImplemented
        return len(self) == len(other) and tuple(self) == tuple(other)

    def __hash__(self) -> int:
        return hash(tuple(self))


class Chained(Later[tuple[int, str]]):
    """Number and hash of every record of a log, of which some are known beforehand."""

    def __init__(self, length: int, load: Callable[[], Sequence[tuple[int, str]]], known: dict[int, str]) -> None:
        super().__init__(length, load)
        self.known = known

    def hash_at(self, seq: int) -> str | None:
        """The hash of one record; None where there is none."""
        if seq in self.known:
            return self.known[seq]
        return dict(self).get(seq)
