"""Explanations in which another thing was read than the one booked: another chord, another station, another tape.

The figures then fit what was expected there. Whether a neighbour's readings of this survey fit there as well says
most: whoever stands at the wrong station reads all its chords.
"""

from __future__ import annotations

from collections.abc import Iterator

from fieldtui.reduction.beside import clean, shared_by, unshared
from fieldtui.reduction.evidence import Other
from fieldtui.reduction.expectation import OTHER_TAPE, Expectation, expect
from fieldtui.reduction.fit import Booked
from fieldtui.reduction.length import Length
from fieldtui.reduction.priors import Cause
from fieldtui.reduction.question import Question
from fieldtui.reduction.weighing import Candidate
from fieldtui.route.model import Chord, Station, Tape

_NEAR = 80.0
"""mm: a value farther from another chord's last length is not its length; that saves the work."""
_LEAST = 1e-5
"""A density, for 1 mm, that nothing falls below."""
_NO_TRACE = 0.05
"""mm: nearer alike than this two tapes cannot be told apart."""
_LATELY = 6
"""So many of the chords read before are heard."""
_TELLING = 1e30
"""However many other chords speak for something, they count no more than this."""


def other_chord(read: Booked, asked: Question) -> Iterator[Candidate]:
    """Another chord of the station was read."""
    cause: Cause = "other chord"
    others = [one for one in asked.station.chords if one.name != asked.chord.name]
    for other in others:
        expected = _expected_near(read, asked, asked.station, other)
        if expected is not None:
            fits = expected.mixture.density(read.value)
            base = asked.priors.of(cause) * read.repeats * read.warm / len(others)
            yield Candidate(cause, base * fits, f"fits {other.name}", read.length.value)


def other_station(read: Booked, asked: Question) -> Iterator[Candidate]:
    """The neighbouring station was read: the chord of the same name there."""
    cause: Cause = "other station"
    stations = asked.known.route.stations
    here = next((i for i, one in enumerate(stations) if one.name == asked.station.name), 0)
    beside = [stations[i] for i in (here - 1, here + 1) if 0 <= i < len(stations)]
    for neighbour in beside:
        there = neighbour.chord(asked.chord.name)
        expected = _expected_near(read, asked, neighbour, there) if there is not None else None
        if expected is None or there is None:
            continue
        base = asked.priors.of(cause) * read.repeats * read.warm / len(beside)
        fits = expected.mixture.density(read.value)
        if fits * read.mm < _LEAST:
            continue  # whatever the others say: it is not the length of that chord
        weight = base * fits
        for other in asked.evidence.at_station(asked.station.name):
            weight *= _as_if_at(neighbour, other, read, asked)
        yield Candidate(cause, weight, f"fits {there.name} of {neighbour.name}", read.length.value)


def _as_if_at(neighbour: Station, other: Other, read: Booked, asked: Question) -> float:
    """How much better another reading of this survey fits at the neighbouring station than where it was booked."""
    chord = neighbour.chord(other.key[1])
    if chord is None:
        return 1.0
    expected = expect(asked.known, neighbour, chord, read.tape, read.extensometer, asked.at, length=other.length)
    if expected is None:
        return 1.0
    there, here = expected.mixture.density(float(other.length.value)), clean(other, read.mm)
    # a reading may be off for reasons of its own: one that fits neither says little
    return (there + _LEAST / read.mm) / (here + _LEAST / read.mm)


def _expected_near(read: Booked, asked: Question, station: Station, chord: Chord) -> Expectation | None:
    """What is expected of another chord, if the reading is anywhere near its last length."""
    followed = asked.known.followed((station.name, chord.name), read.tape.serial, read.extensometer.serial)
    if followed is None or abs(float(followed.last.length.value) - read.value) > _NEAR * read.mm:
        return None
    return expect(asked.known, station, chord, read.tape, read.extensometer, asked.at, length=read.length)


def other_tape(read: Booked, asked: Question) -> Iterator[Candidate]:
    """Another tape of the route was in use: constant and share of length are those between the two tapes."""
    cause: Cause = "tape"
    tapes = [tape for tape in asked.known.route.tapes if tape.serial != read.tape.serial]
    for tape in tapes:
        shift = longer(read.length, tape)
        if shift is None or abs(shift) < _NO_TRACE * read.mm:
            continue
        lately = [other for other in asked.evidence.others[-_LATELY:] if other.length.tape == read.tape.serial]
        told = [(other, -by) for other in lately if (by := longer(other.length, tape)) is not None]
        speaks = shared_by(told, read.mm) / unshared([other for other, _ in told], read.mm, asked.unsure)
        base = asked.priors.of(cause) * read.repeats * read.warm / len(tapes)
        weight = base * _fits_with(tape, shift, asked.less(told), read, asked) * min(speaks, _TELLING)
        yield Candidate(cause, weight, f"tape {tape.serial} instead of {read.tape.serial}", shift=shift)


def _fits_with(tape: Tape, shift: float, less: float, read: Booked, asked: Question) -> float:
    """Density of the length, had the other tape been used: against its own readings, where there are any."""
    if asked.known.followed(asked.key, tape.serial, read.extensometer.serial) is None:
        return read.fits(shift + less, (OTHER_TAPE / 4 * read.mm) ** 2)
    known, at = asked.known, asked.at
    own = expect(known, asked.station, asked.chord, tape, read.extensometer, at, length=read.length)
    return own.mixture.density(read.value + shift) if own is not None else 0.0


def longer(length: Length, tape: Tape) -> float | None:
    """What a length would be longer by, had this tape been used; small units. None where it has no such hole."""
    hole = length.figures.hole
    if not tape.has_hole(hole):
        return None
    raw = float(tape.hole_distance(hole)) + length.dial_sign * float(length.dial)
    warm = raw * float(tape.expansion) * float(length.figures.temperature - tape.reference_temperature)
    return raw + warm - float(length.raw) - float(length.temperature_correction)
