"""Ratios on one disk: what is compared is run in turns, and medians are taken."""

from __future__ import annotations

import os
import platform
import statistics
import time
from collections.abc import Callable, Mapping


def in_turns(runs: Mapping[str, Callable[[], object]], rounds: int) -> dict[str, float]:
    """Median seconds of each run."""
    taken: dict[str, list[float]] = {name: [] for name in runs}
    for _ in range(rounds):
        for name, run in runs.items():
            start = time.perf_counter()
            run()
            taken[name].append(time.perf_counter() - start)
    return {name: statistics.median(times) for name, times in taken.items()}


def machine() -> str:
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else 0
    return f"Python {platform.python_version()}, {platform.system()} {platform.machine()}, load {load:.1f}"
