"""Figures of 1,000,000 readings: from a table with names, against the NumPy core on whole numbers, in one run.

    python -m tests.bench.history [readings]

600 invented chords, two segments each, read about once in three days. Loading a CSV is reported apart. The aim is that
names, times and columns cost no more than the figures themselves: at most twice the core.
"""

from __future__ import annotations

import io
import sys
import time
from collections.abc import Callable, Iterator
from statistics import median

import numpy as np
import pandas as pd

from fieldtui.history.compute import computed, lengths_of
from fieldtui.history.figures import moved
from tests.bench.figure import Figure, told

CHORDS, ROUNDS = 600, 5
NAMES = {"station": "category", "chord": "category", "survey": "category"}


def readings(count: int) -> pd.DataFrame:
    """An invented table, in order of time."""
    chance = np.random.default_rng(20310901)
    chord = np.arange(count) % CHORDS
    survey = np.arange(count) // CHORDS
    day = survey * 3 + chance.uniform(0, 0.4, count)
    length = 8000 + 5 * chord - 20 * (1 - np.exp(-day / 60)) + chance.normal(0, 0.1, count)
    return pd.DataFrame(
        {
            "station": pd.Categorical([f"S{one:03d}" for one in chord // 3]),
            "chord": pd.Categorical(np.array(["L-R", "L-K", "R-K"])[chord % 3]),
            "segment": np.where(survey > survey.max() // 2, 2, 1),
            "survey": pd.Categorical([f"survey {one}" for one in survey]),
            "time": pd.Timestamp("2020-01-01", tz="UTC") + pd.to_timedelta((day * 86_400).round(3), unit="s"),
            "length": length.round(4),
            "hole": chance.integers(300, 305, count),
            "own_u": 0.1,
            "hole_u": 0.03,
        }
    )


def timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def figures(quick: bool) -> Iterator[Figure]:
    yield from measured(100_000 if quick else 1_000_000)


def measured(count: int) -> Iterator[Figure]:
    table = readings(count)
    text = table.to_csv(index=False)
    load = timed(lambda: pd.read_csv(io.StringIO(text), dtype=NAMES, parse_dates=["time"]))
    lengths = lengths_of(table)
    pairs = [(timed(lambda: computed(table, 24.0)), timed(lambda: moved(lengths, 24.0))) for _ in range(ROUNDS)]
    from_table, core = (median(column) for column in zip(*pairs, strict=True))
    yield Figure(f"{count:,} readings of {CHORDS} chords: loading the CSV", load, unit="s")
    yield Figure(f"{count:,} readings: figures from the table", from_table, unit="s")
    yield Figure(f"{count:,} readings: the table beside the NumPy core", from_table / core, 2)


if __name__ == "__main__":
    list(told(measured(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000)))
