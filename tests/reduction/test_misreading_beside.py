"""What the survey shows beside the chord, and what came before: neighbours, tapes, blasts, second bookings."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from math import pi, sqrt

import pytest
from msgspec.structs import replace
from reduction.adit import (
    CHORDS,
    EXTENSOMETER,
    OTHER_TAPE,
    START,
    STATIONS,
    TAPE,
    WARM,
    Adit,
    figures,
    first,
    length,
    shifted,
)

from fieldtui.reduction import Event, Evidence, Known, Priors, judge
from fieldtui.reduction import priors as odds
from fieldtui.reduction.fit import Temper

ADIT = Adit()
RIGHT = ADIT.true(("B", "L-R"), ADIT.days)


def test_another_station_is_named_once_its_other_chords_fit_there():
    known = ADIT.known()
    there = tuple(
        ADIT.other(known, "B", chord, ADIT.true(("A", chord), 10) - ADIT.true(("B", chord), 10))
        for chord in ("L-K", "R-K")
    )
    verdict = ADIT.judged(ADIT.today("A", "L-R"), Evidence(there, (WARM, WARM)), known)
    assert (first(verdict).cause, first(verdict).detail) == ("other station", "fits L-R of A")


def test_the_same_constant_on_all_chords_is_the_zero():
    known = ADIT.known()
    others = tuple(
        ADIT.other(known, station, chord, 1.4)
        for station, chord in (("A", "L-R"), ("A", "L-K"), ("A", "R-K"), ("B", "L-K"), ("B", "R-K"))
    )
    verdict = ADIT.judged(shifted(ADIT.today(), 1.4), Evidence(others, (WARM, WARM)), known)
    assert first(verdict).cause == "zero"
    assert float(first(verdict).length) == pytest.approx(RIGHT, abs=0.2)


def beside(left, right, booked=3.7, crown=None):
    """The verdict over L-R, off by 3.7 mm, with L-K and R-K off by so much; K elsewhere if wanted."""
    known, here = ADIT.known(), STATIONS[1]
    if crown is not None:
        anchors = tuple(replace(one, across=crown[0], up=crown[1]) if one.name == "K" else one for one in here.anchors)
        here = replace(here, anchors=anchors)
    others = (ADIT.other(known, "B", "L-K", left), ADIT.other(known, "B", "R-K", right))
    seen = Evidence(others, (WARM, WARM))
    read = length(shifted(ADIT.today(), booked))
    return judge(known, here, CHORDS[0], read, TAPE, EXTENSOMETER, ADIT.now, evidence=seen)


def test_an_anchor_is_likelier_where_its_own_chords_moved_and_the_others_did_not():
    struck, still, all_moved, turned = beside(3.4, 0), beside(0, 0), beside(3.4, 3.0), beside(-3.4, 0)
    named = next(one for one in struck.explanations if one.cause == "anchor")
    assert named.detail == "anchor L struck or loose"
    assert named.probability > 3 * still.probability("anchor")
    assert all_moved.probability("real movement") > 0.95 > 5 * all_moved.probability("anchor")
    assert first(turned).cause == "anchor"


def struck(by, crown):
    """How likely L was struck, with L-R 3.7 mm longer, L-K by so much, and K there."""
    found = (one for one in beside(by, 0, crown=crown).explanations if one.detail == "anchor L struck or loose")
    return sum(one.probability for one in found)


def test_an_anchor_moves_its_chords_as_they_lie():
    """In one line both lengthen alike, or one shortens as the other lengthens; at right angles it may do either."""
    behind_r, behind_l, square = ((Decimal(x), Decimal(y)) for x, y in (("9", "1.5"), ("-9", "1.5"), ("-4", "6.5")))
    assert struck(3.7, behind_r) > 0.3 > 5 * struck(-3.7, behind_r)
    assert struck(-3.7, behind_l) > 0.3 > 5 * struck(3.7, behind_l)
    assert struck(3.7, square) == pytest.approx(struck(-3.7, square), rel=0.05)
    assert struck(3.7, square) > 0.3
    walls = beside(-3.7, 0, crown=square).probability("real movement")
    assert walls > 0.2  # a wall that moves does the same


def test_the_right_anchor_is_named():
    named = next(one for one in beside(0, -3.4).explanations if one.cause == "anchor")
    assert named.detail == "anchor R struck or loose"


def test_ground_moves_in_the_chords_of_a_station_by_like_amounts():
    """A neighbour that went the same way speaks for movement; one that moved tenfold, or the other way, for less."""
    along, tenfold, against = beside(2.2, 2.2), beside(37.0, 37.0), beside(-2.2, -2.2)
    for other in (tenfold, against):
        assert along.probability("real movement") > other.probability("real movement")
    assert along.probability("real movement") > beside(0, 0).probability("real movement")


def test_the_only_earlier_reading_may_be_the_wrong_one():
    """Today is off by the pitch: either hole may be the misread one, and both are named."""
    young = Adit(since=9, spoilt={9: 25.0})
    verdict = young.judged(young.today())
    causes = [one.cause for one in verdict.explanations]
    assert not verdict.agrees
    assert {"hole", "earlier reading"} <= set(causes[:3])
    assert "its hole misread by 1" in [one.detail for one in verdict.explanations]


def test_the_last_reading_may_be_the_wrong_one():
    """It stood alone against nine before it and today's: it, not today's, is what does not fit."""
    spoilt = Adit(spoilt={9: 6.3})
    verdict = spoilt.judged(spoilt.today())
    assert "earlier reading" in [one.cause for one in verdict.explanations[:2]]


def test_a_doubtful_reading_is_never_the_ground_for_what_is_expected():
    spoilt = Adit(spoilt={9: 25.0}, doubtful=frozenset({9}))
    assert spoilt.judged(spoilt.today()).agrees


def test_a_large_change_that_fits_no_misreading_is_real_movement():
    verdict = ADIT.judged(figures(RIGHT - 17.37))
    assert first(verdict).cause == "real movement"
    assert first(verdict).probability > 0.9
    assert verdict.look_at == "read again: a second reading that says the same is movement"


def test_the_only_earlier_reading_is_doubted_by_its_odds_however_wide_the_expected():
    """On one reading nearly anything may be; that reading is among the explanations all the same."""
    young = Adit(since=9, rate=-12.0, spoilt={9: 5.0})
    verdict = young.judged(young.today())
    assert abs(verdict.off) < 2
    assert verdict.probability("earlier reading") > 0


def test_a_zero_that_a_heeded_neighbour_shares_is_not_taken_for_its_movement():
    """The neighbour is off as the zero has it, and would draw the expected value along: the zero undoes both."""
    alike = Adit(wobble=(0.3, -0.3, 0.0), days=20)
    known = alike.known()
    keys = (("A", "L-R"), ("A", "L-K"), ("A", "R-K"), ("B", "L-K"))
    evidence = Evidence(tuple(alike.other(known, *key, off=1.2) for key in keys), (WARM, WARM))
    with_it = alike.judged(shifted(alike.today(), 1.2), evidence, known)
    (lean,) = with_it.expectation.leans
    assert lean.other.key == ("B", "L-K")
    assert lean.per_spread > 0.2
    assert with_it.probability("zero") > 0.008


def test_a_second_booking_that_says_the_same_is_the_movement():
    """25 mm: at first a hole, by the odds; booked twice alike, movement."""
    booked = figures(RIGHT - 25.0)
    once = ADIT.judged(booked)
    again = ADIT.judged(booked, Evidence(temperatures=(WARM, WARM), again=(length(booked),)))
    assert first(once).cause == "hole"
    assert again.probability("real movement") > 10 * once.probability("real movement")
    twice = ADIT.judged(booked, Evidence(temperatures=(WARM, WARM), again=(length(ADIT.today()),)))
    assert twice.probability("hole") == pytest.approx(once.probability("hole"), rel=1e-6)


def test_movement_is_likelier_after_a_blast_and_where_the_station_moved():
    booked = figures(RIGHT - 6.6)
    known = ADIT.known()
    calm = ADIT.judged(booked, known=known)
    blast = Event(START + timedelta(days=9.5), "blast", "B")
    after = ADIT.judged(booked, Evidence(temperatures=(WARM,), events=(blast,)), known)
    with_it = ADIT.judged(booked, Evidence((ADIT.other(known, "B", "L-K", -5.0),), (WARM,)), known)
    assert after.probability("as booked") + after.probability("real movement") > calm.probability("real movement")
    assert with_it.probability("real movement") > calm.probability("real movement")


@pytest.mark.parametrize("told", ["ground", "evidence"])
def test_after_a_blast_the_odds_of_movement_are_those_that_were_stated(told):
    blast = Event(START + timedelta(days=9.5), "blast", "B")
    known = ADIT.known()
    evidence = Evidence(temperatures=(WARM,), events=(blast,) if told == "evidence" else ())
    if told == "ground":
        known = Known(known.route, replace(known.ground, events=(blast,)))
    booked = figures(RIGHT - 21.3)
    often, seldom = (
        ADIT.judged(booked, evidence, known, priors=Priors(after_event=times)).probability("dial")
        for times in (30.0, 1.0)
    )
    assert seldom > 2 * often


def test_another_tape_shows_in_the_other_chords_too():
    known, booked = ADIT.known(), figures(RIGHT, tape=OTHER_TAPE)
    keys = (("A", "L-R"), ("A", "L-K"), ("B", "L-K"))
    with_it = Evidence(tuple(ADIT.other(known, *key, off=-6.0) for key in keys), (WARM, WARM))
    without = Evidence(tuple(ADIT.other(known, *key) for key in keys), (WARM, WARM))
    assert ADIT.judged(booked, with_it, known).probability("tape") > 0.99
    assert ADIT.judged(booked, without, known).probability("tape") < 0.01


def test_what_all_chords_share_after_a_new_stage_is_rather_the_ground_than_the_zero():
    """All three spreads short: without a stage that is the zero, after one it may as well be movement."""
    known = ADIT.known()
    keys = (("A", "L-R"), ("A", "L-K"), ("A", "R-K"), ("B", "L-K"))
    others = tuple(ADIT.other(known, *key, off=-3 * ADIT.other(known, *key).spread) for key in keys)
    stage = Event(START + timedelta(days=9.6), "stage", "A")
    booked = shifted(ADIT.today(), -0.45)
    calm = ADIT.judged(booked, Evidence(others, (WARM, WARM)), known).probability("zero")
    after = ADIT.judged(booked, Evidence(others, (WARM, WARM), (stage,)), known).probability("zero")
    assert calm > 1.5 * after


def test_one_wall_or_one_chord_may_move_alone(monkeypatch):
    """What an anchor struck leaves, one wall that moves leaves too; and a chord may move while the others stand."""
    wall, alone = beside(3.4, 0), beside(0, 0)
    monkeypatch.setattr(odds, "ONE_WALL", 0.0)
    assert beside(3.4, 0).probability("real movement") < 0.6 * wall.probability("real movement")
    monkeypatch.undo()
    monkeypatch.setattr(odds, "ALONE", 0.0)
    assert beside(0, 0).probability("real movement") < 0.5 * alone.probability("real movement")


def test_a_draught_makes_a_temperature_unlike_the_others_now_and_then():
    """One in a hundred spreads four times as widely: of all, so many lie beyond four spreads."""
    temper = Temper(12.0, 1.2)
    grid = [12.0 + 1.2 * step / 100 for step in range(-4000, 4001)]
    dense = [temper.density(t) * 1.2 / 100 for t in grid]
    beyond = sum(d for t, d in zip(grid, dense, strict=True) if abs(t - 12.0) > 4 * 1.2)
    assert sum(dense) == pytest.approx(sqrt(2 * pi), rel=1e-3)
    assert beyond / sum(dense) == pytest.approx(0.01 * 0.3173, rel=0.05)
