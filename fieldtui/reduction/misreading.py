"""Can the booked figures be right, and if not, what do they look like?

    Length + Expectation + Evidence ── judge ──► Verdict: explanations, likeliest first

Two rules above all. Nothing is ever corrected: a verdict names a length that an explanation implies, and changes none.
And movement is never explained away: `real movement` is always among the explanations, and a reading more than five
standard uncertainties from the expected is never `as booked`. No probability silences a level: levels are judged
elsewhere, from the value as booked.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from math import exp, hypot, sqrt

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.reduction import earlier, elsewhere, moved, undoing
from fieldtui.reduction.evidence import Evidence
from fieldtui.reduction.expectation import Expectation, expect
from fieldtui.reduction.fit import Booked, booked, expected_temperature
from fieldtui.reduction.known import Known
from fieldtui.reduction.length import Length
from fieldtui.reduction.mixture import thinned
from fieldtui.reduction.priors import PRIORS, Cause, Priors
from fieldtui.reduction.question import Question, stirred_since
from fieldtui.reduction.weighing import Candidate, Explanation, weigh
from fieldtui.route.model import Chord, Extensometer, Station, Tape

NEVER_BEYOND = 5.0
"""Standard uncertainties from the expected beyond which a reading is never `as booked`."""
DOUBT_BELOW = 0.95
"""A reading is doubted where it is less likely than this to be sound, though nothing else need be likelier. Reading
again costs a minute, a mistake carried off costs the walk."""
OF_SCATTER: tuple[Cause, ...] = ("seating", "one repeat")
"""What repeats that scatter speak for. They ask for a further repeat, up to five; where the length is what was expected
all the same, that is all they ask."""
HIDDEN, TWICE_MOVING = 5.0, 2.5
"""A hole misread by one may pass for movement where the true spread is the pitch over HIDDEN, or more; or where the
movement expected is the pitch over TWICE_MOVING: a pace off by some tenths would do."""
CHANGED = 2.0
"""A true spread may be so many times what any number of readings shows: the ground changes."""
TIME_IN_DOUBT = 0.05
"""Where `date` is as likely as this, nobody knows how far the chord may have moved since the last reading."""
_SHOWN = 0.0005
"""Explanations of less probability are left out; `as booked` and `real movement` never are."""
_THIN = 0.002


class Verdict(Struct, frozen=True):
    """What the booked figures may be."""

    explanations: tuple[Explanation, ...]
    """Likeliest first, one for each cause; probabilities add up to 1."""
    expectation: Expectation | None
    """None where nothing was known to hold the reading against."""
    off: float | None
    """Booked minus expected, in the expectation's standard uncertainties."""
    hole_twice: bool
    """A hole misread by one could not be told from movement: the hole is to be asked for twice."""
    look_at: str
    """What to look at, in words; empty where the reading agrees."""

    @property
    def agrees(self) -> bool:
        """Whether the likeliest explanation is that the figures are right."""
        return self.explanations[0].cause == "as booked"

    @property
    def doubted(self) -> bool:
        """Whether to read again: also where `as booked` is the likeliest, but not likely enough."""
        return not self.agrees or _sound(self.explanations, self.off) < DOUBT_BELOW

    def probability(self, cause: Cause) -> float:
        """Of one cause; 0 for one that is not in the list."""
        return next((one.probability for one in self.explanations if one.cause == cause), 0.0)


def judge(
    known: Known,
    station: Station,
    chord: Chord,
    length: Length,
    tape: Tape,
    extensometer: Extensometer,
    at: datetime,
    *,
    evidence: Evidence = Evidence.NONE,
    priors: Priors = PRIORS,
) -> Verdict:
    """Weigh every explanation of a booked reading. `at` is its time of reading, UTC.

    Without any expectation (no reading, no rough length, no anchors) nothing can be said of the length: `as booked`,
    and the hole is to be asked for twice.
    """
    expected = expect(known, station, chord, tape, extensometer, at, length=length, evidence=evidence)
    if expected is None:
        return _nothing_known(length)
    followed = known.followed((station.name, chord.name), tape.serial, extensometer.serial)
    event = stirred_since(known, followed, station, at, evidence)
    asked = Question(known, station, chord, at, evidence, priors, expected, followed, event)
    temper = expected_temperature(known.route.units, evidence, known.temperatures_before(followed))
    read = booked(length, tape, extensometer, known.route.units, thinned(expected.mixture, _THIN), temper)
    off = expected.off(length.value)
    candidates = list(_candidates(read, asked, off))
    found = weigh(_said_again(candidates, read, evidence, priors), length.value)
    shown = _listed(found)
    return Verdict(
        explanations=shown,
        expectation=expected,
        off=off,
        hole_twice=ask_twice(expected, float(tape.pitch)) or _time_in_doubt(shown),
        look_at=_look_at(shown, off, expected, known),
    )


