"""After how many surveys a failing instrument is noticed, by the frame's own chart and by the route's limit alone.

    python -m tests.bench.instrument [--seeds 1000] [--first-seed 1]

An invented year: a first set of surveys in which nothing is wrong, then 52 weekly ones. The frame is read at the start
and at the end of each. The route states 0.05 mm a repeat, 0.08 mm between surveys, a limit of 0.25 mm; one instrument
scatters as stated, the other about half of it, as good ones do. Three stories: nothing happens; the tape stretches
0.02 mm a week; the zero slips 0.30 mm for one survey, the tenth. Every reading goes through `reduction.chart.Chart` and
the same comparisons as `reduction.frame_proof`, on plain floats. `read again once`: where a reading fails, the frame is
read once more, as the screen asks for, and that reading counts; its scatter is taken to be its own.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import sqrt
from random import Random
from statistics import median

from fieldtui.reduction.chart import SET, Chart
from fieldtui.reduction.frame_proof import CHANCE, GROSS
from tests.bench.figure import Figure

START = datetime(2031, 1, 6, tzinfo=UTC)
WEEKS = 52
LIMIT, STEP = 0.25, 0.01
STATED = (0.05, 0.08)
"""Standard deviations, mm: of one repeat, and between surveys."""
INSTRUMENTS = {"an instrument that scatters as the route states": STATED, "one that scatters half of it": (0.04, 0.03)}
SLIPS_IN = 10
Story = Callable[[int], float]
RULES = (
    "the route's limit alone",
    "individuals",
    "weighted mean",
    "end against start",
    "all of them",
    "all, read again once",
)


def nothing(week: int) -> float:
    return 0.0


def stretching(week: int) -> float:
    return 0.02 * week


def slipped(week: int) -> float:
    return 0.30 if week == SLIPS_IN else 0.0


@dataclass(frozen=True)
class Year:
    """Which rule noticed which surveys, counted from 1 after the set."""

    noticed: dict[str, list[int]]

    def first(self, rule: str, since: int = 1) -> int | None:
        return next((week for week in self.noticed[rule] if week >= since), None)


def spread(scatter: tuple[float, float]) -> float:
    """Standard deviation of one reading of three repeats."""
    return sqrt(scatter[1] ** 2 + scatter[0] ** 2 / 3)


def reading(chance: Random, off: float, sd: float) -> float:
    """The frame's length, mm about its own, rounded as a mean of three dial figures is."""
    scatter = chance.gauss(0, sd)
    return round((off + scatter) / (STEP / 3)) * STEP / 3


def year(seed: int, story: Story, sd: float, size: int = SET) -> Year:
    """One instrument through the set and the year after it."""
    chance = Random(f"instrument/{seed}")
    chart = Chart(size=size, least_sigma=STEP, widest=GROSS * LIMIT)
    reference: float | None = None
    noticed: dict[str, list[int]] = {rule: [] for rule in RULES}
    week = 0
    while week < WEEKS:
        frozen = chart.limits is not None
        week += frozen
        off = story(week) if frozen else 0.0
        start, end = reading(chance, off, sd), reading(chance, off, sd)
        if reference is None:
            reference = (start + end) / 2
        at = START + timedelta(weeks=len(chart.points))
        if frozen:
            found = list(told(chart, at, start, end, reference))
            if found and set(told(chart, at, *(reading(chance, off, sd) for _ in (1, 2)), reference)):
                found.append(RULES[5])
            for rule in found:
                noticed[rule].append(week)
        chart = chart.after(at, "", start)
    return Year(noticed)


def told(chart: Chart, at: datetime, start: float, end: float, reference: float) -> Iterator[str]:
    """The rules by which a survey would be in doubt or marked."""
    points = [chart.judge(at, "", value) for value in (start, end)]
    found = {
        RULES[0]: any(abs(value - reference) > LIMIT for value in (start, end)),
        RULES[1]: any(point.outside for point in points),
        RULES[2]: points[0].drifted,
        RULES[3]: abs(end - start) > max(LIMIT, CHANCE * sqrt(2) * spread(STATED)),
    }
    yield from (rule for rule, fails in found.items() if fails)
    if any(found.values()):
        yield RULES[4]


