"""Who was told that a level was reached, and what they answered: one record for each person told.

A call itself is in no record: it follows from the readings. What is booked is the telling.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.survey.entered import Entry
from fieldtui.survey.times import stamp


class CallTold(Struct, frozen=True):
    """One person told. `told_at` is when, RFC 3339; `means` by what means."""

    station: str
    chord: str
    level: str
    what: str
    """`closing`, `opening` or `rate`."""
    survey: str
    """The id of the survey that opened the call."""
    role: str
    """Which of the roles that the level names."""
    person: str
    told_at: str
    means: str
    answer: str
    by: str
    entry: Entry

    def data(self) -> dict[str, str]:
        """The form in which records hold it."""
        return {name: str(getattr(self, name)) for name in _NAMES}

    @classmethod
    def of(cls, data: Mapping[str, Any], entry: Entry) -> CallTold:
        """The telling that a record holds; what it does not say is empty."""
        return cls(**{name: str(data.get(name, "")) for name in _NAMES}, entry=entry)

    def told_later(self, by: timedelta) -> CallTold:
        """The same by a clock that is so much ahead of the one it was booked by; a time not booked stays so."""
        if not by or not self.told_at:
            return self
        return replace(self, told_at=stamp(datetime.fromisoformat(self.told_at) + by))


_NAMES = ("station", "chord", "level", "what", "survey", "role", "person", "told_at", "means", "answer", "by")
