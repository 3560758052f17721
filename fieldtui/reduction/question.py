"""What is asked of a booking, and everything beside the figures themselves that may answer it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from msgspec import Struct

from fieldtui.reduction.evidence import Evidence, Other
from fieldtui.reduction.expectation import Expectation
from fieldtui.reduction.following import Followed
from fieldtui.reduction.ground import Past
from fieldtui.reduction.known import Known
from fieldtui.reduction.motion import CALM
from fieldtui.reduction.priors import Priors
from fieldtui.route.model import Chord, Station


class Question(Struct, frozen=True):
    """Can this be the length of the chord at this time?"""

    known: Known
    station: Station
    chord: Chord
    at: datetime
    """Time of reading, UTC."""
    evidence: Evidence
    priors: Priors
    expected: Expectation
    followed: Followed | None
    """The chord through its earlier readings with this tape and extensometer."""
    event: bool
    """A blast or a new stage has set the ground moving since the last reading."""

    @property
    def unsure(self) -> bool:
        """Whether all chords may well be off alike: something has set the ground moving, or nobody knows its pace."""
        return self.event or self.expected.rests == "one reading"

    @property
    def key(self) -> tuple[str, str]:
        return self.station.name, self.chord.name

    def less(self, ailing: Iterable[tuple[Other, float]]) -> float:
        """What the expected value would be less by, were other chords off by so much less: small units.

        Where what ails them ails this chord too, the one that was heeded must not be heeded for it.
        """
        leans = {lean.other.key: lean for lean in self.expected.leans}
        return sum(leans[other.key].less(by) for other, by in ailing if other.key in leans)

    @property
    def last(self) -> Past | None:
        """The chord's last reading."""
        return self.followed.last if self.followed is not None else None


def stirred_since(known: Known, followed: Followed | None, station: Station, at: datetime, evidence: Evidence) -> bool:
    """Whether a blast or a new stage lies between the last reading and this one."""
    if evidence.events:
        return True
    return followed is not None and known.stir(followed, station.name, at) != CALM
