"""One entry of a log: as it was typed, where it stands, when it was read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

Place = tuple[str, int]
"""Where a record stands: log id and seq."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry as it was typed, where it stands (`log`, `seq`), and when it was read."""

    typed: str
    unit: str
    log: str
    seq: int
    read_at: datetime

    @property
    def place(self) -> Place:
        return (self.log, self.seq)

    @property
    def declined(self) -> bool:
        """A further repeat that was asked for and not taken."""
        return self.typed == ""
