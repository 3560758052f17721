"""How well misreadings are caught on invented ground: a part of `python -m tests.bench.misreading`, in seconds.

Some hundred bookings bound a rate only widely. The bounds here are as wide: they are crossed where a rule, an odd or a
threshold is broken, never by a tenth of a per cent more or less; those are the benchmark's to measure.
"""

from __future__ import annotations

from functools import cache
from math import fsum

import numpy as np
import pytest
from bench.misreading.case import Case
from bench.misreading.claims import missing
from bench.misreading.figures import coverage
from bench.misreading.probabilities import pooled, stated
from bench.misreading.run import CAUSE, NO_SUDDEN, ODDS, jump, odds, outcomes
from bench.misreading.slips import share_of_small, small
from reduction.adit import CHORDS, STATIONS, Adit, figures, length

from fieldtui.reduction import Evidence, priors
from fieldtui.reduction.priors import AFTER_EVENT

SEED = 20260822
LABELS = ("real movement", "hole by one", "dial", "one repeat", "temperature", "other chord", "seating", "zero")
MOVED = "movement of 5 to 8"
RATES = dict.fromkeys((*LABELS, MOVED), 0.4) | {"temperature": 0.7}
GROUNDS = ("calm", "normal", "squeezing")


@cache
def found():
    return tuple(outcomes(SEED, 1, RATES, processes=1))


def of(label, ground=None, settled=3):
    picked = [one for one in found() if one.label == label and one.earlier >= settled]
    return [one for one in picked if ground in (None, one.regime)]


def share(some, what):
    assert len(some) > 20
    return sum(map(what, some)) / len(some)


@pytest.mark.parametrize("ground", GROUNDS)
def test_clean_readings_are_within_what_was_expected(ground):
    covered, rms, _, _ = coverage(of("as booked", ground))
    assert covered.value > 0.85
    assert 0.7 < rms < 1.35


def test_clean_readings_are_seldom_doubted():
    assert share(of("as booked"), lambda one: one.doubted) < 0.04


def test_a_hole_misread_by_one_is_caught_or_was_asked_for_twice():
    assert share(of("hole by one"), lambda one: one.doubted or one.twice) == 1
    calm = of("hole by one", "calm") + of("hole by one", "normal")
    assert share(calm, lambda one: one.doubted) > 0.97
    assert share(calm, lambda one: one.first == "hole" and one.length_right) > 0.95


def test_misreadings_that_leave_more_than_five_true_spreads_are_caught():
    figures = [one for label in LABELS[1:] if label != "one repeat" for one in of(label)]
    assert share([one for one in figures if one.off_by > 5 and one.true_spread < 5], lambda one: one.doubted) > 0.95


@pytest.mark.parametrize("label", ["dial", "temperature", "other chord", "seating", "real movement"])
def test_they_are_mostly_rightly_named(label):
    big = [one for one in of(label) if one.off_by > 5 and one.true_spread < 5 and one.doubted]
    assert share(big, lambda one: one.first == CAUSE[label]) > 0.6


def test_movement_of_five_to_eight_true_spreads_is_mostly_read_again():
    """The least that is to be noticed: here the threshold of doubt shows."""
    assert share(of(MOVED), lambda one: one.doubted) > 0.75


def test_one_misread_repeat_stands_apart():
    assert share(of("one repeat"), lambda one: one.asked or one.doubted) > 0.93


def test_where_a_hole_could_pass_for_movement_it_is_asked_for_twice():
    hidden = [one for one in found() if one.true_spread >= 5]
    assert share(hidden, lambda one: one.twice) == 1


def test_the_two_rules_hold():
    assert not any(one.broken for one in found())
    assert all("real movement" in dict(one.listed) for one in found())


def test_stated_probabilities_are_borne_out():
    """Of what is said with 0.9 and more as much is true as was stated, at the documented odds."""
    said = [row for row in pooled(stated(found())) if row[0] >= 0.9]
    weight = fsum(row[2] for row in said)
    probable, true = fsum(p * w for p, _, w, _ in said) / weight, fsum(t * w for _, t, w, _ in said) / weight
    assert probable == pytest.approx(true, abs=0.02)


def test_what_was_stated_for_a_clean_reading_beyond_five_spreads_is_a_part_of_real_movement():
    """It is told apart, since one clean reading weighs as much as many misread ones: so wide is a bin's error."""
    beyond = [one for one in found() if one.jump]
    assert beyond
    for one in beyond:
        assert dict(one.listed)["as booked"] == 0
        assert 0 < one.jump <= dict(one.listed)["real movement"]
    near, far = ([one.jump for one in beyond if (one.off_by < 8) == near] for near in (True, False))
    assert max(near) > 0.05
    assert min(far) < 1e-3
    rows = stated(beyond)
    assert all(clean > 0 for _, _, _, clean in rows["real movement"])
    assert all(clean < 0 for _, _, _, clean in rows["dial"])


def test_further_worlds_are_tried_with_the_labels_that_are_short_of_cases():
    """3,000 of each; of a hole misread by one, whose bound is asked to be the narrowest, twice as many."""
    hole, dial = (next(one for one in of(label, "calm") if one.off_by > 5) for label in ("hole by one", "dial"))
    tried = dict.fromkeys(ODDS, 0.2)
    assert missing([hole] * 6000 + [dial] * 3000, tried, 100, 50)["calm"] == {}
    short = missing([hole] * 5000 + [dial] * 2000, tried, 100, 50)["calm"]
    assert short == pytest.approx({"hole by one": 0.12, "dial": 0.285}, abs=0.01)


def test_where_nothing_but_sudden_movement_can_have_left_the_figures_all_of_it_is_sudden():
    adit = Adit()
    booked = figures(adit.true(("B", "L-R"), adit.days) - 412.7)
    with pytest.raises(ValueError, match="no explanation"):
        adit.judged(booked, priors=NO_SUDDEN)
    known, station = adit.known(), STATIONS[1]
    case = Case(
        "real movement", "calm", 10, known, station, CHORDS[0], length(booked), adit.now, Evidence.NONE,
        0.1, -412.7, length(adit.today()), length(adit.today()), None, asked=False, new_stage=False,
    )  # fmt: skip
    verdict = adit.judged(booked, known=known)
    assert verdict.probability("real movement") > 0.99
    assert jump(case, verdict) == 0


def test_sudden_movement_weighs_as_much_as_its_odds_which_a_new_stage_raises():
    assert odds("real movement", False) == ODDS["real movement"]
    assert odds("real movement", True) == AFTER_EVENT * ODDS["real movement"]
    assert odds("as booked", True) == ODDS["as booked"]
    assert odds("small movement", True) == AFTER_EVENT * ODDS["small movement"]
    assert {one.weight for one in found() if one.label == "dial"} == {ODDS["dial"] / RATES["dial"]}


def test_sudden_movement_has_its_documented_odds_and_sizes_the_small_ones_too():
    assert ODDS["real movement"] + ODDS["small movement"] == pytest.approx(priors.ODDS["real movement"])
    rng = np.random.default_rng(20260822)
    shares, sizes, spreads = (np.array(part) for part in zip(*priors.SUDDEN, strict=True))
    parts = rng.choice(len(shares), 20000, p=shares)
    drawn = abs(rng.normal(sizes[parts], spreads[parts]))
    assert np.mean(drawn < 2) == pytest.approx(share_of_small(), abs=0.01)
    below = [abs(small(rng)) for _ in range(2000)]
    assert max(below) < 2
    assert np.mean(below) == pytest.approx(np.mean(drawn[drawn < 2]), abs=0.05)
