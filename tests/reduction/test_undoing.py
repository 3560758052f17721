"""Figures misread at the chord and undone: what each may have been, and with which share of the odds."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from math import exp, pi, sqrt

import pytest
from msgspec.structs import replace
from reduction.adit import EXTENSOMETER, OTHER_TAPE, TAPE, UNCERTAINTY, WARM, length

from fieldtui.reduction import Figures, Priors, reduce, undoing
from fieldtui.reduction import priors as odds
from fieldtui.reduction.fit import Temper, booked
from fieldtui.reduction.mixture import Mixture
from fieldtui.route.units import METRIC, US

ONE = Priors(dict.fromkeys(odds.ODDS, 1.0))
"""Every cause alike: what is left are the shares of its ways."""
ANYTHING = 1e5
"""mm: expected so widely that every length fits as well as any other."""
DIALS = (Decimal("24.57"), Decimal("24.52"), Decimal("24.53"))
FIGURES = Figures(319, DIALS, WARM)


def read(figures=FIGURES, spread=ANYTHING, tape=TAPE, extensometer=EXTENSOMETER, units=METRIC, temper=None, off=0.0):
    """Booked figures against what was expected: `off` less than booked, so far or nearer."""
    one = reduce(figures, tape, extensometer, UNCERTAINTY, reading="undone")
    mixture = Mixture(((1.0, float(one.value) - off, spread**2),))
    return booked(one, tape, extensometer, units, mixture, temper or Temper(12.0, 1e4))


def shares(candidates, of):
    """Each way's share of all that the figures fit, by its words."""
    found = defaultdict(float)
    for one in candidates:
        found[one.detail] += one.weight / of
    return found


def as_booked(one):
    return one.fits() * one.repeats * one.warm


def test_the_ways_of_a_hole_share_its_odds():
    one = read()
    found = shares(undoing.holes(one, ONE), as_booked(one))
    digit = odds.HOLE_DIGIT / 27
    beyond = 4 * digit  # 619 to 919: the tape ends before
    assert sum(found.values()) == pytest.approx(1 - beyond, rel=3e-3)
    assert found["hole 318 instead of 319"] == pytest.approx(odds.HOLE_BY[1] + digit, rel=3e-3)
    assert found["hole 320 instead of 319"] == pytest.approx(odds.HOLE_BY[-1], rel=3e-3)
    assert found["hole 317 instead of 319"] == pytest.approx(odds.HOLE_BY[2] + digit, rel=3e-3)
    assert found["hole 391 instead of 319"] == pytest.approx(odds.HOLE_SWAPPED / 2, rel=3e-3)
    assert found["hole 139 instead of 319"] == pytest.approx(odds.HOLE_SWAPPED / 2, rel=3e-3)
    assert found["hole 19 instead of 319"] == pytest.approx(digit, rel=3e-3)
    assert "hole 919 instead of 319" not in found


def test_like_digits_of_a_hole_cannot_be_swapped():
    one = read(replace(FIGURES, hole=338))
    found = shares(undoing.holes(one, ONE), as_booked(one))
    assert found["hole 383 instead of 338"] == pytest.approx(odds.HOLE_SWAPPED, rel=3e-3)


def test_no_hole_is_looked_for_where_none_can_fit():
    assert not list(undoing.holes(read(spread=2.0), ONE))  # nine spreads are less than nine tenths of the pitch
    assert list(undoing.holes(read(spread=2.0, off=5.0), ONE)) == list(undoing.holes(read(spread=2.0, off=-5.0), ONE))
    (back,) = undoing.holes(read(spread=0.3, off=25.0), ONE)
    assert back.detail == "hole 318 instead of 319"
    assert float(back.length) == pytest.approx(float(length(replace(FIGURES, hole=318)).value), abs=0.01)
    (forth,) = undoing.holes(read(spread=0.3, off=-25.0), ONE)
    assert forth.detail == "hole 320 instead of 319"


def test_the_ways_of_a_dial_share_its_odds():
    one = read()
    found = shares(undoing.dials(one, ONE), as_booked(one))
    for by, share in odds.DIAL_BY["mm"].items():
        words = f"dial {abs(by):g} mm {'less' if by > 0 else 'more'}"
        assert found[words] == pytest.approx(share, rel=3e-3)


def test_the_dial_misread_by_so_much_was_so_much_less():
    one = read(off=5.0, spread=0.3)
    best = max(undoing.dials(one, ONE), key=lambda way: way.weight)
    assert best.detail == "dial 5 mm less"
    assert best.shift == pytest.approx(-5, abs=0.01)
    turned = read(off=-5.0, spread=0.3, extensometer=replace(EXTENSOMETER, dial="subtracts"))
    assert max(undoing.dials(turned, ONE), key=lambda way: way.weight).detail == "dial 5 mm less"


