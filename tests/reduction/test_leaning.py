"""Two neighbours heeded together: as the normal equations have it, so that what both say is not counted twice."""

from __future__ import annotations

from datetime import timedelta
from math import sqrt

import numpy as np
import pytest
from reduction.adit import CHORDS, EXTENSOMETER, START, STATIONS, TAPE, figures, length, route

from fieldtui.reduction import ChordGround, Evidence, Ground, Known, Past, Segment, expect
from fieldtui.reduction.evidence import Other
from fieldtui.reduction.following import off_variance
from fieldtui.reduction.leaning import heeding, together
from fieldtui.reduction.mixture import Mixture

AT = START + timedelta(days=15)
STEPS = (0, -3, 2, -4, 1, 5, -2, -6, 3, 0, 4, -3, -1, 6, 2)
OWN = (0, 1, -2, 0, 1, 0, -1, 2, 1, -2, 0, 1, -1, 0, 1)
KEYS = {chord.name: ("B", chord.name) for chord in CHORDS}


def series(base, share, own):
    """A chord read daily: its share of what the station does, and something of its own."""
    path = np.cumsum(share * np.array(STEPS) + own * np.array(OWN))
    pasts = tuple(
        Past(START + timedelta(days=i), length(figures(base + off)), f"survey {i}") for i, off in enumerate(path)
    )
    return ChordGround((Segment("T1", "E1", pasts[:1], pasts),))


KNOWN = Known(
    route(),
    Ground(
        chords={
            KEYS["L-R"]: series(8000.0, 0.9, 0.2),
            KEYS["L-K"]: series(5000.0, 0.6, -0.4),
            KEYS["R-K"]: series(5000.0, 0.5, 0.6),
        }
    ),
)


def followed(name):
    return KNOWN.followed(KEYS[name], "T1", "E1")


def expected(name, others=()):
    chord = next(chord for chord in CHORDS if chord.name == name)
    return expect(KNOWN, STATIONS[1], chord, TAPE, EXTENSOMETER, AT, evidence=Evidence(tuple(others)))


def off(name, spreads):
    """The chord read today, so many spreads off what was expected of it."""
    spread = expected(name).spread
    return Other(KEYS[name], followed(name).last.length, AT, spreads * spread, spread)


def moving(name):
    return max(0.0, 1 - off_variance(None, followed(name).last.length) / expected(name).alone_spread ** 2)


def correlation(one, other):
    return together(followed(one), followed(other), 0.7 * sqrt(moving(one) * moving(other)))[0]


@pytest.mark.parametrize("spreads", [(1.0, 1.2), (0.8, -0.6), (-1.5, 0.0)])
def test_the_value_is_moved_as_by_the_normal_equations(spreads):
    names = ("L-K", "R-K")
    found = expected("L-R", map(off, names, spreads))
    r = np.array([correlation("L-R", name) for name in names])
    c = correlation(*names)
    shares = np.linalg.solve(np.array([[1, c], [c, 1]]), r)
    assert 0.2 < c < 0.9
    assert (float(found.value) - found.alone) / found.alone_spread == pytest.approx(float(shares @ spreads), abs=2e-3)
    leans = {lean.other.key: lean.per_spread for lean in found.leans}
    for name, share in zip(names, shares, strict=True):
        assert leans[KEYS[name]] == pytest.approx(share * found.alone_spread, rel=0.01)


def test_two_neighbours_that_say_the_same_make_it_surer_and_do_not_count_twice():
    one, both = expected("L-R", [off("L-K", 1.0)]), expected("L-R", [off("L-K", 1.0), off("R-K", 1.0)])
    assert both.spread < one.spread < expected("L-R").spread
    shift = float(one.value) - one.alone
    assert shift < float(both.value) - both.alone < 1.6 * shift


def test_where_they_gainsay_each_other_the_value_hardly_moves():
    agreeing, against = (expected("L-R", [off("L-K", 1.0), off("R-K", by)]) for by in (1.0, -1.0))
    assert abs(float(against.value) - against.alone) < 0.5 * (float(agreeing.value) - agreeing.alone)


@pytest.mark.parametrize("spreads", [(0.0, 0.0), (2.0, 2.0), (2.0, -2.0)])
def test_what_is_left_unsure_is_the_interval_of_a_regression(spreads):
    """The farther the neighbours are off, and the less alike, the less do eighteen surveys say of it."""
    names = ("L-K", "R-K")
    others = tuple(map(off, names, spreads))
    plain = Mixture(((1.0, 8000.0, expected("L-R").alone_spread ** 2),))
    found, _ = heeding(KNOWN, KEYS["L-R"], followed("L-R"), plain, Evidence(others))
    c, r = correlation(*names), np.array([correlation("L-R", name) for name in names])
    inverse = np.linalg.inv(np.array([[1, c], [c, 1]]))
    unexplained, far = 1 - r @ inverse @ r, np.array(spreads) @ inverse @ np.array(spreads)
    assert (found.sd / plain.sd) ** 2 == pytest.approx(1.15 * unexplained * (1 + (1 + far) / 18), rel=0.02)
