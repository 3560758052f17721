"""The figures of `tests.bench.misreading` that something is asked of, for the table of all benchmarks."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence

from tests.bench.figure import Figure
from tests.bench.misreading.__main__ import OFTEN, REPORTED, WORLDS
from tests.bench.misreading.figures import coverage, rate
from tests.bench.misreading.ground import REGIMES
from tests.bench.misreading.probabilities import bins_of, pooled, stated
from tests.bench.misreading.report import FIFTH, MISREADINGS, SETTLED
from tests.bench.misreading.run import ODDS, Outcome, outcomes

CLEAN = {"calm": 0.5, "normal": 0.5, "squeezing": 2.0}


def figures(quick: bool) -> Iterator[Figure]:
    """On the seed of the manual."""
    rates = {label: OFTEN.get(label, 0.22) for label in ODDS if label != "as booked"}
    found = outcomes(REPORTED, 16 if quick else WORLDS, rates, min(2, os.cpu_count() or 1))
    for regime in REGIMES:
        yield from _of_ground(regime, [one for one in found if one.regime == regime])
    yield Figure("more than five uncertainties off and `as booked`", sum(one.broken for one in found), 0)
    bins = bins_of(pooled(stated(found)))
    yield Figure(
        f"stated probabilities: bins that hold, of {len(bins)}", sum(b.holds for b in bins), len(bins), "", True
    )
    weight = sum(one.weight for one in found)
    yield Figure("one verdict", 1000 * sum(one.weight * one.seconds for one in found) / weight, 1, "ms")


def _of_ground(regime: str, found: Sequence[Outcome]) -> Iterator[Figure]:
    clean = [one for one in found if one.label == "as booked"]
    covered, rms, _, _ = coverage(clean)
    yield Figure(f"{regime}: 95 % interval of what is expected covers", 100 * covered.value, 93, "%", True)
    yield Figure(f"{regime}: residuals over their stated spread, RMS", rms, 1.1)
    clear = [one for one in found if one.earlier >= SETTLED and one.true_spread < FIFTH]
    by_one = rate(one.doubted for one in clear if one.label == "hole by one")
    least = 97.0 if regime == "squeezing" else 99.8
    value = by_one.value if regime == "squeezing" else by_one.low
    bound = "" if regime == "squeezing" else ", lower bound"
    yield Figure(f"{regime}: hole by one caught{bound}, {by_one.n} cases", 100 * value, least, "%", True)
    big = [one for one in clear if one.label in MISREADINGS and one.off_by > 5]
    caught = rate(one.doubted for one in big)
    asked = 99.0 if regime == "normal" else None
    yield Figure(
        f"{regime}: misreadings over five spreads caught, {caught.n} cases", 100 * caught.value, asked, "%", True
    )
    doubted = rate(one.doubted for one in clear if one.label == "as booked")
    yield Figure(f"{regime}: clean doubted, {doubted.n} cases", 100 * doubted.value, CLEAN[regime], "%")
