"""Each chord's track carried on from survey to survey, so that a long sheet does not follow a year anew at every row.

The track of `n` readings is the same whichever way it was come by: it begins at the first reading, and from twice
`STRETCH` readings on at a later one, so that it never rests on more than that. (At the anchor, where one survey is
judged, the newest `STRETCH` are followed; the difference lies in readings that are long past.)
"""

from __future__ import annotations

from msgspec import Struct

from fieldtui.reduction import Event, Ground, Known, Past
from fieldtui.reduction.following import AT_MOST, Followed, follow
from fieldtui.reduction.laws import Motion
from fieldtui.reduction.pace import first_speeds, paced
from fieldtui.route import ChordKey, Route

Wanted = tuple[ChordKey, str, str]
"""A chord, a tape and an extensometer."""

STRETCH = AT_MOST


class _Made(Struct, frozen=True):
    readings: tuple[Past, ...]
    """All of the segment, doubtful ones too."""
    good: int
    """How many of them count."""
    bank: tuple[Motion, ...]
    events: tuple[Event, ...]
    followed: Followed
    without_last: Followed | None


class Tracks:
    """The newest track of every chord with a tape and extensometer."""

    def __init__(self) -> None:
        self._made: dict[Wanted, _Made] = {}
        self._bank: tuple[list[tuple[float, float]], tuple[Motion, ...]] | None = None

    def through(self, known: Known, wanted: Wanted) -> _Made | None:
        """The track of a chord, carried on from the last one where that is its beginning; None without readings."""
        key, tape, extensometer = wanted
        segment = known.ground.chord(key).segment(tape, extensometer)
        readings = tuple(segment.readings) if segment is not None else ()
        events, made = known.events(key[0]), self._made.get(wanted)
        more: list[Past] | None = _goes_on(made, readings) if made is not None else None
        if made is None or more is None or (made.bank, made.events) != (known.bank, events):
            good = [past for past in readings if not past.doubtful]
            newest = good[_begins(len(good)) :]
            begun, more = follow(newest[:1], events, known.mm, known.bank), newest[1:]
            if begun is None:
                return None
            made = _Made((), len(good) - len(more), known.bank, events, begun, None)
        followed, without_last = made.followed, made.without_last
        for past in more:
            followed, without_last = followed.on(past, events), followed
        self._made[wanted] = _Made(readings, made.good + len(more), known.bank, events, followed, without_last)
        return self._made[wanted]

    def bank(self, speeds: list[tuple[float, float]]) -> tuple[Motion, ...]:
        """The laws weighed by first speeds: the very same ones while no chord has begun since."""
        if self._bank is None or self._bank[0] != speeds:
            self._bank = (speeds, paced(speeds))
        return self._bank[1]


class CarriedKnown(Known):
    """What is known before a survey, its chords followed on from the surveys before."""

    def __init__(self, route: Route, ground: Ground, tracks: Tracks) -> None:
        super().__init__(route, ground)
        self._tracks = tracks
        self._carried: dict[Wanted, _Made | None] = {}

    def followed(self, key: ChordKey, tape: str, extensometer: str) -> Followed | None:
        """As `Known.followed`."""
        made = self._of((key, tape, extensometer))
        return made.followed if made is not None else None

    def without_last(self, key: ChordKey, tape: str, extensometer: str) -> Followed | None:
        """As `Known.without_last`."""
        wanted = (key, tape, extensometer)
        if wanted not in self._without:
            made = self._of(wanted)
            found = made.without_last if made is not None else None
            self._without[wanted] = self.beside(key, found) if found is not None else None
        return self._without[wanted]

    @property
    def bank(self) -> tuple[Motion, ...]:
        """As `Known.bank`."""
        if self._bank is None:
            self._bank = self._tracks.bank(first_speeds(self.ground, self.mm))
        return self._bank

    def _of(self, wanted: Wanted) -> _Made | None:
        if wanted not in self._carried:
            self._carried[wanted] = self._tracks.through(self, wanted)
        return self._carried[wanted]


def _begins(count: int) -> int:
    """The place of the first reading that a track of so many rests on."""
    return max(0, count // STRETCH - 1) * STRETCH


def _goes_on(made: _Made, readings: tuple[Past, ...]) -> list[Past] | None:
    """The good readings that come after those of the track; None where it is not their beginning."""
    before = len(made.readings)
    if readings[:before] != made.readings:  # the very same ones, as a rule: they compare quickly
        return None
    more = [past for past in readings[before:] if not past.doubtful]
    return more if _begins(made.good + len(more)) == _begins(made.good) else None