def test_digits_of_the_dial_are_swapped_in_all_repeats_or_in_none():
    one = read(replace(FIGURES, dials=(Decimal("24.57"), Decimal("24.58"), Decimal("24.59"))))
    found = shares(undoing.dials(one, ONE), as_booked(one))
    scattered = one.scatter([42.57, 42.58, 42.59]) / one.repeats
    assert found["dial 42.57, digits swapped"] == pytest.approx(odds.DIAL_SWAPPED / 3 * scattered, rel=3e-3)
    apart = one.scatter([25.47, 25.48, 25.49]) / one.repeats
    assert found["dial 25.47, digits swapped"] == pytest.approx(odds.DIAL_SWAPPED / 3 * apart, rel=3e-3)
    assert found["dial 24.75, digits swapped"] > 0
    fewer = repeats("24.43", "24.57", "24.58")
    scattered = fewer.scatter([42.43, 42.57, 42.58]) / fewer.repeats
    found = shares(undoing.dials(fewer, ONE), as_booked(fewer))
    assert found["dial 42.43, digits swapped"] == pytest.approx(odds.DIAL_SWAPPED / 2 * scattered, rel=3e-3)
    ragged = read(replace(FIGURES, dials=(Decimal("24.5"), Decimal("4.5"), Decimal("24.51"))))
    assert "dial 2.45, digits swapped" not in shares(undoing.dials(ragged, ONE), 1.0)


@pytest.mark.parametrize(
    ("dials", "ways"),
    [
        (("24.57", "24.52", "24.53"), [(0.1, 0.4), (0.01, 0.1)]),
        (("2.457", "2.452", "2.453"), [(0.1, 0.4), (10.0, 0.4), (0.01, 0.1)]),
        (("0.2457", "0.2452", "0.2453"), [(0.1, 0.4), (10.0, 0.4), (0.01, 0.1), (100.0, 0.1)]),
    ],
)
def test_a_misplaced_point_scales_scatter_and_all(dials, ways):
    """Figures ten times too small came from a dial ten times as far, scattered ten times as widely."""
    one = repeats(*dials)
    found = [way.weight / as_booked(one) for way in undoing.dials(one, ONE) if "decimal point" in way.detail]
    booked_as = [float(dial) for dial in dials]
    expected = [
        share * odds.DIAL_POINT * factor**3 * one.scatter([factor * dial for dial in booked_as]) / one.repeats
        for factor, share in ways
    ]
    assert found == pytest.approx(expected, rel=3e-3)


@pytest.mark.parametrize(("dial", "true"), [("2.457", 24.57), ("24.57", 2.457), ("0.2457", 24.57)])
def test_a_misplaced_point_is_looked_for_where_it_leads(dial, true):
    off = float(dial) - true
    one = read(replace(FIGURES, dials=(Decimal(dial),) * 3), spread=0.3, off=off)
    best = max(undoing.dials(one, ONE), key=lambda way: way.weight)
    assert best.detail == "decimal point of the dial misplaced"
    assert best.shift == pytest.approx(-off, abs=1e-6)


def test_a_dial_in_the_other_unit():
    inches = tuple(Decimal(str(round(float(dial) / 25.4, 3))) for dial in DIALS)
    one = read(replace(FIGURES, dials=inches))
    found = shares(undoing.dials(one, ONE), as_booked(one))
    true = [float(dial) * 25.4 for dial in inches]
    assert found["dial in inches"] == pytest.approx(
        odds.DIAL_UNIT * 25.4**3 * one.scatter(true) / one.repeats, rel=1e-3
    )
    imperial = replace(EXTENSOMETER, dial_range=(Decimal(0), Decimal(50)), repeatability=Decimal("0.002"))
    one = read(units=US, extensometer=imperial, spread=4e3)
    other = shares(undoing.dials(one, ONE), 1.0)
    assert "dial in inches" not in other
    true = [float(dial) / 25.4 for dial in DIALS]
    fits = odds.DIAL_UNIT / 25.4**3 * one.scatter(true) * one.fits() * one.warm
    assert other["dial in millimetres"] == pytest.approx(fits, rel=3e-3)


def test_what_the_dial_cannot_show_it_did_not_show():
    near_end = tuple(dial + Decimal("24.5") for dial in DIALS)
    found = shares(undoing.dials(read(replace(FIGURES, dials=near_end)), ONE), 1.0)
    assert "dial 1 mm less" in found
    assert "dial 1 mm more" not in found
    at_the_end = (Decimal("49.00"), Decimal("48.98"), Decimal("48.99"))
    assert "dial 1 mm more" in shares(undoing.dials(read(replace(FIGURES, dials=at_the_end)), ONE), 1.0)


