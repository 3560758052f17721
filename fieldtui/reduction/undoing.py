"""Figures misread at the chord, undone: the hole, the dial, one repeat, the temperature.

Each way a figure can have been misread gives what it truly was, the length that this implies, and how well that fits.
What it was must be possible as a reading: the hole on the tape, the dial within its range, the repeats agreeing.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal, localcontext
from math import exp, isclose, pi, sqrt

from fieldtui.reduction import priors as odds
from fieldtui.reduction.exact import EXACT, median
from fieldtui.reduction.fit import Booked, repeated
from fieldtui.reduction.priors import Cause, Priors
from fieldtui.reduction.weighing import Candidate
from fieldtui.route.units import Units


def holes(read: Booked, priors: Priors) -> Iterator[Candidate]:
    """The pin was in another hole than the one booked."""
    cause: Cause = "hole"
    hole, tape = read.length.figures.hole, read.tape
    nearest = 0.9 * float(tape.pitch)
    if read.low > read.value - nearest and read.high < read.value + nearest:
        return  # no other hole leads to anything that can be expected
    base = priors.of(cause) * read.repeats * read.warm
    here = float(read.length.hole_distance)
    for true, share in _other_holes(hole, len(str(tape.last_hole))).items():
        if not tape.has_hole(true):
            continue
        fits = read.fits(float(tape.hole_distance(true)) - here)
        if fits:
            with localcontext(EXACT):
                implied = read.length.value + tape.hole_distance(true) - read.length.hole_distance
            yield Candidate(cause, base * share * fits, f"hole {true} instead of {hole}", implied)


def _other_holes(hole: int, places: int) -> dict[int, float]:
    """What the hole may have been, with the share of each. A first figure that was dropped is one digit wrong."""
    found: dict[int, float] = {}
    for by, share in odds.HOLE_BY.items():
        found[hole - by] = share
    digits = str(hole).zfill(places)
    swaps = [_swapped(digits, i) for i in range(len(digits) - 1) if digits[i] != digits[i + 1]]
    for other in swaps:
        found[int(other)] = found.get(int(other), 0.0) + odds.HOLE_SWAPPED / len(swaps)
    for place in range(len(digits)):
        for digit in "0123456789":
            other = digits[:place] + digit + digits[place + 1 :]
            if digit != digits[place]:
                found[int(other)] = found.get(int(other), 0.0) + odds.HOLE_DIGIT / (9 * len(digits))
    return found


def dials(read: Booked, priors: Priors) -> Iterator[Candidate]:
    """The dial was misread, or its digits swapped, in the same way in all repeats."""
    cause: Cause = "dial"
    base = priors.of(cause) * read.warm
    small, shown = read.units.small, read.length.figures.dials
    for by, share in odds.DIAL_BY[small].items():
        if not read.reaches(-by * read.length.dial_sign):
            continue
        true = [dial - by for dial in read.dials]
        words = f"dial {abs(by):g} {small} {'less' if by > 0 else 'more'}"
        yield from _as_if(read, cause, base * share * read.repeats, true, words)
    for place, share in _swaps(str(shown[0])):
        texts = [_swapped_figure(str(dial), place) for dial in shown]
        if None not in texts:
            true = [float(text) for text in texts if text is not None]
            yield from _as_if(read, cause, base * share * read.scatter(true), true, f"dial {texts[0]}, digits swapped")
    for factor, share, words in _scales(read.units):
        if not read.reaches(read.length.dial_sign * (factor - 1) * float(read.length.dial)):
            continue
        true = [dial * factor for dial in read.dials]
        weight = base * share * factor ** len(true) * read.scatter(true)
        yield from _as_if(read, cause, weight, true, words)


_MARKED = {"millimetres": 1.0, "inches": 25.4}
"""What dials are marked in, each in millimetres. The inch is exact: NIST Handbook 44, appendix C."""


def _scales(units: Units) -> Iterator[tuple[float, float, str]]:
    """True figure over booked figure, with the share and the words of it."""
    for factor, share in ((0.1, 0.4), (10.0, 0.4), (0.01, 0.1), (100.0, 0.1)):
        yield factor, share * odds.DIAL_POINT, "decimal point of the dial misplaced"
    others = {marked: mm * units.millimetre for marked, mm in _MARKED.items()}
    others = {marked: factor for marked, factor in others.items() if not isclose(factor, 1)}
    for marked, factor in others.items():
        yield factor, odds.DIAL_UNIT / len(others), f"dial in {marked}"


def _as_if(read: Booked, cause: Cause, weight: float, true: list[float], words: str) -> Iterator[Candidate]:
    """A candidate, if the dial could show those figures and the length then fits."""
    middle = median(true) if read.length.repeats.centre == "median" else sum(true) / len(true)
    shift = read.length.dial_sign * (middle - float(read.length.dial))
    if not read.reaches(shift) or not read.can_show(true):
        return
    weight *= read.fits(shift)
    if weight > read.least:
        yield Candidate(cause, weight, words, shift=shift)


def _swaps(shown: str) -> list[tuple[int, float]]:
    """Places at which a figure's digit and the next digit differ, with the share of each."""
    digits = shown.replace(".", "").replace("-", "")
    places = [i for i in range(len(digits) - 1) if digits[i] != digits[i + 1]]
    return [(place, odds.DIAL_SWAPPED / len(places)) for place in places]


