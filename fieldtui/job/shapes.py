"""What each kind of journal record must hold: asked before it is written, and again when it is read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from typing import Any

from msgspec import Struct, field

from fieldtui.job.route_values import wrong_value

_TABLES = ("tape", "extensometer", "control", "anchor", "uncertainty")
_TEXTS = ("part", "note", "station", "answer")
"""What a record of any kind may leave out, and is a text where it does not."""


class Shape(Struct, frozen=True):
    """Names of the texts it needs, of its times (`since?`: may be left out), and what some of them may be."""

    needs: tuple[str, ...]
    times: tuple[str, ...] = ()
    one_of: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


SHAPES: dict[str, Shape] = {
    "struck": Shape(("log", "reason", "by")),
    "baseline": Shape(("name", "reason", "by"), ("since",), {"movement": ("carried", "restarted")}),
    "anchor": Shape(("station", "anchor", "by"), ("at",), {"event": ("struck", "lost", "replaced")}),
    "chord": Shape(("station", "chord", "by"), ("at",), {"event": ("added", "retired")}),
    "renamed": Shape(("old", "new", "by"), ("at",)),
    "correction": Shape(("name", "key", "reason", "by"), ("since?", "until?"), {"table": _TABLES}),
    "certificate": Shape(("name", "reference", "reason", "by"), ("since?", "until?"), {"table": _TABLES}),
    "new_thing": Shape(("name", "by"), ("since",), {"table": _TABLES[:4]}),
    "call": Shape(("station", "chord", "level", "what", "role", "person", "means", "by"), ("told_at",)),
    "construction": Shape(("event", "by"), ("at",)),
    "care": Shape(("what", "by"), ("at",)),
    "fork": Shape(("log", "h", "reason", "by")),
    "note": Shape(("text", "by")),
}


def wrong_with(kind: str, data: Mapping[str, Any]) -> list[str]:
    """What is wrong with the data of a journal record, in words; empty where nothing is. `KeyError` for no kind."""
    return list(_wrong(kind, SHAPES[kind], data))


def _wrong(kind: str, shape: Shape, data: Mapping[str, Any]) -> Iterator[str]:
    for name in shape.needs:
        if not isinstance(data.get(name), str) or not data[name].strip():
            yield f"“{name}” is missing"
    for name in _TEXTS:
        if name not in shape.needs and not isinstance(data.get(name, ""), str):
            yield f"“{name}” is a text"
    for name, allowed in shape.one_of.items():
        if data.get(name) not in allowed:
            yield f"“{name}” is one of {', '.join(allowed)}"
    for name in shape.times:
        yield from _wrong_time(name.rstrip("?"), data.get(name.rstrip("?")), name.endswith("?"))
    if kind == "struck":
        yield from _wrong_strike(data)
    if kind == "baseline" and not _texts(data.get("stations", [])):
        yield "“stations” is a list of names"
    if kind == "correction":
        yield from _wrong_figure(data, str(data.get("key")), data.get("value"))
    if kind == "certificate":
        values = data.get("values")
        if not isinstance(values, dict) or not values:
            yield "“values” is missing"
        else:
            for key, value in values.items():
                yield from _wrong_figure(data, key, value)
    if data.get("table") == "anchor" and not data.get("part"):
        yield "“part” names the anchor, and is missing"


def _texts(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(one, str) for one in value)


def _wrong_time(name: str, text: object, optional: bool) -> Iterator[str]:
    if optional and not text:
        return
    try:
        moment = datetime.fromisoformat(text) if isinstance(text, str) else None
        is_time = moment is not None and moment.tzinfo is not None and moment.astimezone(UTC) is not None
    except (ValueError, OverflowError):
        is_time = False
    if not is_time:
        yield f"“{name}” is a time with its offset from UTC"


def _wrong_strike(data: Mapping[str, Any]) -> Iterator[str]:
    if not isinstance(data.get("seq"), int):
        yield "“seq” is the number of a record"
    if not isinstance(data.get("typed", ""), str):
        yield "“typed” is a text"
    settles = data.get("settles", [])
    if not isinstance(settles, list) or not all(
        isinstance(one, dict) and isinstance(one.get("log"), str) and isinstance(one.get("seq"), int) for one in settles
    ):
        yield "“settles” is a list of records"


def _wrong_figure(data: Mapping[str, Any], key: str, value: object) -> Iterator[str]:
    wrong = wrong_value(str(data.get("table")), key, value)
    if wrong:
        yield wrong
