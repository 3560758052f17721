"""Figures as people type them, and what they say.

A figure is kept as it was typed. Its number is read here and nowhere else, so that the screen, the line-by-line walk
and a booking sheet cannot disagree: a comma is a point, spaces around a figure do not matter, anything else that is
not plainly one number is refused with a sentence.
"""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from decimal import Decimal
from functools import lru_cache

from fieldtui.errors import FieldError

_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)", re.ASCII)
LONGEST_FIGURE = 12
"""So many characters a figure has at most."""


class EntryRefused(FieldError):
    """What was typed cannot be booked; nothing was, and the figure stays to be corrected."""


@lru_cache(maxsize=4096)
def number(typed: str) -> Decimal:
    """The number that was typed, exact. `EntryRefused` says what is wrong with it."""
    text = typed.strip()
    if not text:
        raise EntryRefused("There is no figure yet.", todo="Type it and press Enter.")
    if len(text) > LONGEST_FIGURE:
        raise EntryRefused(f"{len(text)} characters are too many for one figure.", todo="Type one figure only.")
    if len(re.findall(r"[.,]", text)) > 1:
        raise EntryRefused("There are two decimal points in this figure.", todo="Leave one of them.")
    if not _NUMBER.fullmatch(text):
        raise EntryRefused(f"“{text}” is not a number.", todo="Use the digits 0 to 9 and one point or comma.")
    return Decimal(text.replace(",", "."))


def whole(typed: str) -> int:
    """The whole number that was typed. `EntryRefused` if it is not one."""
    value = number(typed)
    if value != value.to_integral_value():
        raise EntryRefused(f"A hole is a whole number, and {typed.strip()} is not.", todo="Read it on the tape again.")
    return int(value)


def hole_read(typed: str) -> int:
    """The number of a hole as it is read on the tape. `EntryRefused` also for `25.00`: that is a dial's figure."""
    value = whole(typed)
    if re.search(r"[.,]", typed):
        raise EntryRefused(
            f"{typed.strip()} looks like a dial reading: a hole has no decimal point.",
            todo="Type the number of the hole.",
        )
    return value


def time_of_day(typed: str, now: datetime) -> datetime:
    """The time nearest to `now` that shows as the `HH:MM` typed, in the zone of `now`.

    `EntryRefused` says what is wrong with it.
    """
    found = re.fullmatch(r"([0-9]{1,2})[:.,]?([0-9]{2})", typed.strip(), re.ASCII)
    if found is None or int(found[1]) > 23 or int(found[2]) > 59:
        raise EntryRefused(
            f"“{typed.strip()}” is not a time of day.", todo="Type hours and minutes, like 03:40, 0340 or 3.40."
        )
    today = now.replace(hour=int(found[1]), minute=int(found[2]), second=0, microsecond=0)
    return min((today + timedelta(days=days) for days in (-1, 0, 1)), key=lambda time: abs(time - now))
