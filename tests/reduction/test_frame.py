"""The control frame: its length, the shift that is taken off, and its verdict."""

from __future__ import annotations

from decimal import Decimal, localcontext
from math import sqrt

import pytest
from msgspec.structs import replace

from fieldtui.reduction import Figures, Length, Source, change, covariance, frame_shift, frame_verdict, reduce_frame


@pytest.fixture(scope="module")
def framed(tape, extensometer, uncertainty, control):
    counted = iter(range(10**9))

    def read(dial: str, temperature: str = "20", *, hole: int = 199, **more: str) -> Length:
        figures = Figures(hole, (Decimal(dial),) * 3, Decimal(temperature))
        told = replace(control, **{name: Decimal(value) for name, value in more.items()})
        return reduce_frame(figures, tape, extensometer, told, uncertainty, reading=("frame", next(counted)))

    return read


def test_a_frame_of_the_tape_s_steel_reads_the_same_at_any_temperature(framed):
    cold, warm = framed("25.00", "5"), framed("25.00", "20")
    assert cold.value == pytest.approx(warm.value, abs=Decimal("0.0002")), "but for the second order of the expansion"
    assert cold.frame_correction == Decimal("11.6e-6") * 15 * (5000 + cold.temperature_correction)


def test_its_own_expansion_is_taken_off_from_its_own_reference_temperature(framed):
    # the tape reads 5000 at its 20 degC; a frame of 17e-6 has its length at 10 degC
    length = framed("25.00", "20", expansion="17e-6", reference_temperature="10")
    assert length.frame_correction == Decimal("-0.85")
    assert length.value == Decimal("4999.15")


def test_a_frame_at_a_steady_temperature_is_a_length_like_any_other(framed):
    assert framed("25.00", "5", expansion="0").value == Decimal("5000") * (1 - 15 * Decimal("11.6e-6"))


def test_one_thermometer_serves_tape_and_frame(framed):
    assert framed("25", "12").terms["temperature"] == pytest.approx(0, abs=1e-5)
    steady = framed("25", "20", expansion="0").terms["temperature"]
    assert steady == pytest.approx(11.6e-6 * 5000 * 0.5)
    assert framed("25", "20", expansion="17e-6").terms["temperature"] == pytest.approx((17 - 11.6) * 1e-6 * 5000 * 0.5)


def test_the_shift_is_the_mean_of_start_and_end_minus_the_reference(framed):
    reference = [framed("25.00"), framed("25.04")]
    assert frame_shift(framed("25.10"), framed("25.14"), reference).value == Decimal("0.10")
    assert frame_shift(framed("25.10"), None, reference).value == Decimal("0.08")
    assert frame_shift(None, framed("25.14"), reference).value == Decimal("0.12")


def test_without_a_reading_or_a_reference_there_is_no_shift(framed):
    assert frame_shift(None, None, [framed("25")]) is None
    assert frame_shift(framed("25"), framed("25"), []) is None


def test_the_survey_that_gives_the_reference_is_not_shifted(framed):
    start = framed("25.00")
    shift = frame_shift(start, None, [start])
    assert (shift.value, shift.u) == (0, 0)


def test_a_mean_of_start_and_end_gains_against_one_of_them(framed):
    reference = [framed("25") for _ in range(4)]
    both, one = frame_shift(framed("25"), framed("25"), reference), frame_shift(framed("25"), None, reference)
    assert both.u / one.u == pytest.approx(sqrt(0.5 + 0.25) / sqrt(1 + 0.25), rel=1e-6)


def test_a_frame_of_another_length_hooks_another_hole(framed):
    shift = frame_shift(framed("25"), None, [framed("0", hole=200)])
    names = {source.name for source in shift.sources}
    assert names == {"control frame", "hole position", "expansion"}


def test_the_reference_cancels_in_a_change(framed, book):
    reference = [framed("25.00")]
    shifts = [frame_shift(framed("25.10"), framed("25.10"), reference) for _ in range(2)]
    later, earlier = (book(319, "20", frame=shift) for shift in shifts)
    moved = change(later, earlier)
    of_the_reference = {source.key for source in reference[0].sources}
    assert all(abs(source.effect) < 1e-12 for source in moved.sources if source.key in of_the_reference)
    # two surveys, each with the mean of two frames: u(F)^2 / 2 twice; the frame's steel is the tape's
    of_one = framed("25").terms
    expected = sqrt(of_one["repeatability"] ** 2 + of_one["reproducibility"] ** 2)
    assert moved.terms["control frame"] == pytest.approx(expected, rel=1e-3)


def test_all_chords_of_a_survey_share_its_frame(framed, book):
    reference = [framed("25.00")]
    first, second = (frame_shift(framed("25.10"), None, reference) for _ in range(2))
    one = change(book(319, "20", frame=second), book(319, "20", frame=first))
    other = change(book(99, "20", frame=second), book(99, "20", frame=first))
    assert covariance(one.sources, other.sources) == pytest.approx(one.terms["control frame"] ** 2, rel=1e-9)


def test_without_the_correction_chords_of_a_survey_share_nothing_at_one_temperature(book):
    one = change(book(319, "20"), book(319, "20"))
    other = change(book(99, "20"), book(99, "20"))
    assert covariance(one.sources, other.sources) == 0


def test_the_thread_s_own_decimal_context_changes_nothing(tape, extensometer, uncertainty, control):
    def worked_out():
        read = [
            reduce_frame(
                Figures(199, (Decimal(dial),), Decimal("11.37")), tape, extensometer, control, uncertainty, reading=n
            )
            for n, dial in enumerate(("25.01", "24.98", "25.1999"))
        ]
        verdict = frame_verdict(read[2], read[:1], Decimal("0.0999"), Decimal(0))
        return read, frame_shift(read[1], read[2], read[:1]), verdict

    usual = worked_out()
    with localcontext() as context:
        context.prec = 3
        assert worked_out() == usual


class TestVerdict:
    limit = Decimal("0.40")

    def test_within_beyond_and_cannot_tell(self, framed):
        reference = [framed("25.00")]
        expanded = 2 * change(framed("25"), reference[0]).u
        assert 0.2 < expanded < 0.3

        def state(dial: str) -> str:
            return frame_verdict(framed(dial), reference, self.limit, Decimal(2)).state

        assert state("25.10") == state("24.90") == "within"
        assert state("25.30") == state("24.50") == "cannot tell"
        assert state("25.90") == state("24.10") == "beyond"

    def test_just_the_limit_is_not_beyond_it(self, framed):
        now = framed("25.00")
        at_limit = replace(now, value=now.value + self.limit)
        verdict = frame_verdict(at_limit, [now], self.limit, Decimal(2))
        assert verdict.difference.u == 0
        assert (verdict.state, verdict.over_limit) == ("within", False)
        just_over = replace(now, value=now.value + self.limit + Decimal("0.001"))
        verdict = frame_verdict(just_over, [now], self.limit, Decimal(2))
        assert (verdict.state, verdict.over_limit) == ("beyond", True)

    def test_just_the_uncertainty_over_the_limit_cannot_be_told(self, framed):
        reference = replace(framed("25.00"), sources=())
        now = replace(reference, value=reference.value + Decimal("0.75"), sources=(Source("any", ("any",), 0.125),))
        assert frame_verdict(now, [reference], Decimal("0.5"), Decimal(2)).state == "cannot tell"

    def test_the_plain_comparison_leaves_the_uncertainty_aside(self, framed):
        verdict = frame_verdict(framed("25.45"), [framed("25.00")], self.limit, Decimal(2))
        assert (verdict.state, verdict.over_limit) == ("cannot tell", True)
