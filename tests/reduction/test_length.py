"""A reading to a length: every term of the sum, every term of the budget."""

from __future__ import annotations

from decimal import Decimal, localcontext
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from fieldtui.reduction import Figures, FrameShift, Source, reduce


def test_raw_is_hole_distance_and_dial(book):
    length = book(319, "20.11")
    assert (length.hole_distance, length.dial, length.raw) == (Decimal(7975), Decimal("20.11"), Decimal("7995.11"))
    assert length.value == length.raw
    assert (length.tape, length.extensometer, length.dial_sign) == ("T1", "E1", 1)


def test_a_dial_that_subtracts(book, extensometer):
    length = book(319, "20.11", extensometer=replace(extensometer, dial="subtracts"))
    assert (length.raw, length.dial_sign) == (Decimal("7954.89"), -1)


def test_a_warm_tape_reads_short_so_the_correction_is_added(book):
    # 11.6e-6 x 8000 x 10 = 0.928, of the whole length and not of the hole distance
    assert book(319, "25", "30").temperature_correction == Decimal("0.928")
    assert book(319, "25", "10").value == Decimal("7999.072")


def test_the_calibration_table_takes_the_place_of_the_pitch(book, tape):
    measured = replace(tape, table={319: Decimal("7975.04")})
    assert book(319, "20.11", tape=measured).raw == Decimal("7995.15")


def test_a_hole_that_is_not_there(book):
    with pytest.raises(KeyError):
        book(601, "20.11")


def test_the_mean_is_taken_of_repeats_that_agree_and_the_median_otherwise(book):
    assert book(319, "20.10 20.13 20.10").dial == Decimal("20.11")
    assert book(319, "20.10 25.13 20.12").dial == Decimal("20.12")


def test_the_shift_of_the_frame_is_taken_off(book):
    length = book(319, "20.11", frame=FrameShift(Decimal("0.12"), ()))
    assert (length.frame_correction, length.value) == (Decimal("-0.12"), Decimal("7994.99"))


def test_each_term_of_the_budget_by_name(book):
    length = book(319, "25.00", "10")
    assert dict(length.terms) == pytest.approx(
        {
            "repeatability": 0.05 / sqrt(3),
            "reproducibility": 0.08,
            "hole position": 0.03,
            "temperature": 11.6e-6 * 8000 * 0.5,
            "expansion": 8000 * 10 * 0.5e-6,
            "temperature x expansion": 8000 * 0.5 * 0.5e-6,
        },
        rel=1e-9,
    )
    assert length.u == pytest.approx(sqrt(sum(term**2 for term in length.terms.values())), rel=1e-12)


def test_the_effect_of_the_steel_carries_its_sign(book):
    def effect(temperature: str) -> float:
        return next(s.effect for s in book(319, "25", temperature).sources if s.name == "expansion")

    assert effect("10") == pytest.approx(-0.04)
    assert effect("30") == pytest.approx(0.04)


def test_at_the_reference_temperature_an_unknown_steel_still_counts(book):
    terms = book(319, "25", "20").terms
    assert terms["expansion"] == 0
    assert terms["temperature x expansion"] > 0


def test_the_frame_counts_in_the_budget_with_its_sign(book):
    shift = FrameShift(
        Decimal(0), (Source("control frame", ("frame",), 0.1), Source("hole", ("hole position", "T1", 319), 0.03))
    )
    length = book(319, "25", frame=shift)
    assert length.terms["control frame"] == pytest.approx(0.1)
    assert length.terms["hole position"] == pytest.approx(0), "the frame was hooked at the same hole"


@given(
    hole=st.integers(1, 600),
    dials=st.lists(st.decimals(0, 50, places=3), min_size=1, max_size=1),
    temperature=st.decimals(-20, 40, places=2),
)
def test_the_value_is_exact(tape, extensometer, uncertainty, hole, dials, temperature):
    """One figure, so that nothing is divided: the length is the decimal sum to its last digit."""
    length = reduce(Figures(hole, tuple(dials), temperature), tape, extensometer, uncertainty, reading=0)
    raw = 25 * hole * 1000 + int(dials[0] * 1000)
    assert length.value * 10**12 == raw * 10**9 + 116 * raw * (int(temperature * 100) - 2000)


def test_the_thread_s_own_decimal_context_changes_nothing(book):
    usual = book(319, "20.10 20.13 20.11", "11.37", reading=7)
    with localcontext() as context:
        context.prec = 4
        context.Emax = 20
        assert book(319, "20.10 20.13 20.11", "11.37", reading=7) == usual
