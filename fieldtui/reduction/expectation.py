"""What the next length of a chord should be, how sure that is, and what it rests on.

    Ground ── followed (once a chord) ──► Followed: a track through its readings
    Followed + time + evidence ── expect ──► Expectation: value, spread, the whole distribution

Resting on, in this order: the chord's own readings with this tape and extensometer; those with another tape; the
route's rough length; the anchors' coordinates. Which law of motion holds, the station's other chords have shown as
well. Blasts and new stages widen it, and the other chords of the station that were read in this survey move it, as far
as they have moved together before.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from decimal import Decimal
from math import hypot, sqrt
from typing import Literal

from msgspec import Struct

from fieldtui.reduction.beside import heeded
from fieldtui.reduction.evidence import Evidence
from fieldtui.reduction.following import Followed, off_variance, stirred
from fieldtui.reduction.ground import Event
from fieldtui.reduction.known import Known
from fieldtui.reduction.leaning import Lean, heeding
from fieldtui.reduction.length import Length
from fieldtui.reduction.mixture import Mixture, mixed
from fieldtui.reduction.rough import SELDOM, with_rough
from fieldtui.route.model import Chord, ChordKey, Extensometer, Station, Tape

Rests = Literal["readings", "one reading", "another tape", "rough length", "anchors"]

OTHER_TAPE = 1.0
"""Standard deviation, mm, of the constant between two tapes and extensometers that nobody has compared here."""
SET_OUT = 15.0
"""Standard deviation, mm, of a chord about its rough length, beside the rounding of that: anchors are set by eye."""


class Expectation(Struct, frozen=True):
    """What a clean reading should be; small units."""

    value: Decimal
    spread: float
    """Standard deviation of a clean reading about it: movement and the errors of all readings concerned."""
    mixture: Mixture
    """The whole distribution of a clean reading."""
    rests: Rests
    basis: str
    """What it rests on, in words."""
    readings: int = 0
    alone: float = 0.0
    """The same value, had no other chord of this survey been heeded."""
    alone_spread: float = 0.0
    moving: float = 0.0
    """What is expected to have moved since the last reading; negative closing. 0 where there is none."""
    leans: tuple[Lean, ...] = ()
    """What it leans on, where the station's other chords were heeded."""
    new_stage: bool = False
    """A new stage of construction is known to have begun since the last reading."""

    def off(self, value: Decimal) -> float:
        """So far from the expected, in spreads."""
        return float(value - self.value) / self.spread


def expect(
    known: Known,
    station: Station,
    chord: Chord,
    tape: Tape,
    extensometer: Extensometer,
    at: datetime,
    *,
    length: Length | None = None,
    evidence: Evidence = Evidence.NONE,
    followed: Followed | None = None,
) -> Expectation | None:
    """What a reading of the chord at a time should be; None where nothing at all is known of it.

    `length` is the reading that it will be held against: its errors, and what they share with those before, go into
    the spread. Without one, an ordinary reading is taken. `followed` replaces the chord's own track.
    """
    key = (station.name, chord.name)
    track = followed or known.heeding(key, tape.serial, extensometer.serial)
    if track is not None:
        own = off_variance(length, track.last.length)
        plain = _foretold(known, track, station.name, at, own, evidence)
        leaning, leans = heeding(known, key, track, plain, evidence) if evidence.others else (plain, ())
        rests, basis = _words(track)
        stage = _new_stage((*known.events(station.name), *evidence.events), station.name, track.last.time)
        last = float(track.last.length.value)
        readings = track.track.readings
        leaning = _maybe_rough(known, key, leaning, own, readings == 1, evidence)
        return _expectation(leaning, plain, rests, basis, readings, last, leans, stage)
    elsewhere = _with_another_tape(known, key, station, at, length, evidence)
    return elsewhere or _from_the_route(known, station, chord, length)


def _expectation(
    whole: Mixture,
    plain: Mixture,
    rests: Rests,
    basis: str,
    readings: int = 0,
    last: float | None = None,
    leans: tuple[Lean, ...] = (),
    stage: bool = False,
) -> Expectation:
    mean, sd = whole.mean, whole.sd
    alone, alone_sd = plain.mean, plain.sd
    value = Decimal(repr(round(mean, 9)))
    moving = mean - last if last is not None else 0.0
    return Expectation(value, sd, whole, rests, basis, readings, alone, alone_sd, moving, leans, stage)


