"""The temperature correction of a steel tape against printed examples.

correction = expansion x length x (T - Tref), added to what the tape reads.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from fieldtui.reduction import Figures, Length, reduce
from fieldtui.route.model import Extensometer, Tape, Uncertainty

EXACT_UNCERTAINTY = Uncertainty(Decimal(0), Decimal(0), Decimal(0))


def taped(length: str, temperature: str, *, expansion: str, reference: str) -> Length:
    """A tape whose first hole lies at the printed length, with the dial at zero."""
    tape = Tape("T", Decimal(1), 1, Decimal(length), 1, Decimal(expansion), Decimal(0), Decimal(reference))
    body = Extensometer("E", "D", (Decimal(0), Decimal(50)), Decimal("0.01"), "adds", Decimal("0.05"))
    return reduce(Figures(1, (Decimal(0),), Decimal(temperature)), tape, body, EXACT_UNCERTAINTY, reading=0)


def test_a_cold_tape_in_feet():
    """Surveying lecture, printed: 368.50 ft taped at 22 degF, standard at 68 degF, 6.5e-6 per degF: -0.11 ft."""
    correction = taped("368.50", "22", expansion="6.5e-6", reference="68").temperature_correction
    assert correction == pytest.approx(Decimal("-0.11"), abs=Decimal("0.005"))
    assert correction == Decimal("-0.1101815")


def test_a_cold_tape_in_metres():
    """Physics text, printed example: 65.175 m at 3 degC, true at 20 degC, 11e-6 per degC: 12.2 mm too long."""
    length = taped("65175", "3", expansion="11e-6", reference="20")
    assert length.temperature_correction == pytest.approx(Decimal("-12.2"), abs=Decimal("0.05"))
    assert length.temperature_correction == Decimal("-12.187725")
    assert length.value < length.raw, "a cold tape is short and reads long"


def test_the_rule_of_thumb():
    """US Navy, *Engineering Aid Basic*: 100 ft of steel changes by about 0.01 ft for 15 degF."""
    correction = taped("100", "83", expansion="6.45e-6", reference="68").temperature_correction
    assert correction == pytest.approx(Decimal("0.01"), rel=Decimal("0.05"))


def test_the_expansion_of_tape_steel_in_both_degrees():
    """NBS tape-calibration circulars: 0.00000645 per degF, which is 11.61e-6 per degC: one tape, one correction."""
    fahrenheit = taped("10000", "86", expansion="6.45e-6", reference="68").temperature_correction
    celsius = taped("10000", "30", expansion="11.61e-6", reference="20").temperature_correction
    assert fahrenheit == celsius == Decimal("1.161")
