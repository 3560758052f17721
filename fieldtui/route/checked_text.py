"""A checked route as a text, and back: the very same route, with nothing of it checked again.

For whoever keeps the text where nobody writes by hand. Only what this version writes is read: a table of the model as
an object that says in `is` which it is, a number as its digits.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date, time
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from msgspec import Struct
from msgspec.structs import asdict, replace

from fieldtui.route import model
from fieldtui.route.units import SYSTEMS, Units

_TABLES = {
    kind.__name__: kind
    for kind in (
        model.Anchor, model.Care, model.Chord, model.Control, model.Extensometer, model.Face, model.Frequency,
        model.Level, model.Plant, model.Route, model.Stability, model.Station, model.Tape, model.Uncertainty,
    )
}  # fmt: skip


def checked_text(route: model.Route) -> str:
    """The route on one line, but for the place of its file, which is another for each who reads it."""
    return json.dumps(_told(replace(route, path=None)), separators=(",", ":"))


def checked_route(text: str) -> model.Route:
    """The route that `checked_text` was given, without its place. ValueError, KeyError, TypeError for others."""
    levels: dict[model.Level, model.Level] = {}

    def made(told: dict[str, Any]) -> Any:
        kind = told.pop("is")
        if kind not in _TABLES:
            return _VALUES[kind](told["of"])
        table = _TABLES[kind](**{key: _frozen(value) for key, value in told.items()})
        # the chords of a route share its levels
        return levels.setdefault(table, table) if isinstance(table, model.Level) else table

    route = json.loads(text, object_hook=made)
    if not isinstance(route, model.Route):
        raise TypeError("not a route")
    return route


_VALUES: Mapping[str, Any] = {
    "Decimal": Decimal,
    "date": date.fromisoformat,
    "time": time.fromisoformat,
    "Units": SYSTEMS.__getitem__,
    "Mapping": lambda items: MappingProxyType(dict(items)),
}


def _frozen(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


def _told(value: Any) -> Any:
    if isinstance(value, Units):
        return {"is": "Units", "of": value.name}
    if isinstance(value, Struct):
        return {"is": type(value).__name__} | {name: _told(one) for name, one in asdict(value).items()}
    if isinstance(value, Decimal):
        return {"is": "Decimal", "of": str(value)}
    if isinstance(value, date | time):
        return {"is": type(value).__name__, "of": value.isoformat()}
    if isinstance(value, Mapping):
        return {"is": "Mapping", "of": [[_told(key), _told(of)] for key, of in value.items()]}
    if isinstance(value, tuple):
        return [_told(one) for one in value]
    return value
