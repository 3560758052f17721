"""Explanations that lie in what came before: the earlier reading was the wrong one; figures copied; a wrong date."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from math import exp, pi, sqrt

from fieldtui.reduction import priors as odds
from fieldtui.reduction.expectation import expect
from fieldtui.reduction.fit import Booked
from fieldtui.reduction.priors import Cause
from fieldtui.reduction.question import Question
from fieldtui.reduction.weighing import Candidate

_ANY = 40.0
"""mm: how far off an earlier reading may have been, whatever it was."""
_SHOWN_FROM = 4.0
"""A wrong time can leave what the chord moves in it, at so many times the pace expected today."""
_WRONG_BY = tuple(sign * timedelta(days=by) for by in (0.5, 1.0, 7.0, 30.0) for sign in (1, -1))


def earlier_reading(read: Booked, asked: Question) -> Iterator[Candidate]:
    """The last reading, or the only one, was the wrong one: today's fits all but that."""
    base = asked.priors.of("earlier reading") * read.repeats * read.warm
    if asked.expected.rests == "one reading":
        yield from _only_reading(read, base)
    elif asked.expected.rests == "readings":
        yield from _last_reading(read, asked, base)


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


def _last_reading(read: Booked, asked: Question, base: float) -> Iterator[Candidate]:
    """Followed without the last: that it was as it was must then be a misreading, and today's must fit."""
    known, tape, extensometer, last = asked.known, read.tape, read.extensometer, asked.last
    without = known.without_last(asked.key, tape.serial, extensometer.serial)
    if without is None or last is None:
        return
    where = (known, asked.station, asked.chord, tape, extensometer)
    then = expect(*where, last.time, length=last.length, followed=without)
    now = expect(*where, asked.at, length=read.length, followed=without)
    if then is None or now is None:
        return
    last_value = float(last.length.value)
    wide = _ANY * read.mm
    astray = exp(-0.5 * min(((last_value - then.mixture.mean) / wide) ** 2, 1400)) / (wide * sqrt(2 * pi))
    wrong = astray / max(then.mixture.density(last_value), 1e-9)
    weight = base * wrong * now.mixture.density(read.value)
    yield Candidate("earlier reading", weight, "the last one", read.length.value)


def copied(read: Booked, asked: Question) -> Iterator[Candidate]:
    """The last survey's figures, to the last digit. By chance that is as rare as the dial's digits are fine."""
    if asked.last is None:
        return
    mine, theirs = read.length.figures, asked.last.length.figures
    if (mine.hole, mine.dials) != (theirs.hole, theirs.dials):
        return
    chance = float(read.extensometer.dial_resolution) ** len(mine.dials)
    warm = 2.0 if mine.temperature == theirs.temperature else read.warm
    weight = asked.priors.of("date") / 2 / chance * warm
    yield Candidate("date", weight, "figures copied from the last survey", None)


def wrong_date(read: Booked, asked: Question) -> Iterator[Candidate]:
    """Time or date of the reading wrong: the length fits another time. Only where the chord moves enough to show it."""
    if asked.expected.rests != "readings":
        return
    weight = asked.priors.of("date") / 2 / len(_WRONG_BY) * read.repeats * read.warm
    if asked.last is None or asked.at <= asked.last.time:
        return
    pace = abs(asked.expected.moving) / (asked.at - asked.last.time).total_seconds()
    off = abs(float(read.length.value - asked.expected.value))
    for shift in _WRONG_BY:
        other = asked.at + shift
        if other <= asked.last.time or _SHOWN_FROM * pace * abs(shift.total_seconds()) < off:
            continue
        where = (asked.known, asked.station, asked.chord, read.tape, read.extensometer)
        expected = expect(*where, other, length=read.length)
        if expected is not None:
            words = f"fits {_span(shift)} {'later' if shift > timedelta(0) else 'earlier'}"
            yield Candidate("date", weight * expected.mixture.density(read.value), words)


def _span(shift: timedelta) -> str:
    hours = abs(shift) / timedelta(hours=1)
    return f"{hours:.0f} hours" if hours < 24 else f"{hours / 24:.0f} day{'s' if hours > 24 else ''}"
