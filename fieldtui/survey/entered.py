"""One entry of a log: as it was typed, where it stands, when it was read."""

from __future__ import annotations

from datetime import datetime

from msgspec import Struct
from msgspec.structs import replace

Place = tuple[str, int]
"""Where a record stands: log id and seq."""


class Entry(Struct, frozen=True):
    """One entry as it was typed, where it stands (`log`, `seq`), and when it was read.

    A clock may go back, and a survey may be spread over several logs: what came after what is told by the running
    number of the record in its survey and by nothing else.
    """

    typed: str
    unit: str
    log: str
    seq: int
    read_at: datetime
    order: int = 0
    """The running number: in which order it was booked."""
    read_order: int = 0
    """The running number of the entry that it sets right, else its own: a correction moves nothing in time."""

    @property
    def place(self) -> Place:
        return (self.log, self.seq)

    def setting_right(self, other: Entry) -> Entry:
        """This entry as one that was read when the other was."""
        return replace(self, read_at=other.read_at, read_order=other.read_order)

    @property
    def declined(self) -> bool:
        """A further repeat that was asked for and not taken."""
        return self.typed == ""
