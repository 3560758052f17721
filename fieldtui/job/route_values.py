"""Figures of the route that a journal may set right: which there are, and how each is read from a record.

Only what enters a reduction or tells one thing from another is here. Figures are texts, as the route file has them, and
no larger or finer than a route file may have them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from fieldtui.route.units import FINEST, LARGEST


def _figure(value: Any) -> Decimal:
    figure = Decimal(value)
    if not figure.is_finite() or abs(figure) > LARGEST or (figure and abs(figure) < FINEST):
        raise ValueError
    return figure


def _positive(value: Any) -> Decimal:
    figure = _figure(value)
    if figure <= 0:
        raise ValueError
    return figure


def _not_negative(value: Any) -> Decimal:
    figure = _figure(value)
    if figure < 0:
        raise ValueError
    return figure


def _whole(value: Any) -> int:
    return int(str(value))


def _count(value: Any) -> int:
    count = _whole(value)
    if count < 1:
        raise ValueError
    return count


def _date(value: Any) -> date:
    return date.fromisoformat(str(value))


def _text(value: Any) -> str:
    if not isinstance(value, str) or not value.strip():
        raise ValueError
    return value


def _one_of(*allowed: Any) -> Callable[[Any], Any]:
    def chosen(value: Any) -> Any:
        if value not in allowed:
            raise ValueError
        return value

    return chosen


def _range(value: Any) -> tuple[Decimal, Decimal]:
    low, high = value
    if _figure(low) >= _figure(high):
        raise ValueError
    return _figure(low), _figure(high)


def _table(value: Any) -> Mapping[int, Decimal] | None:
    return None if value is None else {_whole(hole): _positive(distance) for hole, distance in dict(value).items()}


READERS: dict[str, dict[str, Callable[[Any], Any]]] = {
    "tape": {
        "pitch": _positive,
        "first_hole": _whole,
        "first_hole_distance": _figure,
        "holes": _count,
        "expansion": _figure,
        "expansion_uncertainty": _not_negative,
        "reference_temperature": _figure,
        "table": _table,
        "certificate_until": _date,
    },
    "extensometer": {
        "dial_serial": _text,
        "dial_range": _range,
        "dial_resolution": _positive,
        "dial": _one_of("adds", "subtracts"),
        "repeatability": _positive,
        "certificate_until": _date,
    },
    "control": {
        "length": _positive,
        "correct": _one_of(True, False),
        "limit": _positive,
        "expansion": _figure,
        "reference_temperature": _figure,
    },
    "anchor": {"across": _figure, "up": _figure, "kind": _one_of(None, "grouted", "wedged", "welded")},
    "uncertainty": {"temperature": _not_negative, "reproducibility": _not_negative, "hole": _not_negative},
}
"""Table -> key -> how its value is read; raises where it cannot be."""


def wrong_value(table: str, key: str, value: Any) -> str:
    """Why this cannot be the value of a key, or an empty string."""
    reader = READERS.get(table, {}).get(key)
    if reader is None:
        return f"“{key}” of {table or 'nothing'} cannot be set right"
    try:
        reader(value)
    except (ValueError, TypeError, InvalidOperation):
        return f"{value!r} cannot be the {key} of {table}"
    return ""


def read_value(table: str, key: str, value: Any) -> Any:
    """The value as the route's model holds it. `KeyError` or `ValueError` for what `wrong_value` tells."""
    return READERS[table][key](value)