def repeats(*dials):
    return read(replace(FIGURES, dials=tuple(Decimal(dial) for dial in dials)))


def apart(by):
    return repeats("24.52", str(Decimal("24.53") + Decimal(str(by))), "24.54")


@pytest.mark.parametrize("by", [1.0, 1.05, -5.0, 3.3])
def test_the_repeat_that_stands_apart_is_named(by):
    """Density of how far it stands apart: by a step of the dial, or by anything."""
    one = apart(by)
    best = max(undoing.repeats(one, ONE), key=lambda way: way.weight)
    assert best.detail == f"the second repeat, {one.length.figures.dials[1]}"
    near = 0.05 * sqrt(1.5)
    steps = odds.DIAL_BY["mm"]
    stepped = sum(exp(-0.5 * ((by - step) / near) ** 2) / near for step in steps) / len(steps)
    anyhow = exp(-0.5 * (by / odds.REPEAT_SPREAD) ** 2) / odds.REPEAT_SPREAD
    density = (odds.REPEAT_BY_STEP * stepped + (1 - odds.REPEAT_BY_STEP) * anyhow) / sqrt(2 * pi)
    others = one.scatter([24.52, 24.54])
    assert best.weight == pytest.approx(others * density / 3 * one.fits() * one.warm, rel=3e-3)


def test_without_the_odd_repeat_the_length_is_that_of_the_others():
    """The median of three takes no notice of the wild one; of the two others the mean is taken."""
    one = apart(3.3)
    best = max(undoing.repeats(one, ONE), key=lambda way: way.weight)
    assert best.shift == pytest.approx(24.53 - 24.54, abs=1e-3)


def test_where_repeats_disagree_a_step_moves_their_median():
    ways = [way for way in undoing.dials(apart(3.3), ONE) if way.detail == "dial 1 mm less"]
    assert [way.shift for way in ways] == pytest.approx([-1.0])


def test_a_misread_repeat_stands_apart_by_millimetres_in_any_unit():
    """In inches a spread of 5 mm is a fifth of an inch."""
    fine = replace(EXTENSOMETER, repeatability=Decimal("0.002"))
    dials = (Decimal("0.9000"), Decimal("1.2030"), Decimal("0.9010"))
    one = read(replace(FIGURES, dials=dials), units=US, extensometer=fine, spread=4e3)
    best = max(undoing.repeats(one, ONE), key=lambda way: way.weight)
    wide = odds.REPEAT_SPREAD / 25.4
    away = exp(-0.5 * (0.3025 / wide) ** 2) / wide / sqrt(2 * pi) * (1 - odds.REPEAT_BY_STEP)
    others = one.scatter([0.9, 0.901])
    assert best.weight == pytest.approx(others * away / 3 * one.fits() * one.warm, rel=3e-3)


def test_repeats_that_lie_together_hide_no_misread_one():
    assert not list(
        undoing.repeats(read(replace(FIGURES, dials=(Decimal("24.52"), Decimal("24.56"), Decimal("24.53")))), ONE)
    )
    assert list(
        undoing.repeats(read(replace(FIGURES, dials=(Decimal("24.52"), Decimal("24.57"), Decimal("24.53")))), ONE)
    )
    assert not list(undoing.repeats(repeats("24.52", "24.56", "24.53"), ONE))
    assert list(undoing.repeats(repeats("24.52", "24.57", "24.53"), ONE))
    assert not list(undoing.repeats(repeats("24.52", "30.00"), ONE))


@pytest.mark.parametrize(
    ("booked_at", "true", "words", "share"),
    [
        ("53.6", 12.0, "booked in degF", odds.TEMPERATURE_UNIT),
        ("22.0", 12.0, "ten degrees off", odds.TEMPERATURE_TEN / 2),
        ("2.0", 12.0, "ten degrees off", odds.TEMPERATURE_TEN / 2),
        ("21.0", 12.0, "digits swapped", odds.TEMPERATURE_SWAPPED),
        ("21", 12.0, "digits swapped", odds.TEMPERATURE_SWAPPED),
        ("-12.0", 12.0, "the sign", odds.TEMPERATURE_SIGN),
        ("21.5", 12.5, "digits swapped", odds.TEMPERATURE_SWAPPED),
        ("-21.5", -12.5, "digits swapped", odds.TEMPERATURE_SWAPPED),
    ],
)
def test_the_ways_of_a_temperature(booked_at, true, words, share):
    """The survey's other temperatures say which; each has its share, and the length it implies."""
    one = read(replace(FIGURES, temperature=Decimal(booked_at)), temper=Temper(true, 0.8))
    ways = [way for way in undoing.temperatures(one, ONE) if words in way.detail]
    best = max(ways, key=lambda way: way.weight)
    assert best.detail == f"{words}: {true:.1f} instead of {booked_at}"
    assert best.weight == pytest.approx(share * one.temper.density(true) * one.fits() * one.repeats, rel=3e-3)
    warmer = 11.6e-6 * float(one.length.raw) * (true - float(booked_at))
    assert best.shift == pytest.approx(warmer, abs=1e-3)


