"""Each chord's track carried on from survey to survey, so that a long sheet does not follow a year anew at every row.

The track of `n` readings is the same whichever way it was come by: it begins at the first reading, and from twice
`STRETCH` readings on at a later one, so that it never rests on more than that. (At the anchor, where one survey is
judged, the newest `STRETCH` are followed; the difference lies in readings that are long past.)
"""

from __future__ import annotations

from dataclasses import dataclass

from fieldtui.reduction import Event, Known, Length
from fieldtui.reduction.following import AT_MOST, Followed, follow
from fieldtui.reduction.motion import Motion
from fieldtui.route import ChordKey

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
        self._made: dict[tuple[ChordKey, str, str], _Made] = {}

    def follow(self, known: Known, key: ChordKey, tape: str, extensometer: str) -> None:
        """Let `known` remember the track of a chord, carried on from the last one where that is its beginning."""
        segment = known.ground.chord(key).segment(tape, extensometer)
        good = [past for past in segment.readings if not past.doubtful] if segment is not None else []
        if not good:
            return
        newest = good[_begins(len(good)) :]
        lengths, events = tuple(past.length for past in newest), known.events(key[0])
        made = self._made.get((key, tape, extensometer))
        if made is not None and _goes_on(made, lengths) and (made.bank, made.events) == (known.bank, events):
            followed, without_last, done = made.followed, made.without_last, len(made.lengths)
        else:
            begun = follow(newest[:1], events, known.mm, known.bank)
            if begun is None:
                return
            followed, without_last, done = begun, None, 1
        for past in newest[done:]:
            followed, without_last = followed.on(past, events), followed
        self._made[(key, tape, extensometer)] = _Made(lengths, known.bank, events, followed, without_last)
        known.remember(key, followed, without_last)


def _begins(count: int) -> int:
    """The place of the first reading that a track of so many rests on."""
    return max(0, count // STRETCH - 1) * STRETCH


def _goes_on(made: _Made, lengths: tuple[Length, ...]) -> bool:
    """Whether the readings begin with those of the track: the very same ones."""
    return len(lengths) >= len(made.lengths) and all(a is b for a, b in zip(made.lengths, lengths, strict=False))
