"""Explanations in which another thing was read than the one booked: another chord, another station, another tape.

The figures then fit what was expected there. Whether a neighbour's readings of this survey fit there as well says
most: whoever stands at the wrong station reads all its chords.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from math import exp, pi, sqrt

from fieldtui.reduction.evidence import Evidence, Other
from fieldtui.reduction.expectation import OTHER_TAPE, Expectation, Known, expect
from fieldtui.reduction.fit import Booked
from fieldtui.reduction.moved import shared_by, unshared
from fieldtui.reduction.priors import Cause, Priors
from fieldtui.reduction.weighing import Candidate
from fieldtui.route.model import Chord, Station, Tape

_NEAR = 80.0
"""mm: a value farther from another chord's last length is not its length; that saves the work."""


_TELLING = 1e6
"""However many other chords speak for something, they count no more than this."""


def other_chord(
    read: Booked, known: Known, station: Station, chord: Chord, at: datetime, priors: Priors
) -> Iterator[Candidate]:
    """Another chord of the station was read."""
    cause: Cause = "other chord"
    others = [one for one in station.chords if one.name != chord.name]
    for other in others:
        expected = _expected_near(read, known, station, other, at)
        if expected is not None:
            fits = expected.mixture.density(read.value)
            base = priors.of(cause) * read.repeats * read.warm / len(others)
            yield Candidate(cause, base * fits, f"fits {other.name}", read.length.value)


def other_station(
    read: Booked, known: Known, station: Station, chord: Chord, at: datetime, evidence: Evidence, priors: Priors
) -> Iterator[Candidate]:
    """The neighbouring station was read: the chord of the same name there."""
    cause: Cause = "other station"
    names = [one.name for one in known.route.stations]
    here = names.index(station.name) if station.name in names else 0
    beside = [known.route.stations[i] for i in (here - 1, here + 1) if 0 <= i < len(names)]
    for neighbour in beside:
        there = neighbour.chord(chord.name)
        expected = _expected_near(read, known, neighbour, there, at) if there is not None else None
        if expected is None or there is None:
            continue
        weight = priors.of(cause) * read.repeats * read.warm / len(beside) * expected.mixture.density(read.value)
        for other in evidence.at_station(station.name):
            weight *= _as_if_at(neighbour, other, read, known, at)
        yield Candidate(cause, weight, f"fits {there.name} of {neighbour.name}", read.length.value)


def _as_if_at(neighbour: Station, other: Other, read: Booked, known: Known, at: datetime) -> float:
    """How much better another reading of this survey fits at the neighbouring station than where it was booked."""
    chord = neighbour.chord(other.key[1])
    if chord is None:
        return 1.0
    expected = expect(known, neighbour, chord, read.tape, read.extensometer, at, length=other.length)
    if expected is None:
        return 1.0
    there = expected.mixture.density(float(other.length.value))
    # a reading may be off for reasons of its own: one that fits neither says little
    return (there + 1e-5) / (_density_of(other) + 1e-5)


def _density_of(other: Other) -> float:
    return exp(-0.5 * min(other.z**2, 1400)) / (other.spread * sqrt(2 * pi))


def _expected_near(read: Booked, known: Known, station: Station, chord: Chord, at: datetime) -> Expectation | None:
    """What is expected of another chord, if the reading is anywhere near its last length."""
    followed = known.followed((station.name, chord.name), read.tape.serial, read.extensometer.serial)
    if followed is None or abs(float(followed.last.length.value) - read.value) > _NEAR * read.mm:
        return None
    return expect(known, station, chord, read.tape, read.extensometer, at, length=read.length)


def other_tape(
    read: Booked,
    known: Known,
    station: Station,
    chord: Chord,
    at: datetime,
    evidence: Evidence,
    priors: Priors,
    event: bool,
) -> Iterator[Candidate]:
    """Another tape of the route was in use: constant and share of length are those between the two tapes."""
    cause: Cause = "tape"
    tapes = [tape for tape in known.route.tapes if tape.serial != read.tape.serial]
    for tape in tapes:
        shift = between(read.tape, tape, read)
        if shift is None or abs(shift) < 0.05 * read.mm:
            continue
        followed = known.followed((station.name, chord.name), tape.serial, read.extensometer.serial)
        if followed is not None:
            own = expect(known, station, chord, tape, read.extensometer, at, length=read.length)
            fits = own.mixture.density(read.value + shift) if own else 0.0
        else:
            fits = read.fits(shift, (OTHER_TAPE / 4 * read.mm) ** 2)
        lately = evidence.others[-6:]
        differences = [(other, _between_for(read.tape, tape, other)) for other in lately]
        told = [(other, -by) for other, by in differences if by is not None]
        speaks = shared_by(told, read.mm) / unshared([other for other, _ in told], read.mm, event)
        weight = priors.of(cause) * read.repeats * read.warm / len(tapes) * fits * min(speaks, _TELLING)
        yield Candidate(cause, weight, f"tape {tape.serial} instead of {read.tape.serial}", read.shifted(shift))


def between(tape: Tape, other: Tape, read: Booked) -> float | None:
    """What the length would be longer by, had the other tape been used; small units. None without such a hole."""
    return _longer(tape, other, read.length.figures.hole, read.length.dial_sign * float(read.length.dial), read)


def _longer(tape: Tape, other: Tape, hole: int, dial: float, read: Booked) -> float | None:
    if not other.has_hole(hole) or not tape.has_hole(hole):
        return None
    t = float(read.length.figures.temperature)
    here, there = float(tape.hole_distance(hole)) + dial, float(other.hole_distance(hole)) + dial
    warm = there * float(other.expansion) * (t - float(other.reference_temperature))
    return there - here + warm - here * float(tape.expansion) * (t - float(tape.reference_temperature))


def _between_for(tape: Tape, other: Tape, reading: Other) -> float | None:
    length = reading.length
    hole = length.figures.hole
    if length.tape != tape.serial or not other.has_hole(hole):
        return None
    raw = float(other.hole_distance(hole)) + length.dial_sign * float(length.dial)
    t = float(length.figures.temperature)
    warm = raw * float(other.expansion) * (t - float(other.reference_temperature))
    return raw + warm - float(length.raw) - float(length.temperature_correction)
