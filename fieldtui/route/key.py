"""The kinds of keys that a table of a route file has, and the table itself with what was found under them.

    Key            one value, read by a function of `leaf.py`
    OneTable       a table:      [uncertainty]
    Tables         several:      [[station]]
    NamesOrTables  a list in which a name stands for a table described elsewhere

A key is declared in a class of `draft.py` and read in `shape.py`. Written out here since each value has a reader of
ours anyway: a library for the rest took a fifth of the time to the walk's first prompt.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, ClassVar, Generic, TypeVar

T = TypeVar("T")
D = TypeVar("D", bound="Draft")


class Draft:
    """One table of the file. `given` holds what was read under its keys; what is absent or was refused is not in it."""

    needs: ClassVar[tuple[str, ...]] = ()
    keys: ClassVar[Mapping[str, AnyKey]] = {}

    def __init__(self, given: Mapping[str, Any]) -> None:
        self.given = given

    def __init_subclass__(cls) -> None:
        cls.keys = {key.name: key for key in vars(cls).values() if isinstance(key, AnyKey)}


class AnyKey:
    """A key by its name in the file: the attribute's, or another where Python has taken that word."""

    def __init__(self, called: str = "") -> None:
        self.name = called

    def __set_name__(self, owner: type[Draft], name: str) -> None:
        self.name = self.name or name


class Key(AnyKey, Generic[T]):
    """A value; None where the key is absent or was refused."""

    def __init__(self, read: Callable[[Any], T], called: str = "") -> None:
        super().__init__(called)
        self.read = read

    def __get__(self, draft: Draft, owner: type[Draft]) -> T | None:
        return draft.given.get(self.name)


class OneTable(AnyKey, Generic[D]):
    """A table; None where there is none."""

    def __init__(self, kind: type[D]) -> None:
        super().__init__()
        self.kind = kind

    def __get__(self, draft: Draft, owner: type[Draft]) -> D | None:
        return draft.given.get(self.name)


class Tables(AnyKey, Generic[D]):
    """Tables in order, perhaps none. One that was refused stands there empty, so that the others keep their places."""

    def __init__(self, kind: type[D]) -> None:
        super().__init__()
        self.kind = kind

    def __get__(self, draft: Draft, owner: type[Draft]) -> list[D]:
        tables: list[D] = draft.given.get(self.name, [])
        return tables


class NamesOrTables(AnyKey, Generic[D]):
    """Names, and tables among them; None where the key is absent."""

    def __init__(self, kind: type[D], read: Callable[[Any], str]) -> None:
        super().__init__()
        self.kind, self.read = kind, read

    def __get__(self, draft: Draft, owner: type[Draft]) -> list[str | D] | None:
        return draft.given.get(self.name)