def _candidates(read: Booked, asked: Question, off: float) -> Iterator[Candidate]:
    priors = asked.priors
    right = priors.of("as booked") * read.as_read() * read.warm
    if abs(off) > NEVER_BEYOND:
        yield Candidate("real movement", right, "", read.length.value)
        right = 0.0
    yield Candidate("as booked", right, "", read.length.value)
    beside = moved.beside(read, asked)
    yield from moved.movement(read, asked, beside)
    yield from moved.anchor(read, asked, beside)
    yield from moved.seating(read, priors)
    yield from moved.zero(read, asked)
    yield from undoing.holes(read, priors)
    yield from undoing.dials(read, priors)
    yield from undoing.repeats(read, priors)
    yield from undoing.temperatures(read, priors)
    yield from earlier.copied(read, asked)
    if abs(off) > _OFF:
        yield from elsewhere.other_chord(read, asked)
        yield from elsewhere.other_station(read, asked)
        yield from elsewhere.other_tape(read, asked)
        yield from earlier.wrong_date(read, asked)
    if abs(off) > _OFF or asked.expected.rests == "one reading":
        yield from earlier.earlier_reading(read, asked)


_OFF = 2.0
"""Nearer to the expected than this the figures fit where they were booked, and nothing is looked for elsewhere."""


def _said_again(candidates: list[Candidate], read: Booked, evidence: Evidence, priors: Priors) -> list[Candidate]:
    """A second booking that says the same makes mistakes of the moment unlikely: they would have been made twice."""
    if not any(_same(read.length, other) for other in evidence.again):
        return candidates
    return [replace(one, weight=one.weight * priors.same_again.get(one.cause, 1.0)) for one in candidates]


def _same(one: Length, other: Length) -> bool:
    """Whether two bookings of one survey say the same: within five of their standard uncertainties, u(change)."""
    return abs(float(one.value - other.value)) <= NEVER_BEYOND * hypot(one.u, other.u)


def _listed(found: tuple[Explanation, ...]) -> tuple[Explanation, ...]:
    always = ("as booked", "real movement")
    kept = [one for one in found if one.probability >= _SHOWN or one.cause in always]
    total = sum(one.probability for one in kept)
    return tuple(replace(one, probability=one.probability / total) for one in kept)


def ask_twice(expected: Expectation, pitch: float) -> bool:
    """Whether a hole misread by one might not be told from movement. `pitch` in small units.

    Judged by the chord's own readings, as they are before the figures are booked: what the station's others say is
    not asked. After a new stage, or on one earlier reading, nobody knows the spread.
    """
    unknown = expected.rests != "readings" or expected.new_stage
    wide = expected.alone_spread * _may_be_wider(expected.readings) * HIDDEN >= pitch
    moving = expected.moving + expected.alone - float(expected.value)
    return unknown or wide or abs(moving) * TWICE_MOVING >= pitch


def _time_in_doubt(shown: tuple[Explanation, ...]) -> bool:
    return any(one.cause == "date" and one.probability >= TIME_IN_DOUBT for one in shown)


def _may_be_wider(readings: int) -> float:
    """How many times the spread estimated from so many readings the true one may be, twice its standard error off.

    The logarithm of a standard deviation from v deviations has the standard error 1 / sqrt(2 v) (any textbook, for
    normal deviations). An interval between readings counts for half a deviation: no two are alike, and what they have
    shown is slowly forgotten.
    """
    deviations = max(readings - 1, 1) / 2
    return CHANGED * exp(2 / sqrt(2 * deviations))


def _nothing_known(length: Length) -> Verdict:
    sure = (
        Explanation("as booked", "nothing to hold it against", 1.0, length.value),
        Explanation("real movement", "", 0.0, length.value),
    )
    return Verdict(sure, None, None, True, "")


def _sound(shown: tuple[Explanation, ...], off: float | None) -> float:
    """How likely the length need not be read again: the figures are right, or only their scatter is odd."""
    within = off is not None and abs(off) <= _OFF
    return sum(one.probability for one in shown if one.cause == "as booked" or (within and one.cause in OF_SCATTER))


_LOOK: dict[Cause, str] = {
    "real movement": "read again: a second reading that says the same is movement",
    "hole": "read the hole again",
    "dial": "read the dial again",
    "one repeat": "read that repeat again",
    "temperature": "read the thermometer again",
    "other chord": "look which anchors the tape is on",
    "other station": "look at the station's number",
    "tape": "look at the tape's serial",
    "zero": "check the zero of the dial",
    "anchor": "look at the anchor",
    "seating": "look along the tape and at the hook, tension again",
    "date": "look at the date and at the figures of the last survey",
    "earlier reading": "read again, and look up the earlier booking",
}


def _look_at(shown: tuple[Explanation, ...], off: float, expected: Expectation, known: Known) -> str:
    """What to look at. The length that it implies is told as a distance from the expected, never as a dial figure."""
    first = shown[0]
    if first.cause == "as booked":
        if _sound(shown, off) >= DOUBT_BELOW:
            return ""
        first = shown[1]
    words = _LOOK[first.cause]
    if first.cause in ("real movement", "date"):
        return words
    words = f"{words}: {first.detail}" if first.detail else words
    if first.cause in ("hole", "dial", "one repeat", "temperature", "tape", "zero") and first.length is not None:
        left = float(first.length - expected.value)
        places = known.route.units.decimals - 1
        words += f" would leave {round(left, places) + 0.0:+.{places}f} {known.route.units.small}"
    return words
