"""The single values of a route file: what each kind may be, and the words when it is not.

Every kind is an `Annotated` type for the drafts in `draft.py`. A value that does not fit raises pydantic's custom
error of type `TOLD` with `what` and `todo` in plain words. Nothing is coerced: text is not a number, true is not 1.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime, time
from decimal import Decimal
from typing import Annotated, Any

from pydantic import PlainValidator
from pydantic_core import PydanticCustomError

from fieldtui.route.units import FINEST, LARGEST

TOLD = "told"

_CLOCK = re.compile(r"([01][0-9]|2[0-3]):([0-5][0-9])")


def told(what: str, todo: str) -> PydanticCustomError:
    """The error that carries our own words."""
    return PydanticCustomError(TOLD, "{what}", {"what": what, "todo": todo})


def shown(value: object) -> str:
    """A value as it may be quoted in a sentence: short, and in TOML's own spelling for the simple ones."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value}"' if len(value) <= 40 and value.isprintable() else "…"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    told_value = str(value)
    return told_value if len(told_value) <= 40 else "this figure"


def number(value: Any) -> Decimal:
    """A number exactly as written; `ValueError` in pydantic's form for anything else."""
    if isinstance(value, str):
        raise told(f"must be a number, not text ({shown(value)})", "write it without quotation marks, with a point")
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise told(f"must be a number, not {shown(value)}", "write a figure such as 25.0")
    if isinstance(value, Decimal) and not value.is_finite():
        raise told(f"must be a number, not {shown(value)}", "write a figure such as 25.0")
    exact = Decimal(value)
    if abs(exact) > LARGEST or (exact and abs(exact) < FINEST):
        raise told(f"cannot be {shown(value)}", "look at the point and the units")
    return exact


def whole(value: Any) -> int:
    """A whole number, written without a point."""
    exact = number(value)
    if not isinstance(value, int):
        raise told(f"must be a whole number, not {shown(value)}", "write it without a point")
    return int(exact)


def _bounded(
    kind: Callable[[Any], Any], lowest: int, *, open_below: bool = False, highest: int | None = None
) -> Callable[[Any], Any]:
    def check(value: Any) -> Any:
        exact = kind(value)
        if exact < lowest or (open_below and exact == lowest):
            limit = f"more than {lowest}" if open_below else f"{lowest} or more"
            raise told(f"must be {limit}, not {shown(value)}", "look at the sign and the figure")
        if highest is not None and exact > highest:
            raise told(f"must be {highest} or less, not {shown(value)}", "look at the point")
        return exact

    return check


def text(value: Any) -> str:
    """One line of text."""
    if not isinstance(value, str):
        raise told(f"must be text, not {shown(value)}", "write it in quotation marks")
    if not value.replace("\t", " ").isprintable():
        raise told("has a line end or a sign in it that cannot be printed", "write it on one line")
    return value


def prose(value: Any) -> str:
    """Text that may run over several lines."""
    if not isinstance(value, str):
        raise told(f"must be text, not {shown(value)}", "write it in quotation marks")
    if not re.sub(r"[\t\r\n]", " ", value).isprintable():
        raise told("has a sign in it that cannot be printed", "write plain text")
    return value.strip()


def name(value: Any) -> str:
    """A name or serial: text with something in it and no blanks around it."""
    given = text(value)
    if not given.strip():
        raise told("is empty", "write a name")
    if given != given.strip():
        raise told(f"has a blank before or after the name {shown(given)}", "take the blank out")
    if len(given) > 60:
        raise told("is longer than 60 letters", "shorten it; the rest can go into a note")
    return given


def yes_no(value: Any) -> bool:
    """true or false."""
    if not isinstance(value, bool):
        raise told(f"must be true or false, not {shown(value)}", "write true or false without quotation marks")
    return value


def day(value: Any) -> date:
    """A date, written 2031-01-01."""
    if isinstance(value, datetime) or not isinstance(value, date):
        raise told(f"must be a date, not {shown(value)}", "write it as 2031-01-01, without quotation marks")
    return value


def clock(value: Any) -> time:
    """A time of day, written "06:00"."""
    if isinstance(value, time):
        return value.replace(microsecond=0)
    found = _CLOCK.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        raise told(f"must be a time of day, not {shown(value)}", 'write hours and minutes, such as "06:00"')
    return time(int(found[1]), int(found[2]))


def one_of(*choices: str) -> Callable[[Any], str]:
    """A word out of a few."""

    def check(value: Any) -> str:
        if not isinstance(value, str) or value not in choices:
            listed = ", ".join(f'"{choice}"' for choice in choices[:-1])
            raise told(f'must be {listed} or "{choices[-1]}", not {shown(value)}', "write one of these")
        return value

    return check


def number_pair(value: Any) -> tuple[Decimal, Decimal]:
    """Two numbers, the lower first."""
    if not isinstance(value, list) or len(value) != 2:
        raise told("must be two numbers, lowest and highest", "write it as [0.0, 50.0]")
    low, high = number(value[0]), number(value[1])
    if low >= high:
        raise told(f"runs from {low} to {high}, upside down", "write the lowest reading first, then the highest")
    return low, high


def names(value: Any) -> tuple[str, ...]:
    """A list of names, none twice."""
    if not isinstance(value, list):
        raise told(f"must be a list of names, not {shown(value)}", 'write it as ["shift engineer", "site manager"]')
    given = tuple(name(one) for one in value)
    if len(set(given)) < len(given):
        raise told("has the same name twice", "take one of the two out")
    return given


Name = Annotated[str | None, PlainValidator(name)]
Prose = Annotated[str | None, PlainValidator(prose)]
Number = Annotated[Decimal | None, PlainValidator(number)]
Positive = Annotated[Decimal | None, PlainValidator(_bounded(number, 0, open_below=True))]
NotNegative = Annotated[Decimal | None, PlainValidator(_bounded(number, 0))]
Share = Annotated[Decimal | None, PlainValidator(_bounded(number, 0, open_below=True, highest=1))]
Count = Annotated[int | None, PlainValidator(_bounded(whole, 1, highest=100_000))]
HoleNumber = Annotated[int | None, PlainValidator(_bounded(whole, 0, highest=100_000))]
YesNo = Annotated[bool | None, PlainValidator(yes_no)]
Day = Annotated[date | None, PlainValidator(day)]
Clock = Annotated[time | None, PlainValidator(clock)]
NumberPair = Annotated[tuple[Decimal, Decimal] | None, PlainValidator(number_pair)]
Names = Annotated[tuple[str, ...] | None, PlainValidator(names)]
