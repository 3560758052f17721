"""Figures of 1,000,000 readings: from a table with names, against the NumPy core on whole numbers, in one run.

    python tests/bench/history.py [readings]

600 invented chords, two segments each, read about once in three days. Loading a CSV is reported apart. The aim is that
names, times and columns cost no more than the figures themselves: at most twice the core.
"""

from __future__ import annotations

import io
import sys
import time
from collections.abc import Callable
from statistics import median

import numpy as np
import pandas as pd

from fieldtui.history.compute import computed, lengths_of
from fieldtui.history.figures import moved

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


def main(count: int) -> None:
    table = readings(count)
    text = table.to_csv(index=False)
    load = timed(lambda: pd.read_csv(io.StringIO(text), dtype=NAMES, parse_dates=["time"]))
    lengths = lengths_of(table)
    pairs = [(timed(lambda: computed(table, 24.0)), timed(lambda: moved(lengths, 24.0))) for _ in range(ROUNDS)]
    from_table, core = (median(column) for column in zip(*pairs, strict=True))
    print(f"{count} readings of {CHORDS} chords")
    print(f"loading the CSV:          {load:.2f} s")
    print(f"figures from the table:   {from_table:.2f} s")
    print(f"the NumPy core alone:     {core:.2f} s")
    print(f"ratio:                    {from_table / core:.2f} (at most 2)")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000)
