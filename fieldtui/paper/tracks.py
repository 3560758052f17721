"""Each chord's track carried on from survey to survey, so that a long sheet does not follow a year anew at every row.

The track of `n` readings is the same whichever way it was come by: it begins at the first reading, and from twice
`STRETCH` readings on at a later one, so that it never rests on more than that. (At the anchor, where one survey is
judged, the newest `STRETCH` are followed; the difference lies in readings that are long past.)
"""

from __future__ import annotations

from dataclasses import dataclass

from fieldtui.reduction import Event, Ground, Known, Length
from fieldtui.reduction.following import AT_MOST, Followed, follow
from fieldtui.reduction.laws import Motion
from fieldtui.route import ChordKey, Route

Wanted = tuple[ChordKey, str, str]
"""A chord, a tape and an extensometer."""

STRETCH = AT_MOST


@dataclass(frozen=True, slots=True)
class _Made:
    lengths: tuple[Length, ...]
    bank: tuple[Motion, ...]
    events: tuple[Event, ...]
    followed: Followed
    without_last: Followed | None


class Tracks:
    """The newest track of every chord with a tape and extensometer."""

    def __init__(self) -> None:
        self._made: dict[Wanted, _Made] = {}

    def through(self, known: Known, wanted: Wanted) -> _Made | None:
        """The track of a chord, carried on from the last one where that is its beginning; None without readings."""
        key, tape, extensometer = wanted
        segment = known.ground.chord(key).segment(tape, extensometer)
        good = [past for past in segment.readings if not past.doubtful] if segment is not None else []
        newest = good[_begins(len(good)) :]
        lengths, events = tuple(past.length for past in newest), known.events(key[0])
        made = self._made.get(wanted)
        if made is not None and _goes_on(made, lengths) and (made.bank, made.events) == (known.bank, events):
            followed, without_last, done = made.followed, made.without_last, len(made.lengths)
        else:
            begun = follow(newest[:1], events, known.mm, known.bank)
            if begun is None:
                return None
            followed, without_last, done = begun, None, 1
        for past in newest[done:]:
            followed, without_last = followed.on(past, events), followed
        self._made[wanted] = _Made(lengths, known.bank, events, followed, without_last)
        return self._made[wanted]


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

    def _of(self, wanted: Wanted) -> _Made | None:
        if wanted not in self._carried:
            self._carried[wanted] = self._tracks.through(self, wanted)
        return self._carried[wanted]


def _begins(count: int) -> int:
    """The place of the first reading that a track of so many rests on."""
    return max(0, count // STRETCH - 1) * STRETCH


def _goes_on(made: _Made, lengths: tuple[Length, ...]) -> bool:
    """Whether the readings begin with those of the track: the very same ones."""
    return len(lengths) >= len(made.lengths) and all(a is b for a, b in zip(made.lengths, lengths, strict=False))
