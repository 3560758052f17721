"""Every system of units that a route may be in has all that is said of it, wherever it is said."""

from __future__ import annotations

from decimal import Decimal
from math import inf
from pathlib import Path
from types import MappingProxyType

import pytest
from msgspec.structs import replace

from fieldtui.cli import main
from fieldtui.laying.usual import usual
from fieldtui.movement.charts import least_span
from fieldtui.movement.planned import Conditions
from fieldtui.reduction import Figures, Priors, reduce, undoing
from fieldtui.reduction.fit import Temper, booked
from fieldtui.reduction.mixture import Mixture
from fieldtui.reduction.priors import DIAL_BY, ODDS
from fieldtui.route import METRIC, SYSTEMS, US, Units, load_route
from harness.jobs import lay

UNITS = [*SYSTEMS.values()]
CENTIMETRES = Units(
    "centimetres", "cm", "m", "degC", 100, 3, 0.1, (-40, 60), ("cm", "m"),
    (("centimetre", "centimetres"), ("metre", "metres")),
)  # fmt: skip
"""A system that no route may be in, to see what follows from its figures alone."""


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
        assert main(["export", str(path), "--to", to, "--as-of", "2031-05-04"]) == 1, "of no log at all"
    assert f'"{units.small}"' in (tmp_path / "heading.ags").read_text()


def test_a_further_system_plans_for_as_much_warmer_as_its_degree_says(tmp_path: Path) -> None:
    route = load_route(lay(tmp_path))
    warmer = [Conditions.of(replace(route, units=units)).warmer for units in (METRIC, US, CENTIMETRES)]
    assert warmer == [5, 10, 5]


def test_a_further_systems_charts_are_a_millimetre_high_at_least() -> None:
    assert [least_span(units) for units in (METRIC, US, CENTIMETRES)] == [1.0, 0.04, 0.1]


@pytest.mark.parametrize(
    ("units", "others"),
    [
        (METRIC, {"inches": 25.4}),
        (US, {"millimetres": 1 / 25.4}),
        (CENTIMETRES, {"millimetres": 0.1, "inches": 2.54}),
    ],
    ids=["metric", "US", "centimetres"],
)
def test_a_dial_may_have_been_marked_in_any_unit_but_the_routes_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, units: Units, others: dict[str, float]
) -> None:
    monkeypatch.setattr(undoing.odds, "DIAL_BY", MappingProxyType({**DIAL_BY, "cm": {}}))
    route = load_route(lay(tmp_path))
    tape, wide = route.tapes[0], replace(route.extensometers[0], dial_range=(Decimal(0), Decimal(1000)))
    shown = Figures(tape.first_hole, (Decimal(2),) * 3, tape.reference_temperature)
    length = reduce(shown, tape, wide, route.uncertainty, reading="one")
    anything = Mixture(((1.0, float(length.value), 1e10),))
    one = booked(length, tape, wide, units, anything, Temper(12.0, 1e4))
    ways = [way for way in undoing.dials(one, Priors(dict.fromkeys(ODDS, 1.0))) if way.detail.startswith("dial in ")]
    found = {way.detail.removeprefix("dial in "): 1 + length.dial_sign * (way.shift or -inf) / 2 for way in ways}
    assert found == pytest.approx(others)
