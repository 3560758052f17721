"""Every misreading of the trade in a plain example: what was booked, what it looks like, the length it implies."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from msgspec.structs import replace
from reduction.adit import (
    CHORDS,
    EXTENSOMETER,
    OTHER_TAPE,
    START,
    STATIONS,
    TAPE,
    Adit,
    figures,
    first,
    length,
    route,
    shifted,
)

from fieldtui.reduction import Ground, Known, Priors, judge
from fieldtui.reduction.misreading import ask_twice
from fieldtui.reduction.priors import ODDS

ADIT = Adit()
RIGHT = ADIT.true(("B", "L-R"), ADIT.days)


def test_right_figures_agree_and_nothing_is_asked():
    verdict = ADIT.judged(ADIT.today())
    assert verdict.agrees
    assert not verdict.doubted
    assert not verdict.hole_twice
    assert verdict.look_at == ""
    assert verdict.probability("as booked") > 0.99
    assert sum(one.probability for one in verdict.explanations) == pytest.approx(1)


@pytest.mark.parametrize("by", [-2, -1, 1, 2])
def test_a_miscounted_hole_is_named_with_the_true_one_and_its_length(by):
    booked = ADIT.today()
    verdict = ADIT.judged(replace(booked, hole=booked.hole + by))
    assert first(verdict).cause == "hole"
    assert first(verdict).detail == f"hole {booked.hole} instead of {booked.hole + by}"
    assert float(first(verdict).length) == pytest.approx(RIGHT, abs=0.2)
    assert f"hole {booked.hole}" in verdict.look_at


def test_swapped_digits_of_the_hole_are_named():
    booked = ADIT.today()
    assert booked.hole == 319
    verdict = ADIT.judged(replace(booked, hole=391))
    assert (first(verdict).cause, first(verdict).detail) == ("hole", "hole 319 instead of 391")


def test_one_wrong_digit_of_the_hole_is_named():
    verdict = ADIT.judged(replace(ADIT.today(), hole=359))
    assert (first(verdict).cause, first(verdict).detail) == ("hole", "hole 319 instead of 359")


def test_a_hole_that_the_tape_does_not_have_is_no_explanation():
    """A pitch short, but the tape ends at the hole that was booked."""
    short = replace(TAPE, holes=318)
    booked = replace(ADIT.today(), hole=318)
    known = ADIT.known(tapes=(short, OTHER_TAPE))
    for tape, named in ((TAPE, True), (short, False)):
        verdict = judge(known, STATIONS[1], CHORDS[0], length(booked, tape), tape, EXTENSOMETER, ADIT.now)
        assert (verdict.probability("hole") > 0.5) == named


@pytest.mark.parametrize("by", [-10, -5, -1, 1, 5, 10])
def test_a_dial_misread_alike_in_all_repeats_is_named(by):
    verdict = ADIT.judged(shifted(ADIT.today(), by))
    assert first(verdict).cause == "dial"
    assert float(first(verdict).length) == pytest.approx(RIGHT, abs=0.2)


def test_a_dial_beyond_its_range_is_no_explanation():
    """Ten millimetres short, but a dial that ends at 33 mm cannot have shown 36."""
    booked = shifted(ADIT.today(), -10)
    short = replace(EXTENSOMETER, dial_range=(Decimal(0), Decimal(33)))
    for extensometer, named in ((EXTENSOMETER, True), (short, False)):
        verdict = judge(ADIT.known(), STATIONS[1], CHORDS[0], length(booked), TAPE, extensometer, ADIT.now)
        assert (verdict.probability("dial") > 0.5) == named


def test_swapped_digits_of_the_dial_are_named():
    booked = figures(RIGHT, hole=319)
    assert [str(dial)[:2] for dial in booked.dials] == ["36", "36", "36"]
    swapped = tuple(Decimal("63" + str(dial)[2:]) for dial in booked.dials)
    back = replace(booked, dials=tuple(Decimal(str(dial)[1] + str(dial)[0] + str(dial)[2:]) for dial in swapped))
    assert back == booked
    verdict = ADIT.judged(replace(booked, dials=swapped))
    assert first(verdict).cause == "dial"
    assert "digits swapped" in first(verdict).detail


def test_a_dropped_decimal_point_is_named():
    booked = figures(RIGHT, hole=320)
    verdict = ADIT.judged(replace(booked, dials=tuple((dial / 10).quantize(Decimal("0.001")) for dial in booked.dials)))
    assert first(verdict).cause == "dial"
    assert "decimal point" in first(verdict).detail


def test_inches_for_millimetres_are_named():
    booked = figures(RIGHT, hole=319)
    inches = tuple((dial / Decimal("25.4")).quantize(Decimal("0.0001")) for dial in booked.dials)
    verdict = ADIT.judged(replace(booked, dials=inches))
    assert (first(verdict).cause, first(verdict).detail) == ("dial", "dial in inches")


@pytest.mark.parametrize("which", [0, 1, 2])
def test_one_repeat_misread_is_named_with_its_place(which):
    booked = ADIT.today()
    dials = tuple(dial + (5 if i == which else 0) for i, dial in enumerate(booked.dials))
    verdict = ADIT.judged(replace(booked, dials=dials))
    assert first(verdict).cause == "one repeat"
    assert first(verdict).detail.startswith(f"the {('first', 'second', 'third')[which]} repeat")
    assert float(first(verdict).length) == pytest.approx(RIGHT, abs=0.2)


@pytest.mark.parametrize(
    ("booked", "words"), [("53.6", "degF"), ("22.0", "ten degrees"), ("1", ""), ("21.0", "swapped")]
)
def test_a_misread_temperature_is_named(booked, words):
    verdict = ADIT.judged(replace(ADIT.today(), temperature=Decimal(booked)))
    assert first(verdict).cause == "temperature"
    assert words in first(verdict).detail
    assert float(first(verdict).length) == pytest.approx(RIGHT, abs=0.2)


def test_a_dial_figure_typed_as_the_temperature_is_named():
    booked = ADIT.today()
    verdict = ADIT.judged(replace(booked, temperature=booked.dials[2]))
    assert first(verdict).cause == "temperature"
    assert first(verdict).detail == f"a figure of the dial, {booked.dials[2]}"
    assert float(first(verdict).length) == pytest.approx(RIGHT, abs=0.2)
    assert verdict.probability("temperature") > 0.9


def test_another_chord_of_the_station_is_named():
    verdict = ADIT.judged(ADIT.today("B", "R-K"), chord="L-K")
    assert (first(verdict).cause, first(verdict).detail) == ("other chord", "fits R-K")


def test_another_tape_is_named():
    booked = figures(RIGHT, tape=OTHER_TAPE)
    verdict = ADIT.judged(booked)
    assert (first(verdict).cause, first(verdict).detail) == ("tape", "tape T2 instead of T1")
    assert float(first(verdict).length) == pytest.approx(RIGHT, abs=0.2)


def test_a_caught_tape_reads_long_and_scatters():
    booked = ADIT.today()
    dials = tuple(dial + Decimal(str(by)) for dial, by in zip(booked.dials, (1.35, 0.85, 1.15), strict=True))
    assert first(ADIT.judged(replace(booked, dials=dials))).cause == "seating"


def test_what_reads_short_is_no_caught_tape():
    booked = ADIT.today()
    for by in (2.6, 7.6):
        short = tuple(
            dial - Decimal(str(by + off)) for dial, off in zip(booked.dials, (0.25, -0.25, 0.05), strict=True)
        )
        verdict = ADIT.judged(replace(booked, dials=short))
        assert first(verdict).cause == "real movement"
        assert verdict.probability("seating") < 0.4


def test_copied_figures_are_named():
    known = ADIT.known()
    last = known.ground.chord(("B", "L-R")).segments[0].readings[-1]
    verdict = ADIT.judged(last.length.figures, known=known)
    assert (first(verdict).cause, first(verdict).detail) == ("date", "figures copied from the last survey")


def test_a_wrong_date_fits_another_time():
    fast = Adit(rate=-12.0)
    verdict = fast.judged(fast.today(), at=fast.now + timedelta(days=7))
    assert first(verdict).cause == "date"
    assert first(verdict).detail == "fits 7 days earlier"


def test_where_the_time_is_doubted_the_hole_is_too():
    """How far a chord may have moved rests on its time."""
    assert not ADIT.judged(ADIT.today()).hole_twice
    copied = ADIT.judged(ADIT.known().ground.chord(("B", "L-R")).segments[0].readings[-1].length.figures)
    assert (first(copied).cause, copied.hole_twice) == ("date", True)


def test_where_a_wrong_time_is_only_the_second_thought_the_hole_is_doubted_all_the_same():
    """Booked some hours after the last reading, with what a day has moved: the spread is that of hours."""
    fast = Adit(rate=-9.0)
    early = fast.now - timedelta(hours=19)
    dated = fast.judged(shifted(fast.today(), -2), at=early)
    assert first(dated).cause != "date"
    assert 0.05 < dated.probability("date") < 0.2
    assert not ask_twice(dated.expectation, float(TAPE.pitch))
    assert dated.hole_twice
    undated = Priors({cause: share for cause, share in ODDS.items() if cause != "date"})
    assert not fast.judged(shifted(fast.today(), -2), at=early, priors=undated).hole_twice


def test_a_chord_of_which_nothing_is_known_is_not_judged():
    from reduction.adit import EXTENSOMETER, STATIONS

    from fieldtui.reduction import judge

    bare = replace(STATIONS[1], anchors=(), chords=(replace(STATIONS[1].chords[2], length=None),))
    known = Known(route(stations=(bare,)), Ground.EMPTY)
    verdict = judge(known, bare, bare.chords[0], length(figures(5000.0)), TAPE, EXTENSOMETER, START)
    assert verdict.agrees
    assert verdict.expectation is None
    assert verdict.hole_twice
    assert verdict.probability("real movement") == 0.0
    assert "real movement" in [one.cause for one in verdict.explanations]


def test_what_would_be_left_is_never_less_than_nothing_by_less_than_it_shows():
    wrong = replace(ADIT.today(), hole=ADIT.today().hole + 1)
    told = [ADIT.judged(shifted(wrong, step / 100)).look_at for step in range(-9, 10, 2)]
    assert any("would leave +0.0" in one for one in told)
    assert not any("-0.0" in one for one in told)


def test_nothing_that_is_said_gives_a_dial_figure_away():
    """What to look at tells what would be left against the expected, never what the dial should show."""
    booked = ADIT.today()
    right = {str(dial) for dial in booked.dials} | {f"{booked.dials[0]:.1f}"}
    for wrong in (replace(booked, hole=booked.hole + 1), shifted(booked, 5), shifted(booked, -10)):
        verdict = ADIT.judged(wrong)
        assert not any(figure in verdict.look_at for figure in right)
