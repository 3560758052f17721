"""From parsed TOML to a draft: right keys, right kinds of value; what does not fit is named and left out.

`shaped(raw)` never fails: each value that does not fit becomes a `Mistake` and is None in the draft, so that the
rules can look at all the rest.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, TypeVar

from fieldtui.route.draft import RouteDraft
from fieldtui.route.key import AnyKey, D, Draft, Key, NamesOrTables, OneTable, Tables
from fieldtui.route.keys import header_of, told_header, unknown_key
from fieldtui.route.leaf import Unfit, shown
from fieldtui.route.problem import KeyPath, Mistake

V = TypeVar("V")


@dataclass(frozen=True)
class Shaped:
    """A draft, the mistakes of its shape, and the places of which enough has been said."""

    draft: RouteDraft
    mistakes: tuple[Mistake, ...]
    told: frozenset[KeyPath]


def shaped(raw: dict[str, Any]) -> Shaped:
    """The draft of a parsed route file, with its mistakes of shape. `raw` is left as it is."""
    reading = _Reading()
    draft = reading.table(RouteDraft, raw, ())
    missing = tuple(_missing(draft, (), reading.told))
    return Shaped(draft, (*reading.mistakes, *missing), frozenset(reading.told))


class _Reading:
    """One file, table by table; what is refused is told and left out."""

    def __init__(self) -> None:
        self.mistakes: list[Mistake] = []
        self.told: set[KeyPath] = set()

    def refuse(self, at: KeyPath, what: str, todo: str) -> None:
        self.told.add(at)
        self.mistakes.append(Mistake(at, what, todo))

    def table(self, kind: type[D], raw: dict[str, Any], at: KeyPath) -> D:
        """A table: its own keys in order, then those that it does not know."""
        given = {}
        for name, key in kind.keys.items():
            if name in raw and (found := self._under(key, raw[name], (*at, name))) is not None:
                given[name] = found
        for name in raw:
            if name not in kind.keys:
                mistake, meant = unknown_key((*at, name))
                self.refuse((*at, name), mistake.what, mistake.todo)
                self.told.add(meant)
        return kind(given)

    def _under(self, key: AnyKey, value: Any, at: KeyPath) -> Any:
        """What stands under a key; None where it was refused."""
        match key:
            case Key():
                return self._value(key.read, value, at)
            case OneTable():
                return self._one(key.kind, value, at)
            case Tables():
                if isinstance(value, list):
                    return [self._one(key.kind, one, (*at, place)) or key.kind({}) for place, one in enumerate(value)]
                self.refuse(at, f"must be a list of tables, not {shown(value)}", f"write each as [[{header_of(at)}]]")
            case NamesOrTables():
                if isinstance(value, list):
                    return [self._named_or_own(key, one, (*at, place)) for place, one in enumerate(value)]
                what = f"must be a list of names of {at[-1]}s, not {shown(value)}"
                self.refuse(at, what, 'write it as ["…"], or [] for none')
        return None

    def _value(self, read: Callable[[Any], V], value: Any, at: KeyPath) -> V | None:
        try:
            return read(value)
        except Unfit as unfit:
            self.refuse(at, unfit.what, unfit.todo)
            return None

    def _one(self, kind: type[D], value: Any, at: KeyPath) -> D | None:
        if isinstance(value, dict):
            return self.table(kind, value, at)
        header = header_of(at)
        if isinstance(value, list):
            self.refuse(at, "must be one table, not a list", f"write it as [{header}]")
        else:
            brackets = f"[[{header}]]" if isinstance(at[-1], int) else f"[{header}]"
            self.refuse(at, f"must be a table, not {shown(value)}", f"write it under {brackets}")
        return None

    def _named_or_own(self, key: NamesOrTables[D], value: Any, at: KeyPath) -> str | D:
        if isinstance(value, dict):
            return self.table(key.kind, value, at)
        return self._value(key.read, value, at) or key.kind({})


def _missing(draft: Draft, at: KeyPath, told: set[KeyPath]) -> Iterator[Mistake]:
    """Keys that a table needs and does not have; not those that stand there and were refused."""
    if at in told:
        return
    for key in draft.keys:
        value = draft.given.get(key)
        if value is None and key in draft.needs and (*at, key) not in told:
            yield Mistake((*at, key), "is missing", _add(at, key))
        elif isinstance(value, Draft):
            yield from _missing(value, (*at, key), told)
        elif isinstance(value, list):
            for place, one in enumerate(value):
                if isinstance(one, Draft):
                    yield from _missing(one, (*at, key, place), told)


def _add(at: KeyPath, key: str) -> str:
    if key == "uncertainty":
        return "add the table [uncertainty] with temperature, reproducibility and hole"
    return f'add "{key} = …" to {told_header(header_of(at))}'
