"""The table of all benchmarks: what it holds each figure against, and how growth is said."""

from __future__ import annotations

from importlib import import_module

import pytest

from tests.bench.__main__ import BENCHES
from tests.bench.figure import Figure, slope, table


def test_a_figure_at_its_limit_holds_and_one_beyond_it_does_not() -> None:
    assert Figure("time", 2.0, 2.0).holds
    assert not Figure("time", 2.01, 2.0).holds
    assert Figure("caught", 99.0, 99.0, "%", at_least=True).holds
    assert not Figure("caught", 98.9, 99.0, "%", at_least=True).holds
    assert Figure("noticed", 1e9).holds


def test_the_table_says_what_was_asked_and_by_how_much_it_is_missed() -> None:
    head, _, row = table([("log", Figure("append", 1.5, 1.25))])
    assert [cell.strip() for cell in row.strip("|").split("|")] == ["log", "append", "1.5", "<= 1.25", "1.2", "MISSED"]
    assert len(head) == len(row)


@pytest.mark.parametrize("power", [0.0, 0.5, 1.0, 2.0])
def test_a_slope_is_the_power_that_a_time_grows_with(power: float) -> None:
    assert slope({size: 0.02 * size**power for size in (10, 100, 1000)}) == pytest.approx(power)


@pytest.mark.parametrize("module", BENCHES.values())
def test_every_benchmark_of_the_table_gives_figures(module: str) -> None:
    assert callable(import_module(module).figures)