def _new_stage(events: Iterable[Event], station: str, since: datetime) -> bool:
    """Whatever the time of the reading: where it is before a stage that is known already, one of the two is wrong."""
    return any(e.kind == "stage" and e.station in (None, station) and e.time > since for e in events)


def _words(followed: Followed) -> tuple[Rests, str]:
    n = followed.track.readings
    return ("one reading", "one earlier reading") if n == 1 else ("readings", f"{n} earlier readings")


def _foretold(known: Known, followed: Followed, station: str, at: datetime, own: float, evidence: Evidence) -> Mixture:
    """The track's foretelling in small units; `own` is the variance of the errors of reading.

    After an event two in five are as if nothing had happened, one in five is three times as far as an event mostly
    goes.
    """
    mm = known.mm
    variance = own / (mm * mm)
    time = followed.day(at)
    calm = followed.track.foretell(time, variance)
    events = [event for event in evidence.events if event.station in (None, station)]
    stir = stirred(followed.last.time, at, (*known.events(station), *events))
    if stir is not None:
        more = (9 * stir[0], 9 * stir[1], 9 * stir[2])
        stirring = [(share, followed.track.foretell(time, variance, by)) for share, by in ((0.4, stir), (0.2, more))]
        calm = mixed([(0.4, calm), *stirring])
    return Mixture(tuple((w, followed.origin + mm * m, mm * mm * v) for w, m, v in calm.parts))


def _maybe_rough(known: Known, key: ChordKey, mixture: Mixture, own: float, young: bool, evidence: Evidence) -> Mixture:
    """The same with the tails of ground that may be rough, as far as the station's other chords do not show it."""
    beside = [other for other in evidence.at_station(key[0]) if other.key != key]
    return with_rough(mixture, own, heeded(beside, known.mm, young).roughness if beside else SELDOM)


def _with_another_tape(
    known: Known, key: ChordKey, station: Station, at: datetime, length: Length | None, evidence: Evidence
) -> Expectation | None:
    """From the newest segment with another tape or extensometer, wider by what nobody has compared."""
    live = [segment for segment in known.ground.chord(key).segments if not segment.ended and segment.last()]
    if not live:
        return None
    segment = live[-1]
    followed = known.heeding(key, segment.tape, segment.extensometer)
    if followed is None:
        return None
    plain = _foretold(known, followed, station.name, at, off_variance(length, followed.last.length), evidence)
    wider = plain.moved(0.0, more=(OTHER_TAPE * known.mm) ** 2)
    basis = "lengths taken over"  # they name no extensometer, and mostly no tape
    if segment.extensometer:
        basis = f"readings with tape {segment.tape} and extensometer {segment.extensometer}"
    return _expectation(wider, wider, "another tape", basis)


def _from_the_route(known: Known, station: Station, chord: Chord, length: Length | None) -> Expectation | None:
    per_large = known.route.units.small_per_large
    if chord.length is not None:
        value, step, rests, basis = chord.length, _step(chord.length), "rough length", "the route's rough length"
    else:
        ends = [anchor for anchor in station.anchors if anchor.name in (chord.hook, chord.far)]
        if len(ends) != 2:
            return None
        a, b = ends
        span = hypot(float(a.across - b.across), float(a.up - b.up))
        value = Decimal(repr(round(span, 6)))
        step = max(map(_step, (a.across, a.up, b.across, b.up)))
        rests, basis = "anchors", "the anchors' coordinates"
    rounding = float(step) * per_large / sqrt(12)
    variance = (SET_OUT * known.mm) ** 2 + rounding**2 + off_variance(length, None)
    mixture = Mixture(((1.0, float(value) * per_large, variance),))
    return _expectation(mixture, mixture, rests, basis)  # type: ignore[arg-type]


def _step(value: Decimal) -> Decimal:
    """The last place that a figure of the route is written with."""
    exponent = value.as_tuple().exponent
    return Decimal(1).scaleb(exponent if isinstance(exponent, int) else 0)
