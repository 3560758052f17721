"""The two rules that nothing may break, whatever is booked: never correct, never explain movement away."""

from __future__ import annotations

from decimal import Decimal
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from reduction.adit import CHORDS, EXTENSOMETER, STATIONS, TAPE, UNCERTAINTY, WARM, Adit, figures, length

from fieldtui.reduction import Evidence, Figures, Priors, change, judge, judge_levels, reduce
from fieldtui.reduction.misreading import NEVER_BEYOND
from fieldtui.reduction.priors import ODDS
from fieldtui.route.model import Level

ADIT = Adit()
KNOWN = ADIT.known()
PACES = {rate: Adit(rate=rate).known() for rate in (0.0, -2.0, -18.0)}

dials = st.integers(0, 5000).map(lambda hundredths: Decimal(hundredths) / 100)
bookings = st.builds(
    Figures,
    hole=st.integers(290, 345) | st.integers(1, 600),
    dials=st.lists(dials, min_size=1, max_size=5).map(tuple)
    | dials.map(lambda dial: (dial, min(dial + Decimal("0.04"), Decimal(50)), dial)),
    temperature=st.integers(-300, 550).map(lambda tenths: Decimal(tenths) / 10),
)
off = st.lists(st.sampled_from([0.0, 0.3, -1.4, 6.0, -25.0]), min_size=0, max_size=5)
odds = st.sampled_from(
    [Priors(), Priors({"as booked": 1.0, "real movement": 1e-9}), Priors({**ODDS, "hole": 0.5, "as booked": 0.3})]
)


@cache
def other(station, chord, by):
    return ADIT.other(KNOWN, station, chord, off=by)


def evidence_of(offs):
    chords = [("A", "L-R"), ("A", "L-K"), ("A", "R-K"), ("B", "L-K"), ("B", "R-K")]
    return Evidence(tuple(other(*key, by) for key, by in zip(chords, offs, strict=False)), (WARM,))


@settings(max_examples=60, deadline=None, derandomize=True)
@given(booked=bookings, offs=off, priors=odds, pace=st.sampled_from(sorted(PACES)))
def test_movement_is_never_explained_away(booked, offs, priors, pace):
    """It is always in the list; and more than five standard uncertainties off, a reading is never `as booked`."""
    read = length(booked)
    evidence = evidence_of(offs)
    verdict = judge(
        PACES[pace], STATIONS[1], CHORDS[0], read, TAPE, EXTENSOMETER, ADIT.now, evidence=evidence, priors=priors
    )
    assert "real movement" in [one.cause for one in verdict.explanations]
    away = abs(float(read.value - verdict.expectation.value)) / verdict.expectation.spread
    assert verdict.off == pytest.approx(float(read.value - verdict.expectation.value) / verdict.expectation.spread)
    if away > NEVER_BEYOND:
        assert not verdict.agrees
        assert verdict.probability("as booked") == 0
        assert verdict.probability("real movement") > 0 or len(verdict.explanations) > 1


@settings(max_examples=60, deadline=None, derandomize=True)
@given(booked=bookings, offs=off)
def test_probabilities_are_odds_of_different_causes(booked, offs):
    verdict = judge(
        KNOWN, STATIONS[1], CHORDS[0], length(booked), TAPE, EXTENSOMETER, ADIT.now, evidence=evidence_of(offs)
    )
    causes = [one.cause for one in verdict.explanations]
    chances = [one.probability for one in verdict.explanations]
    assert len(causes) == len(set(causes))
    assert sum(chances) == pytest.approx(1)
    assert chances == sorted(chances, reverse=True)
    assert all(0 <= chance <= 1 for chance in chances)
    assert set(causes) <= set(ODDS)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(booked=bookings)
def test_nothing_is_ever_corrected(booked):
    """What was booked is not touched, and a verdict has no way to a level: the value as booked decides."""
    read = length(booked)
    before = (read.value, read.figures, read.raw, read.sources)
    verdict = judge(KNOWN, STATIONS[1], CHORDS[0], read, TAPE, EXTENSOMETER, ADIT.now)
    assert (read.value, read.figures, read.raw, read.sources) == before
    for one in verdict.explanations:
        if one.cause in ("as booked", "real movement"):
            assert one.length == read.value


def test_a_level_is_judged_from_the_value_as_booked_though_a_hole_is_all_but_certain():
    booked = figures(ADIT.true(("B", "L-R"), ADIT.days) - 25)
    last = KNOWN.ground.chord(("B", "L-R")).segments[0].readings[-1]
    verdict = ADIT.judged(booked)
    assert verdict.probability("hole") > 0.9
    level = Level("amber", Decimal(10), None, None, "look again", ("engineer",))
    (state,) = judge_levels(change(length(booked), last.length), None, (level,), Decimal(2))
    assert state.state == "above"


def test_figures_of_a_subtracting_dial_are_undone_the_other_way():
    subtracts = replace(EXTENSOMETER, dial="subtracts")
    known = ADIT.known(extensometers=(subtracts,))
    right = ADIT.true(("B", "L-R"), ADIT.days)
    booked = figures(right, hole=321)  # its dial is negative with a dial that adds: turn it
    booked = replace(booked, dials=tuple(-dial - 10 for dial in booked.dials))  # misread by ten too little
    read = reduce(booked, TAPE, subtracts, UNCERTAINTY, reading="subtracting")
    verdict = judge(known, STATIONS[1], CHORDS[0], read, TAPE, subtracts, ADIT.now)
    named = verdict.explanations[0]
    assert named.cause == "dial"
    assert float(named.length) == pytest.approx(right, abs=0.2)


def test_the_odds_can_be_changed():
    booked = ADIT.today()
    booked = replace(booked, hole=booked.hole + 1)
    never = Priors({cause: share for cause, share in ODDS.items() if cause != "hole"})
    assert ADIT.judged(booked).probability("hole") > 0.9
    assert ADIT.judged(booked, priors=never).probability("hole") == 0
    assert ADIT.judged(booked, priors=never).explanations[0].cause == "real movement"
