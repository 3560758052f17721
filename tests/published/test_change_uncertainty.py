"""The uncertainty of a change against an independent propagation, and against the formula written out.

GTC (GUM Tree Calculator, Measurement Standards Laboratory of New Zealand) propagates the same measurement model with
uncertain numbers. Every hole, thermometer reading, tension and steel is one uncertain number there; what is shared is
shared by being the same number, so correlations are found by a way of their own. GTC is of first order: the second
order term is left out of the comparison. The reduction takes 1 + expansion x (T - Tref) as 1 in the effect of hole
and dial: hence 0.1 %.
"""

from __future__ import annotations

import random
from decimal import Decimal
from math import sqrt

import GTC
import pytest

from fieldtui.reduction import Figures, change, frame_shift, reduce, reduce_frame, since_baseline
from fieldtui.reduction.sources import SECOND_ORDER, standard_uncertainty
from fieldtui.route.model import Control, Extensometer, Tape, Uncertainty

PRECISION = 1e-3


def figure(drawn: random.Random, low: float, high: float, decimals: int) -> Decimal:
    return Decimal(f"{drawn.uniform(low, high):.{decimals}f}")


class Job:
    """One invented job: a tape, an extensometer, a frame; every reading kept twice, ours and GTC's."""

    def __init__(self, seed: int) -> None:
        self.drawn = drawn = random.Random(seed)
        expansion, u_expansion = figure(drawn, 1, 18, 2).scaleb(-6), figure(drawn, 0.1, 1, 2).scaleb(-6)
        self.tape = Tape("T", Decimal(25), 1, Decimal(25), 1200, expansion, u_expansion, Decimal(20))
        s_r = figure(drawn, 0.02, 0.1, 3)
        side = drawn.choice(["adds", "subtracts"])
        self.body = Extensometer("E", "D", (Decimal(0), Decimal(50)), Decimal("0.01"), side, s_r)
        self.control = Control("F", Decimal(5000), Decimal(1), True, figure(drawn, 0, 18, 2).scaleb(-6), Decimal(15))
        self.stated = Uncertainty(figure(drawn, 0.1, 1, 2), figure(drawn, 0.02, 0.2, 3), figure(drawn, 0.01, 0.1, 3))
        self.alpha = GTC.ureal(float(expansion), float(u_expansion))
        self.holes: dict[int, object] = {}
        self.readings = 0

    def figures(self, hole: int) -> Figures:
        """Repeats that agree: one to five figures close together."""
        dial = figure(self.drawn, 1, 49, 2)
        repeats = tuple(dial + self.drawn.choice([0, 1]) * Decimal("0.01") for _ in range(self.drawn.randint(1, 5)))
        return Figures(hole, repeats, figure(self.drawn, -10, 35, 1))

    def _theirs(self, figures: Figures):
        if figures.hole not in self.holes:
            self.holes[figures.hole] = GTC.ureal(float(25 * figures.hole), float(self.stated.hole))
        dials = [GTC.ureal(float(dial), float(self.body.repeatability)) for dial in figures.dials]
        tension = GTC.ureal(0, float(self.stated.reproducibility))
        degrees = GTC.ureal(float(figures.temperature), float(self.stated.temperature))
        sign = 1 if self.body.dial == "adds" else -1
        raw = self.holes[figures.hole] + sign * sum(dials) / len(dials) + tension
        return raw + self.alpha * raw * (degrees - 20), degrees

    def chord(self, hole: int, frame=(None, None)):
        """One reading of a chord: our length, and GTC's uncertain number for it."""
        self.readings += 1
        figures, (our_frame, their_frame) = self.figures(hole), frame
        ours = reduce(figures, self.tape, self.body, self.stated, reading=self.readings, frame=our_frame)
        theirs, _ = self._theirs(figures)
        return ours, theirs if their_frame is None else theirs - their_frame

    def framed(self, hole: int):
        """One reading of the frame."""
        self.readings += 1
        figures = self.figures(hole)
        ours = reduce_frame(figures, self.tape, self.body, self.control, self.stated, reading=self.readings)
        theirs, degrees = self._theirs(figures)
        return ours, theirs - float(self.control.expansion) * theirs * (degrees - 15)


