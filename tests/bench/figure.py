"""One measured figure, beside what is asked of it; and many of them as a table.

A benchmark is a module with `figures(quick)`, which gives its figures one by one; `tests.bench` calls them all.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from contextlib import redirect_stdout
from dataclasses import dataclass
from importlib import import_module
from math import log
from statistics import linear_regression


@dataclass(frozen=True)
class Figure:
    """`limit` is the most that is asked, or with `at_least` the least; None where nothing is."""

    what: str
    value: float
    limit: float | None = None
    unit: str = ""
    at_least: bool = False

    @property
    def holds(self) -> bool:
        if self.limit is None:
            return True
        return self.value >= self.limit if self.at_least else self.value <= self.limit

    @property
    def cells(self) -> tuple[str, str, str, str, str]:
        """What, figure, limit, ratio to it, whether it holds."""
        figure = f"{shown(self.value)} {self.unit}".strip()
        if self.limit is None:
            return (self.what, figure, "", "", "")
        asked = f"{'>=' if self.at_least else '<='} {shown(self.limit)}"
        ratio = shown(self.value / self.limit) if self.limit else ""
        return (self.what, figure, asked, ratio, "holds" if self.holds else "MISSED")

    def __str__(self) -> str:
        what, figure, asked, ratio, holds = self.cells
        return f"{what:62} {figure:>12}  {asked:>9} {ratio:>7}  {holds}".rstrip()


def shown(value: float) -> str:
    """Four figures, and no power of ten."""
    return f"{value:.0f}" if abs(value) >= 1000 else f"{value:.4g}"


def slope(times: dict[int, float]) -> float:
    """The power of the size that a time grows with, by least squares in logarithms: 1 is in proportion."""
    return float(linear_regression([log(size) for size in times], [log(time) for time in times.values()]).slope)


def told(found: Iterable[Figure]) -> Iterator[Figure]:
    """Each figure printed as soon as it is there, for a benchmark that runs alone."""
    for figure in found:
        print(figure, flush=True)
        yield figure


def measured(module: str, quick: bool) -> list[Figure]:
    """The figures of one benchmark. It stands here so that a process of its own can be told to call it."""
    with redirect_stdout(sys.stderr):
        return list(import_module(module).figures(quick))


def table(named: Iterable[tuple[str, Figure]]) -> list[str]:
    """A table in Markdown."""
    rows = [("benchmark", "what", "figure", "asked", "ratio", ""), *((name, *one.cells) for name, one in named)]
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    lines = [
        "| " + " | ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) + " |" for row in rows
    ]
    lines.insert(1, "|" + "|".join("-" * (width + 2) for width in widths) + "|")
    return lines
