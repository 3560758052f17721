"""A table of lengths to the same table with its figures: names to numbers, numbers to `figures`, figures to columns.

table: station, chord, segment, survey, time, length … ── computed ──► change, since_baseline, rate, level beside
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd

from fieldtui.history.figures import ABOVE, Bools, Floats, Ints, Lengths, Moved, level_state, moved
from fieldtui.route import Level

STATES = ("below", "cannot tell", "above")
NEEDED = ("station", "chord", "segment", "survey", "time", "length")
"""Columns that a table must have. May have: counts, baseline (else the first of a segment that counts), own_u, hole,
hole_u, expansion."""


def computed(
    table: pd.DataFrame, over_hours: float, levels: Sequence[Level] = (), coverage: float = 2.0
) -> pd.DataFrame:
    """The table with `change`, `since_baseline`, `rate`, their `_u`, and for levels `level` and `level_name`.

    `KeyError` for a column that is missing. Rows keep their order.
    """
    figures = moved(lengths_of(table), over_hours)
    made = table.assign(**figures._asdict())
    if levels:
        state, name = _level(figures, levels, coverage)
        made["level"] = pd.Categorical.from_codes(state, categories=list(STATES))
        made["level_name"] = pd.Categorical.from_codes(name, categories=[level.name for level in levels])
    return made


def lengths_of(table: pd.DataFrame) -> Lengths:
    """The table's columns as arrays, names as numbers."""
    segment = _numbers([table[name] for name in ("station", "chord", "segment")])
    time = table["time"].dt.as_unit("us").astype("int64").to_numpy()
    nothing = np.zeros(len(table))
    counts = _column(table, "counts", np.ones(len(table), dtype=bool))
    return Lengths(
        segment=segment,
        time=time,
        survey=_codes(table["survey"])[0],
        length=table["length"].to_numpy(dtype=float),
        counts=counts,
        baseline=_column(table, "baseline", None) if "baseline" in table else _firsts(segment, time, counts),
        own_u=_column(table, "own_u", nothing),
        hole=_column(table, "hole", np.zeros(len(table), dtype=np.int64)),
        hole_u=_column(table, "hole_u", nothing),
        expansion=_column(table, "expansion", nothing),
    )


def _column(table: pd.DataFrame, name: str, otherwise: Any) -> Any:
    return table[name].to_numpy() if name in table else otherwise


def _codes(column: pd.Series) -> tuple[Ints, int]:
    if isinstance(column.dtype, pd.CategoricalDtype):
        return column.cat.codes.to_numpy().astype(np.int64), len(column.cat.categories)
    values = column.to_numpy()
    if values.dtype.kind in "iu" and len(values) and values.min() >= 0 and values.max() < len(values):
        return values.astype(np.int64), int(values.max()) + 1
    codes, names = pd.factorize(column)
    return codes.astype(np.int64), len(names)


def _numbers(columns: Sequence[pd.Series]) -> Ints:
    """One number, from 0 without gaps, for each combination that occurs."""
    together = np.zeros(len(columns[0]), dtype=np.int64)
    size = 1
    for column in columns:
        codes, count = _codes(column)
        together = together * count + codes
        size *= count
    used = np.bincount(together, minlength=size) > 0
    return np.asarray((np.cumsum(used) - 1)[together])


def _firsts(segment: Ints, time: Ints, counts: Bools) -> Bools:
    """The first reading of each segment that counts."""
    order = np.lexsort((time, ~counts, segment))
    ordered = segment[order]
    begins = np.append(True, ordered[1:] != ordered[:-1])[: len(order)]
    first = np.zeros(len(order), dtype=bool)
    first[order[begins]] = True
    return first & counts


def _level(figures: Moved, levels: Sequence[Level], coverage: float) -> tuple[Any, Any]:
    """The most severe level that is above, else the most severe that cannot be told, else below and none."""
    state = np.zeros(len(figures.change), dtype=np.int8)
    name = np.full(len(figures.change), -1, dtype=np.int8)
    for place, level in enumerate(levels):
        told = np.zeros_like(state)
        for value, u, limit in _limits(figures, level):
            told = np.maximum(told, level_state(value, coverage * u, limit))
        higher = (told > 0) & ((told == ABOVE) | (state < ABOVE))
        state, name = np.where(higher, told, state), np.where(higher, place, name)
    return state, name


def _limits(figures: Moved, level: Level) -> list[tuple[Floats, Floats, float]]:
    asked = (
        (-figures.since_baseline, figures.since_baseline_u, level.closing),
        (figures.since_baseline, figures.since_baseline_u, level.opening),
        (-figures.rate, figures.rate_u, level.rate),
    )
    return [(value, u, float(limit)) for value, u, limit in asked if limit is not None]