def agree(ours, theirs) -> None:
    first_order = standard_uncertainty(source for source in ours.sources if source.name != SECOND_ORDER)
    assert float(ours.value) == pytest.approx(GTC.value(theirs), abs=1e-9)
    assert first_order == pytest.approx(GTC.uncertainty(theirs), rel=PRECISION)


@pytest.mark.parametrize("seed", range(40))
def test_a_length_and_a_change_with_the_same_and_with_another_hole(seed):
    job = Job(seed)
    hole = job.drawn.randint(40, 1199)
    (first, their_first), (same, their_same), (other, their_other) = (
        job.chord(hole),
        job.chord(hole),
        job.chord(hole + 1),
    )
    agree(first, their_first)
    agree(change(same, first), their_same - their_first)
    agree(change(other, first), their_other - their_first)


@pytest.mark.parametrize("seed", range(40))
def test_a_change_since_a_baseline_of_several_sets(seed):
    job = Job(1000 + seed)
    hole = job.drawn.randint(40, 1199)
    sets = [job.chord(hole + job.drawn.randint(0, 1)) for _ in range(job.drawn.randint(1, 5))]
    ours, theirs = [one for one, _ in sets], [one for _, one in sets]
    later, their_later = job.chord(hole)
    agree(since_baseline(later, ours), their_later - sum(theirs) / len(theirs))
    if len(sets) > 1:
        agree(since_baseline(ours[0], ours), theirs[0] - sum(theirs) / len(theirs))


@pytest.mark.parametrize("seed", range(40))
def test_a_change_with_the_frame_taken_off(seed):
    job = Job(2000 + seed)
    hole = job.drawn.randint(40, 1199)
    reference = [job.framed(199), job.framed(198)]
    lengths = []
    for _ in range(2):
        start, end = job.framed(199), job.framed(job.drawn.choice([198, 199]))
        ours = frame_shift(start[0], end[0], [one for one, _ in reference])
        theirs = (start[1] + end[1]) / 2 - sum(one for _, one in reference) / 2
        agree(ours, theirs)
        lengths.append(job.chord(hole, (ours, theirs)))
    (earlier, their_earlier), (later, their_later) = lengths
    agree(later, their_later)
    agree(change(later, earlier), their_later - their_earlier)


@pytest.mark.parametrize("same_hole", [True, False])
def test_the_formula_written_out(same_hole):
    """JCGM 100 5.1.2, worked out for a change with one tape and extensometer at equal lengths.

    u^2 = s_r^2 (1/n1 + 1/n2) + 2 u_repro^2 + [2 u_hole^2 unless the same hole] + 2 (alpha L)^2 u_T^2
    + (L (T2 - T1) u_alpha)^2, and of second order 2 (L u_T u_alpha)^2.
    """
    tape = Tape("T", Decimal(25), 1, Decimal(25), 600, Decimal("11.6e-6"), Decimal("0.5e-6"), Decimal(20))
    body = Extensometer("E", "D", (Decimal(0), Decimal(50)), Decimal("0.01"), "adds", Decimal("0.05"))
    stated = Uncertainty(Decimal("0.5"), Decimal("0.08"), Decimal("0.03"))
    first = Figures(319, (Decimal(25),) * 3, Decimal(8))
    second = Figures(319 if same_hole else 320, (Decimal(25 if same_hole else 0),) * 2, Decimal(17))
    earlier, later = (reduce(one, tape, body, stated, reading=n) for n, one in enumerate((first, second)))
    length, alpha, u_alpha, u_t = 8000, 11.6e-6, 0.5e-6, 0.5
    variance = 0.05**2 * (1 / 3 + 1 / 2) + 2 * 0.08**2 + 2 * (alpha * length * u_t) ** 2 + (length * 9 * u_alpha) ** 2
    variance += 0 if same_hole else 2 * 0.03**2
    variance += 2 * (length * u_t * u_alpha) ** 2
    assert change(later, earlier).u == pytest.approx(sqrt(variance), rel=1e-9)
