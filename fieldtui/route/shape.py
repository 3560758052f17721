"""From parsed TOML to a draft: right keys, right kinds of value; what does not fit is named and left out.

`shaped(raw)` never fails: each value that does not fit becomes a `Mistake` and is None in the draft, so that the
rules can look at all the rest.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

from msgspec import Struct
from pydantic import ValidationError
from pydantic_core import ErrorDetails

from fieldtui.route.draft import BRANCHES, Draft, RouteDraft
from fieldtui.route.keys import header_of, told_header, unknown_key
from fieldtui.route.leaf import TOLD, shown
from fieldtui.route.problem import KeyPath, Mistake


class Shaped(Struct, frozen=True):
    """A draft, the mistakes of its shape, and the places of which enough has been said."""

    draft: RouteDraft
    mistakes: tuple[Mistake, ...]
    told: frozenset[KeyPath]


def shaped(raw: dict[str, Any]) -> Shaped:
    """The draft of a parsed route file, with its mistakes of shape. `raw` is left as it is."""
    refused: list[ErrorDetails] = []
    try:
        draft = RouteDraft.model_validate(raw)
    except ValidationError as error:
        refused = error.errors(include_url=False)
        sound = copy.deepcopy(raw)
        for one in refused:
            _take_out(sound, _place(one))
        draft = RouteDraft.model_validate(sound)
    mistakes: list[Mistake] = []
    told: set[KeyPath] = set()
    for one in refused:
        at = _place(one)
        told.add(at)
        if one["type"] == "extra_forbidden":
            mistake, meant = unknown_key(at)
            told.add(meant)
        else:
            mistake = _wrong_kind(one, at)
        mistakes.append(mistake)
    mistakes += _missing(draft, (), told)
    return Shaped(draft, tuple(mistakes), frozenset(told))


def _place(error: ErrorDetails) -> KeyPath:
    """Where the value stands in the file; pydantic's marks for the branch of a union are no keys of ours."""
    at = error["loc"]
    return tuple(
        step for place, step in enumerate(at) if step not in BRANCHES or at[0] != "station" or at[place - 2] != "level"
    )


def _take_out(raw: Any, at: KeyPath) -> None:
    """Remove one refused value; a refused element of a list leaves an empty table, so the others keep their place."""
    for step in at[:-1]:
        raw = raw[step]
    if isinstance(raw, list):
        raw[int(at[-1])] = {}
    else:
        del raw[at[-1]]


def _wrong_kind(error: ErrorDetails, at: KeyPath) -> Mistake:
    """What is wrong with a value that a table or a list should be, or that a leaf refused."""
    if error["type"] == TOLD:
        return Mistake(at, error["ctx"]["what"], error["ctx"]["todo"])
    header, value = header_of(at), error["input"]
    if error["type"] == "list_type" and header == "station.chord.level":
        return Mistake(
            at, f"must be a list of names of levels, not {shown(value)}", 'write it as ["…"], or [] for none'
        )
    if error["type"] == "list_type":
        return Mistake(at, f"must be a list of tables, not {shown(value)}", f"write each as [[{header}]]")
    if isinstance(value, list):
        return Mistake(at, "must be one table, not a list", f"write it as [{header}]")
    brackets = f"[[{header}]]" if isinstance(at[-1], int) else f"[{header}]"
    return Mistake(at, f"must be a table, not {shown(value)}", f"write it under {brackets}")


def _missing(draft: Draft, at: KeyPath, told: set[KeyPath]) -> Iterator[Mistake]:
    """Keys that a table needs and does not have; not those that stand there and were refused."""
    if at in told:
        return
    for name, field in type(draft).model_fields.items():
        key = field.alias or name
        value = getattr(draft, name)
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
