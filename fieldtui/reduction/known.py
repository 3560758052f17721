"""What is known before a survey, with every chord followed once: what expectations are worked out from."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from msgspec.structs import replace

from fieldtui.reduction.following import AT_MOST, Followed, follow, stirred
from fieldtui.reduction.ground import Event, Ground, Past, Segment
from fieldtui.reduction.laws import Motion
from fieldtui.reduction.motion import CALM, Stir
from fieldtui.reduction.pace import first_speeds, paced
from fieldtui.route.model import ChordKey, Route


class Known:
    """A route and what is known before a survey, with every chord followed once, when it is first asked for.

    Make one for each survey. It remembers only what can be worked out again: the answers are those of pure functions.
    """

    def __init__(self, route: Route, ground: Ground) -> None:
        self.route = route
        self.ground = ground
        self.mm = route.units.millimetre
        self._followed: dict[tuple[ChordKey, str, str], Followed | None] = {}
        self._without: dict[tuple[ChordKey, str, str], Followed | None] = {}
        self._heeding: dict[tuple[ChordKey, str, str], Followed] = {}
        self._bank: tuple[Motion, ...] | None = None

    def followed(self, key: ChordKey, tape: str, extensometer: str) -> Followed | None:
        """The track through a chord's readings with this tape and extensometer; None where there are none."""
        wanted = (key, tape, extensometer)
        if wanted not in self._followed:
            segment = self.ground.chord(key).segment(tape, extensometer)
            self._followed[wanted] = self.through(key, segment) if segment else None
        return self._followed[wanted]

    def through(self, key: ChordKey, segment: Segment, leaving: int = 0, doubtful: bool = False) -> Followed | None:
        """A track through a segment's readings, without the last so many, with or without the doubtful ones."""
        # of a chord that was read for years only the newest readings are at hand
        good: list[Past] = []
        for past in reversed(segment.readings):
            if doubtful or not past.doubtful:
                good.append(past)
            if len(good) == leaving + AT_MOST:
                break
        return follow(good[leaving:][::-1], self.events(key[0]), self.mm, self.bank)

    def without_last(self, key: ChordKey, tape: str, extensometer: str) -> Followed | None:
        """The track through a chord's good readings but the last, as `heeding`; None where that leaves none."""
        wanted = (key, tape, extensometer)
        if wanted not in self._without:
            segment = self.ground.chord(key).segment(tape, extensometer)
            found = self.through(key, segment, leaving=1) if segment else None
            self._without[wanted] = self.beside(key, found) if found else None
        return self._without[wanted]

    def heeding(self, key: ChordKey, tape: str, extensometer: str) -> Followed | None:
        """The same track, its laws weighed also by what the station's other chords have shown."""
        wanted = (key, tape, extensometer)
        if wanted not in self._heeding:
            own = self.followed(*wanted)
            if own is None:
                return None
            self._heeding[wanted] = self.beside(key, own)
        return self._heeding[wanted]

    def beside(self, key: ChordKey, own: Followed) -> Followed:
        """A chord's track, its laws weighed also by what the station's other chords have shown by now."""
        tape, extensometer = own.last.length.tape, own.last.length.extensometer
        keys = [other for other in self.ground.chords if other[0] == key[0] and other != key]
        tracks = [theirs.track for other in keys if (theirs := self.followed(other, tape, extensometer)) is not None]
        told = [track for track in tracks if track.readings > 1]
        return replace(own, track=own.track.heeding(told)) if told else own

    def temperatures_before(self, followed: Followed | None) -> tuple[Decimal, ...]:
        """Tape temperatures of a chord's earlier readings, the newest last."""
        return followed.temperatures if followed else ()

    def stir(self, followed: Followed, station: str, at: datetime) -> Stir:
        """What blasts and stages since a chord's last reading may have done."""
        return stirred(followed.last.time, at, self.events(station)) or CALM

    def remember(self, key: ChordKey, followed: Followed, without_last: Followed | None) -> None:
        """Take tracks that were followed elsewhere, so that they need not be followed again."""
        wanted = (key, followed.last.length.tape, followed.last.length.extensometer)
        self._followed[wanted] = followed
        self._without[wanted] = without_last and self.beside(key, without_last)
        self._heeding.clear()

    def events(self, station: str) -> tuple[Event, ...]:
        """Blasts and stages that count at a station."""
        return tuple(event for event in self.ground.events if event.station in (None, station))

    @property
    def bank(self) -> tuple[Motion, ...]:
        """The laws of motion, weighed by how fast the chords of this route were when they were new."""
        if self._bank is None:
            self._bank = paced(first_speeds(self.ground, self.mm))
        return self._bank