def _swapped_figure(shown: str, place: int) -> str | None:
    """A figure with two neighbouring digits swapped, its point and sign where they were."""
    at = [i for i, sign in enumerate(shown) if sign.isdigit()]
    if place + 1 >= len(at):
        return None
    signs = list(shown)
    signs[at[place]], signs[at[place + 1]] = signs[at[place + 1]], signs[at[place]]
    return "".join(signs)


def _swapped(digits: str, place: int) -> str:
    return digits[:place] + digits[place + 1] + digits[place] + digits[place + 2 :]


_ORDINAL = ("first", "second", "third", "fourth", "fifth")


def repeats(read: Booked, priors: Priors) -> Iterator[Candidate]:
    """One repeat was misread: the others make the length, and it stands apart by anything."""
    cause: Cause = "one repeat"
    shown = read.dials
    s_r = float(read.extensometer.repeatability)
    if len(shown) < 3 or max(shown) - min(shown) < s_r:
        return  # none stands apart
    base = priors.of(cause) * read.warm / len(shown)
    for i, odd in enumerate(shown):
        others = [*shown[:i], *shown[i + 1 :]]
        middle = sum(others) / len(others)
        shift = read.length.dial_sign * (middle - float(read.length.dial))
        if not read.reaches(shift) or not read.can_show(others):
            continue
        fits = read.fits(shift)
        weight = base * repeated(others, s_r) * _astray(odd - middle, s_r, read) * fits
        if weight > read.least:
            words = f"the {_ORDINAL[i]} repeat, {read.length.figures.dials[i]}"
            yield Candidate(cause, weight, words, shift=shift)


def _astray(off: float, s_r: float, read: Booked) -> float:
    """Density of how far a misread repeat stands from the others."""
    steps = odds.DIAL_BY[read.units.small]
    near = s_r * sqrt(1.5)
    total = 0.0
    for by in steps:
        z2 = ((off - by) / near) ** 2
        if z2 < 80:
            total += exp(-0.5 * z2) / (near * len(steps))
    wide = odds.REPEAT_SPREAD * read.mm
    anything = exp(-0.5 * (off / wide) ** 2) / wide
    return (odds.REPEAT_BY_STEP * total + (1 - odds.REPEAT_BY_STEP) * anything) / sqrt(2 * pi)


def temperatures(read: Booked, priors: Priors) -> Iterator[Candidate]:
    """The temperature was misread: the other unit, a figure dropped, ten degrees, digits swapped, sign; or a dial's."""
    cause: Cause = "temperature"
    base = priors.of(cause) * read.repeats
    shown = read.length.figures.temperature
    low, high = read.units.temperature_range
    per_degree = float(read.tape.expansion * read.length.raw)
    for true, share, words in _other_temperatures(shown, read.units.degree):
        if not low <= true <= high:
            continue
        shift = per_degree * (true - float(shown))
        if not read.reaches(shift):
            continue
        weight = base * share * read.temper.density(true) * read.fits(shift)
        if weight > read.least:
            yield Candidate(cause, weight, f"{words}: {true:.1f} instead of {shown}", shift=shift)
    yield from _dial_in_its_place(read, cause, base, per_degree)


def _dial_in_its_place(read: Booked, cause: Cause, base: float, per_degree: float) -> Iterator[Candidate]:
    """A dial's figure stands as the temperature, which then was about that of the survey's others.

    By chance a temperature is the same as a figure of the dial as seldom as the dial's resolution is fine.
    """
    figures = read.length.figures
    alike = figures.dials.count(figures.temperature)
    if not alike:
        return
    seldom = alike / len(figures.dials) / float(read.extensometer.dial_resolution)
    shift = per_degree * (read.temper.middle - float(figures.temperature))
    fits = read.fits(shift, (per_degree * read.temper.spread) ** 2)
    words = f"a figure of the dial, {figures.temperature}"
    yield Candidate(cause, base * odds.TEMPERATURE_DIAL * seldom * fits, words, shift=shift)


def _other_temperatures(shown: Decimal, degree: str) -> Iterator[tuple[float, float, str]]:
    t = float(shown)
    if degree == "degC":
        yield (t - 32) / 1.8, odds.TEMPERATURE_UNIT, "booked in degF"
    else:
        yield t * 1.8 + 32, odds.TEMPERATURE_UNIT, "booked in degC"
    if abs(t) < 10 and shown == shown.to_integral_value():
        for digit in range(1, 10):
            each = odds.TEMPERATURE_DROPPED / 18
            yield 10 * t + digit if t >= 0 else 10 * t - digit, each, "a figure dropped"
            yield digit * 10 + abs(t), each, "a figure dropped"
    for by in (10.0, -10.0):
        yield t + by, odds.TEMPERATURE_TEN / 2, "ten degrees off"
    text = str(shown).lstrip("-")
    if len(text) > 1 and text[:2].isdigit() and text[0] != text[1]:
        whole = float(text[1] + text[0] + text[2:])
        yield whole if t >= 0 else -whole, odds.TEMPERATURE_SWAPPED, "digits swapped"
    if t:
        yield -t, odds.TEMPERATURE_SIGN, "the sign"
