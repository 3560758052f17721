"""Which keys a route file knows, and what was probably meant by one it does not know."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from functools import cache
from typing import Any, get_args

from fieldtui.route.draft import Draft, RouteDraft
from fieldtui.route.problem import KeyPath, Mistake

TOP = ""
"""The header of what stands before the first table."""


def header_of(at: KeyPath) -> str:
    """The table's name as its header spells it: `("station", 1, "anchor", 0)` is `station.anchor`."""
    return ".".join(step for step in at if isinstance(step, str))


def told_header(header: str) -> str:
    """The header as it is told: `[station.anchor]`, or the top of the file."""
    return f"[{header}]" if header else "the top of the file"


@cache
def known_keys() -> dict[str, tuple[str, ...]]:
    """The keys of every table, by its header; `TOP` for those before the first table."""
    return dict(_tables(RouteDraft, TOP))


def unknown_key(at: KeyPath) -> tuple[Mistake, KeyPath]:
    """The mistake of a key that no table of that name has, and where the key that was probably meant would stand."""
    key = str(at[-1])
    header = header_of(at[:-1])
    known = known_keys()
    what = f"is no key of {told_header(header)}"
    near = difflib.get_close_matches(key.lower(), known[header], n=1, cutoff=0.6)
    if near:
        return Mistake(at, what, f'perhaps "{near[0]}" is meant'), (*at[:-1], near[0])
    if key in known[TOP]:
        return Mistake(at, what, "it belongs at the top of the file, before the first table"), (key,)
    home = next((home for home, keys in known.items() if key in keys), None)
    if home is not None:
        return Mistake(at, what, f"it belongs in {told_header(home)}"), at
    return Mistake(at, what, f"take it out, or use one of {', '.join(known[header])}"), at


def _tables(kind: type[Draft], header: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    yield header, tuple(field.alias or name for name, field in kind.model_fields.items())
    for name, field in kind.model_fields.items():
        inner = _table_in(field.annotation)
        if inner is not None:
            yield from _tables(inner, f"{header}.{name}".strip("."))


def _table_in(annotation: Any) -> type[Draft] | None:
    """The table that a key holds, alone or in a list; None for a plain value."""
    if isinstance(annotation, type) and issubclass(annotation, Draft):
        return annotation
    return next((found for part in get_args(annotation) if (found := _table_in(part)) is not None), None)