def test_a_figure_of_the_dial_typed_as_the_temperature():
    """It then was about that of the survey's others; a temperature is a dial's figure by chance once in hundreds."""
    one = read(replace(FIGURES, temperature=DIALS[1]), temper=Temper(12.0, 0.8))
    (way,) = [way for way in undoing.temperatures(one, ONE) if "dial" in way.detail]
    assert way.detail == "a figure of the dial, 24.52"
    assert way.weight == pytest.approx(odds.TEMPERATURE_DIAL / 3 / 0.01 * one.fits() * one.repeats, rel=3e-3)
    assert way.shift == pytest.approx(11.6e-6 * float(one.length.raw) * (12.0 - 24.52), abs=1e-3)
    other = read(replace(FIGURES, temperature=Decimal("24.54")), temper=Temper(12.0, 0.8))
    assert not [way for way in undoing.temperatures(other, ONE) if "dial" in way.detail]


@pytest.mark.parametrize(("booked_at", "true"), [("1", 12.0), ("5", 25.0), ("-1", -12.0)])
def test_a_figure_of_the_temperature_dropped(booked_at, true):
    """A whole number of one digit: another may have stood before it or behind it."""
    one = read(replace(FIGURES, temperature=Decimal(booked_at)), temper=Temper(true, 0.1))
    best = max(undoing.temperatures(one, ONE), key=lambda way: way.weight)
    assert best.detail == f"a figure dropped: {true:.1f} instead of {booked_at}"
    share = odds.TEMPERATURE_DROPPED / 18
    assert best.weight == pytest.approx(share * one.temper.density(true) * one.fits() * one.repeats, rel=3e-3)
    written = read(replace(FIGURES, temperature=Decimal("2.5")), temper=Temper(25.0, 0.1))
    assert not [way for way in undoing.temperatures(written, ONE) if "dropped" in way.detail]


@pytest.mark.parametrize(
    ("booked_at", "true"),
    [
        ("3", [13, 23, 31, 32, 33, 33, 34, 35, 36, 37, 38, 39, 43, 53]),
        ("-3", [-39, -38, -37, -36, -35, -34, -33, -32, -31, 13, 23, 33, 43, 53]),
        ("9", [19, 29, 39, 49, 59]),
        ("10", []),
    ],
)
def test_every_figure_that_may_have_been_dropped_is_tried(booked_at, true):
    """Before the one that was booked or behind it, as far as a thermometer goes."""
    one = read(replace(FIGURES, temperature=Decimal(booked_at)))
    ways = [way.detail for way in undoing.temperatures(one, ONE) if "a figure dropped" in way.detail]
    assert sorted(float(way.split(": ")[1].split(" ")[0]) for way in ways) == true


def test_a_temperature_in_the_other_unit_in_degrees_fahrenheit():
    one = read(replace(FIGURES, temperature=Decimal("12.0")), units=US, temper=Temper(53.6, 0.8))
    best = max(undoing.temperatures(one, ONE), key=lambda way: way.weight)
    assert best.detail == "booked in degC: 53.6 instead of 12.0"


def test_a_temperature_that_no_thermometer_shows_is_no_explanation():
    low, high = METRIC.temperature_range
    one = read(replace(FIGURES, temperature=Decimal("55.0")))
    for way in undoing.temperatures(one, ONE):
        true = float(way.detail.split(": ")[1].split(" ")[0])
        assert low <= true <= high
    assert not [way for way in undoing.temperatures(one, ONE) if "65.0" in way.detail]


def test_a_hole_of_another_tape_is_counted_from_its_own_first():
    (back,) = undoing.holes(read(tape=OTHER_TAPE, spread=0.3, off=25.0), ONE)
    assert back.detail == "hole 318 instead of 319"


def test_where_four_repeats_disagree_a_step_moves_the_mean_of_the_middle_two():
    four = tuple(map(Decimal, ("20.00", "20.00", "21.00", "22.00")))
    by = {one.detail: one.shift for one in undoing.dials(read(Figures(319, four, WARM)), ONE)}
    assert (by["dial 1 mm less"], by["dial 1 mm more"]) == (pytest.approx(-1.0), pytest.approx(1.0))
