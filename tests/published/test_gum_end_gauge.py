"""The end-gauge calibration of JCGM 100:2008 (the GUM), annex H.1, through the program's own reduction.

l = lS + d - lS (dalpha theta + alphaS dtheta), all in nanometres here. The standard is the "hole distance", the
comparator's difference the "dial"; the tape's expansion is dalpha, nil with its uncertainty, and theta the departure
from the reference temperature. That is the model of a tape reading. The second pair, alphaS and dtheta, is a source
beside it.

Effective degrees of freedom (16 in the annex) are not worked out by the program: a route states standard
uncertainties and a coverage factor, and no degrees of freedom to combine.
"""

from __future__ import annotations

from decimal import Decimal
from math import hypot, sqrt

import pytest

from fieldtui.reduction import Figures, Length, Quantity, Source, combine, reduce
from fieldtui.reduction.sources import SECOND_ORDER, standard_uncertainty
from fieldtui.route.model import Extensometer, Tape, Uncertainty

STANDARD, U_STANDARD = Decimal(50_000_623), Decimal(25)
DIFFERENCE, S_COMPARISON = Decimal(215), Decimal(13)  # mean of five, s = 13 nm: 5.8 nm
U_COMPARATOR_RANDOM, U_COMPARATOR_SYSTEMATIC = 3.9, 6.7
U_DALPHA = 1e-6 / sqrt(3)
ALPHA_S, U_ALPHA_S = 11.5e-6, 2e-6 / sqrt(3)
THETA, U_THETA = Decimal("-0.1"), hypot(0.2, 0.5 / sqrt(2))
U_DTHETA = 0.05 / sqrt(3)


@pytest.fixture(scope="module")
def gauge() -> Length:
    tape = Tape("S", Decimal(1), 1, STANDARD, 1, Decimal(0), Decimal(U_DALPHA), Decimal(20))
    comparator = Extensometer("C", "C", (Decimal(0), Decimal(500)), Decimal("0.1"), "adds", S_COMPARISON)
    reproducibility = Decimal(hypot(U_COMPARATOR_RANDOM, U_COMPARATOR_SYSTEMATIC))
    stated = Uncertainty(Decimal(U_THETA), reproducibility, U_STANDARD)
    return reduce(Figures(1, (DIFFERENCE,) * 5, 20 + THETA), tape, comparator, stated, reading=0)


@pytest.fixture(scope="module")
def calibrated(gauge) -> Quantity:
    length = float(STANDARD)
    second_pair = (
        Source("dtheta", ("dtheta",), length * ALPHA_S * U_DTHETA),
        Source(SECOND_ORDER, ("alphaS dtheta",), length * U_ALPHA_S * U_DTHETA),
    )
    return combine([(1, gauge), (1, Quantity(Decimal(0), second_pair))])


def test_the_length(calibrated):
    assert calibrated.value == Decimal(50_000_838)


def test_the_terms_of_table_h1(gauge, calibrated):
    terms = calibrated.terms
    assert round(U_THETA, 2) == 0.41
    assert terms["hole position"] == 25
    assert hypot(terms["repeatability"], terms["reproducibility"]) == pytest.approx(9.7, abs=0.05)
    assert terms["repeatability"] == pytest.approx(5.8, abs=0.05)
    assert terms["temperature"] == 0
    assert terms["expansion"] == pytest.approx(2.9, abs=0.05)
    assert terms["dtheta"] == pytest.approx(16.6, abs=0.05)
    assert gauge.terms[SECOND_ORDER] == pytest.approx(11.7, abs=0.2)


def test_the_combined_uncertainty_of_first_order(calibrated):
    first_order = [source for source in calibrated.sources if source.name != SECOND_ORDER]
    assert standard_uncertainty(first_order) == pytest.approx(32, abs=0.5)


def test_the_combined_uncertainty_with_second_order_terms(calibrated):
    assert calibrated.u == pytest.approx(34, abs=0.5)
