"""Every cause as the screen tells it: what it looks like, how likely, what to look at."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from msgspec.structs import replace
from reduction.adit import OTHER_TAPE, WARM, Adit, figures, shifted

from fieldtui.job.telling import tell_verdict
from fieldtui.reduction import Evidence

ADIT = Adit()
TODAY = ADIT.today()
RIGHT = ADIT.true(("B", "L-R"), ADIT.days)
BOTH_STATIONS = (("A", "L-R"), ("A", "L-K"), ("A", "R-K"), ("B", "L-K"), ("B", "R-K"))


def others(*offs, adit=ADIT):
    """The verdict's surroundings: the survey's other chords, off by so much, in the order they are read."""
    known = adit.known()
    read = [adit.other(known, *key, off=by) for key, by in zip(BOTH_STATIONS[-len(offs) :], offs, strict=True)]
    return known, Evidence(tuple(read), (WARM, WARM))


def repeats(*by):
    return replace(TODAY, dials=tuple(d + Decimal(str(b)) for d, b in zip(TODAY.dials, by, strict=True)))


def judged(booked, surroundings=None, adit=ADIT, **more):
    known, evidence = surroundings or (None, None)
    return adit.judged(booked, evidence, known, **more)


def at_the_other_station():
    offs = [ADIT.true(("A", chord), 10) - ADIT.true(("B", chord), 10) for chord in ("L-K", "R-K")]
    return judged(ADIT.today("A", "L-R"), others(*offs))


def fast_and_a_week_late():
    fast = Adit(rate=-12.0)
    return fast.judged(fast.today(), at=fast.now + timedelta(days=7))


def after_a_wrong_one():
    spoilt = Adit(spoilt={9: 6.3})
    return spoilt.judged(spoilt.today())


TOLD = {
    "real movement": (lambda: judged(figures(RIGHT - 17.37)), "17.", "read again: a second reading that says the same"),
    "hole misread": (
        lambda: judged(replace(TODAY, hole=320)),
        "hole 319 instead of 320",
        "read the hole again: hole 319",
    ),
    "dial misread": (lambda: judged(shifted(TODAY, 5)), "dial 5 mm less", "read the dial again: dial 5 mm less"),
    "one repeat misread": (lambda: judged(repeats(0, 5, 0)), "the second repeat, 41.07", "read that repeat again"),
    "temperature misread": (
        lambda: judged(replace(TODAY, temperature=Decimal("53.6"))),
        "booked in degF: 12.0 instead of 53.6",
        "read the thermometer again",
    ),
    "another chord": (
        lambda: judged(ADIT.today("B", "R-K"), chord="L-K"),
        "fits R-K",
        "look which anchors the tape is on: fits R-K",
    ),
    "another station": (at_the_other_station, "fits L-R of A", "look at the station's number: fits L-R of A"),
    "another tape": (
        lambda: judged(figures(RIGHT, tape=OTHER_TAPE)),
        "tape T2 instead of T1",
        "look at the tape's serial: tape T2",
    ),
    "zero moved": (
        lambda: judged(shifted(TODAY, 1.4), others(1.4, 1.4, 1.4, 1.4, 1.4)),
        "the same +1.37 mm as 5 chords before",
        "check the zero of the dial",
    ),
    "anchor struck or loose": (
        lambda: judged(shifted(TODAY, 3.7), others(-3.4, 0.0)),
        "anchor L struck or loose",
        "look at the anchor: anchor L",
    ),
    "tape caught or hook not seated": (
        lambda: judged(repeats(1.35, 0.85, 1.15)),
        "reads long",
        "look along the tape and at the hook",
    ),
    "wrong date, or figures copied": (fast_and_a_week_late, "fits 7 days earlier", "look at the date"),
    "an earlier reading was wrong": (after_a_wrong_one, "the last one", "look up the earlier booking"),
}


@pytest.mark.parametrize("cause", TOLD)
def test_the_screen_names_the_cause_with_how_likely_and_what_to_look_at(cause):
    verdict, detail, look = TOLD[cause]
    told = tell_verdict(verdict())
    first, last = told[0], told[-1]
    assert (first.label, first.weight) == ("looks like", "alarm")
    assert first.text.startswith((f"{cause}: ", f"{detail}, "))
    assert detail in first.text
    assert first.text.count(" ".join(cause.split()[-2:])) == 1, "said once"
    assert first.text.endswith(" %")
    assert last.label == "look"
    assert look in last.text


def test_every_cause_that_is_not_the_right_figures_is_told_here():
    from fieldtui.job.telling import CAUSES

    assert set(TOLD) == set(CAUSES.values()) - {"as booked"}


def test_repeats_that_scatter_about_the_expected_agree_and_what_the_scatter_may_be_is_told_beside_it():
    agrees, scatter = tell_verdict(judged(repeats("0.15", "-0.14", "0.01")))
    assert (agrees.label, agrees.text) == ("agrees", "as booked, 84 % (10 earlier readings)")
    assert (scatter.label, scatter.weight) == ("or", "notice")
    assert "tape caught" in scatter.text


def test_beside_figures_that_agree_nothing_else_is_told():
    (told,) = tell_verdict(judged(TODAY))
    assert told.label == "agrees"
