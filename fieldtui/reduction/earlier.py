"""Explanations that lie in what came before: the earlier reading was the wrong one; figures copied; a wrong date."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from math import exp, pi, sqrt

from fieldtui.reduction import priors as odds
from fieldtui.reduction.expectation import Expectation, Known, expect
from fieldtui.reduction.fit import Booked
from fieldtui.reduction.ground import Past
from fieldtui.reduction.priors import Cause, Priors
from fieldtui.reduction.weighing import Candidate
from fieldtui.route.model import Chord, Station

_ANY = 40.0
"""mm: how far off an earlier reading may have been, whatever it was."""
_WRONG_BY = (timedelta(hours=12), timedelta(days=1), timedelta(days=7), timedelta(days=30))


def earlier_reading(
    read: Booked, known: Known, station: Station, chord: Chord, at: datetime, expected: Expectation, priors: Priors
) -> Iterator[Candidate]:
    """The last reading, or the only one, was the wrong one: today's fits all but that."""
    cause: Cause = "earlier reading"
    base = priors.of(cause) * read.repeats * read.warm
    if expected.rests == "one reading":
        yield from _only_reading(read, base)
    elif expected.rests == "readings":
        yield from _last_reading(read, known, station, chord, at, base)


def _only_reading(read: Booked, base: float) -> Iterator[Candidate]:
    """The one earlier reading had a hole or a dial misread: today's is off by as much the other way."""
    cause: Cause = "earlier reading"
    pitch = float(read.tape.pitch)
    for by, share in odds.HOLE_BY.items():
        fits = read.fits(pitch * by)
        if fits:
            yield Candidate(cause, base * share * fits, f"its hole misread by {abs(by)}", read.length.value)
    for step, share in odds.DIAL_BY[read.units.small].items():
        fits = read.fits(read.length.dial_sign * step)
        if fits:
            yield Candidate(cause, base * 0.4 * share * fits, f"its dial misread by {abs(step):g}", read.length.value)
    wide = (_ANY * read.mm) ** 2
    yield Candidate(cause, base * 0.1 * read.fits(more=wide), "the only earlier reading", read.length.value)


def _last_reading(
    read: Booked, known: Known, station: Station, chord: Chord, at: datetime, base: float
) -> Iterator[Candidate]:
    """Followed without the last: that it was as it was must then be a misreading, and today's must fit."""
    key = (station.name, chord.name)
    without = known.without_last(key, read.tape.serial, read.extensometer.serial)
    track = known.followed(key, read.tape.serial, read.extensometer.serial)
    if without is None or track is None:
        return
    last: Past = track.last
    then = expect(known, station, chord, read.tape, read.extensometer, last.time, length=last.length, followed=without)
    now = expect(known, station, chord, read.tape, read.extensometer, at, length=read.length, followed=without)
    if then is None or now is None:
        return
    last_value = float(last.length.value)
    wide = _ANY * read.mm
    astray = exp(-0.5 * min(((last_value - then.mixture.mean) / wide) ** 2, 1400)) / (wide * sqrt(2 * pi))
    wrong = astray / max(then.mixture.density(last_value), 1e-9)
    yield Candidate(
        "earlier reading", base * wrong * now.mixture.density(read.value), "the last one", read.length.value
    )


def copied(read: Booked, last: Past | None, priors: Priors) -> Iterator[Candidate]:
    """The last survey's figures, to the last digit. By chance that is as rare as the dial's digits are fine."""
    if last is None:
        return
    mine, theirs = read.length.figures, last.length.figures
    if (mine.hole, mine.dials) != (theirs.hole, theirs.dials):
        return
    chance = float(read.extensometer.dial_resolution) ** len(mine.dials)
    warm = 2.0 if mine.temperature == theirs.temperature else read.warm
    weight = priors.of("date") / 2 / chance * warm
    yield Candidate("date", weight, "figures copied from the last survey", None)


def wrong_date(
    read: Booked, known: Known, station: Station, chord: Chord, at: datetime, last: Past | None, priors: Priors
) -> Iterator[Candidate]:
    """Time or date of the reading wrong: the length fits another time. Only where the chord moves enough to show it."""
    shifts = [sign * by for by in _WRONG_BY for sign in (1, -1)]
    for shift in shifts:
        other = at + shift
        if last is not None and other <= last.time:
            continue
        expected = expect(known, station, chord, read.tape, read.extensometer, other, length=read.length)
        if expected is not None and expected.rests == "readings":
            weight = priors.of("date") / 2 / len(shifts) * read.repeats * read.warm
            fits = expected.mixture.density(read.value)
            yield Candidate(
                "date", weight * fits, f"fits {_span(shift)} {'later' if shift > timedelta(0) else 'earlier'}"
            )


def _span(shift: timedelta) -> str:
    hours = abs(shift) / timedelta(hours=1)
    return f"{hours:.0f} hours" if hours < 24 else f"{hours / 24:.0f} day{'s' if hours > 24 else ''}"