def quantile(values: Sequence[float], share: float) -> float:
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def _surveys(found: Sequence[int | None], share: float) -> str:
    """A quantile over all seeds; those that never noticed count as later than all others."""
    value = quantile([float("inf") if one is None else float(one) for one in found], share)
    return f"{value:.0f}" if value < float("inf") else f">{WEEKS}"


def report(seeds: range, size: int = SET) -> Iterator[str]:
    """The tables."""
    yield f"{len(seeds)} seeds from {seeds[0]}, limits frozen from {size} surveys, then {WEEKS} weekly ones"
    for name, scatter in INSTRUMENTS.items():
        sd = spread(scatter)
        yield f"\n{name}: {sd:.3f} mm a reading of the frame"
        yield from _calm([year(seed, nothing, sd, size) for seed in seeds])
        yield from _drift([year(seed, stretching, sd, size) for seed in seeds])
        yield from _slip([year(seed, slipped, sd, size) for seed in seeds])


def _calm(years: Sequence[Year]) -> Iterator[str]:
    yield "  nothing happens: surveys with a false alarm, of a hundred; years without any"
    for rule in RULES:
        counts = [len(one.noticed[rule]) for one in years]
        free = sum(count == 0 for count in counts) / len(counts)
        yield f"    {rule:<24} {100 * sum(counts) / WEEKS / len(counts):6.2f}   {100 * free:5.1f} %"


def _drift(years: Sequence[Year]) -> Iterator[str]:
    yield "  the tape stretches 0.02 mm a week: surveys until it is noticed, and how far the frame is off by then"
    yield f"    {'':<24} {'median':>7} {'9 in 10':>8} {'mm then':>8}"
    for rule in RULES:
        found = [one.first(rule) for one in years]
        noticed = [one for one in found if one is not None]
        far = f"{0.02 * median(noticed):.2f}" if noticed else "-"
        yield f"    {rule:<24} {_surveys(found, 0.5):>7} {_surveys(found, 0.9):>8} {far:>8}"


def _slip(years: Sequence[Year]) -> Iterator[str]:
    yield f"  the zero slips 0.30 mm for one survey, the {SLIPS_IN}th: noticed in that survey"
    for rule in RULES:
        in_it = sum(SLIPS_IN in one.noticed[rule] for one in years) / len(years)
        yield f"    {rule:<24} {100 * in_it:5.1f} %"


def figures(quick: bool) -> Iterator[Figure]:
    """All rules together, of the instrument that scatters as stated, beside the route's limit alone."""
    seeds = range(1, 101 if quick else 1001)
    sd = spread(STATED)
    alone, together = RULES[0], RULES[4]
    calm = [year(seed, nothing, sd) for seed in seeds]
    yield Figure(
        "surveys falsely in doubt or marked",
        100 * _mean([len(one.noticed[together]) / WEEKS for one in calm]),
        unit="%",
    )
    stretched = [year(seed, stretching, sd) for seed in seeds]
    late = {rule: median(one.first(rule) or WEEKS + 1 for one in stretched) for rule in (alone, together)}
    yield Figure("tape stretches 0.02 mm a week: surveys until noticed, median", late[together], late[alone])
    slips = [year(seed, slipped, sd) for seed in seeds]
    seen = {rule: 100 * _mean([SLIPS_IN in one.noticed[rule] for one in slips]) for rule in (alone, together)}
    yield Figure("zero slips 0.30 mm for one survey: noticed in it", seen[together], seen[alone], "%", True)


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--seeds", type=int, default=1000)
    parser.add_argument("--first-seed", type=int, default=1)
    parser.add_argument("--set", type=int, default=SET, help="surveys that the limits are frozen from")
    given = parser.parse_args()
    for line in report(range(given.first_seed, given.first_seed + given.seeds), given.set):
        print(line)


if __name__ == "__main__":
    main()
