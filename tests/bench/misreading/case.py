"""One booking to be judged, the chord it is of, and the moment it is made in."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from msgspec import Struct

from fieldtui.reduction import Figures, Length, Past
from fieldtui.reduction.evidence import Evidence
from fieldtui.reduction.following import Followed
from fieldtui.reduction.known import Known
from fieldtui.route.model import Chord, ChordKey, Station

from .ground import Movement

if TYPE_CHECKING:
    from .world import World


class Case(Struct, frozen=True):
    """One booking to be judged, and what it truly is."""

    label: str
    regime: str
    earlier: int
    """Readings of the chord before this one."""
    known: Known
    station: Station
    chord: Chord
    length: Length
    at: datetime
    evidence: Evidence
    true_spread: float
    """The simulator's, mm."""
    off_by: float
    """What the mistake (or the sudden movement) leaves in the length, mm; 0 for a clean booking."""
    clean: Length
    """The same reading without it."""
    last: Length
    second: Length | None
    """What the chord gives when it is read again, made for those labels of which the figures are right."""
    asked: bool
    """A further repeat was asked for."""
    new_stage: bool


class Line(Struct):
    """One chord as it truly is, and as it was booked so far."""

    key: ChordKey
    chord: Chord
    base: float
    row: int
    movement: Movement
    ahead: int
    pasts: list[Past]
    followed: Followed | None = None
    before: Followed | None = None

    @property
    def hole(self) -> int | None:
        """The hole that it was last read with."""
        return self.pasts[-1].length.figures.hole if self.pasts else None

    def truth(self, survey: int) -> float:
        return self.base - float(self.movement.closing[self.row][survey + self.ahead])


class Moment(Struct, frozen=True):
    """The crew at a chord: everything that a mistake may be made from."""

    world: World
    clean: Case
    """The booking as it should be."""
    line: Line
    survey: int
    figures: Figures
    true: float
    """Length, mm."""
    warm: float
    """Temperature of the tape, degC."""
    others: list[tuple[Line, Figures, float]]
    """The chords read before in this survey: line, figures, true length."""
