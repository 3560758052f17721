"""Every system of units that a route may be in has all that is said of it, wherever it is said."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from fieldtui.cli import main
from fieldtui.laying.usual import usual
from fieldtui.reduction.priors import DIAL_BY
from fieldtui.route import SYSTEMS, Units
from harness.jobs import lay

UNITS = [*SYSTEMS.values()]


@pytest.mark.parametrize("units", UNITS, ids=[*SYSTEMS])
def test_its_figures_are_those_of_one_length(units: Units) -> None:
    metres = {"m": 1.0, "ft": 0.3048}  # 25.4 mm to the inch, exact since 1959: NIST Handbook 44, appendix C
    assert units.small_per_large / units.millimetre == pytest.approx(1000 * metres[units.large])


@pytest.mark.parametrize("units", UNITS, ids=[*SYSTEMS])
def test_it_has_figures_to_begin_with_and_steps_by_which_a_dial_is_misread(units: Units) -> None:
    assert usual(units.name).units is units
    # one figure of the dial off, in the first digit that moves by a whole one: between 0.5 and 15 mm
    assert all(0.5 <= abs(step) / units.millimetre <= 15 for step in DIAL_BY[units.small])


@pytest.mark.parametrize("units", UNITS, ids=[*SYSTEMS])
def test_a_route_in_it_is_laid_out_read_and_handed_over(tmp_path: Path, units: Units) -> None:
    path = lay(tmp_path)
    text = path.read_text().replace('units = "metric"', f'units = "{units.name}"')
    for mm in ("25.0", "50.0", "0.01", "0.05", "0.08", "0.03"):
        text = text.replace(f" {mm}\n", f" {Decimal(mm) * Decimal(str(units.millimetre))}\n")
    text = text.replace("[0.0, 50.0]", f"[0.0, {50 * units.millimetre}]").replace("11.6e-6", "6.4e-6")
    path.write_text(text)
    assert main(["check", str(path)]) < 2
    for to in ("csv", "ags", "xlsx", "parquet"):
        assert main(["export", str(path), "--to", to]) == 0
    assert f'"{units.small}"' in (tmp_path / "heading.ags").read_text()
