"""Worlds to outcomes: every booking judged, and what came of it kept as one row."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from multiprocessing import get_context
from time import thread_time

import numpy as np
from msgspec.structs import replace

from fieldtui.reduction import Verdict, judge, priors
from fieldtui.reduction.misreading import NEVER_BEYOND

from .case import Case
from .ground import REGIMES
from .instrument import EXTENSOMETER, TAPE
from .slips import share_of_small
from .world import World

TOLERANCE = 3.0
"""The practice beside it: a reading is doubted where it differs from the last by more than this, mm."""

ODDS: dict[str, float] = {
    "as booked": priors.ODDS["as booked"],
    "real movement": priors.ODDS["real movement"] * (1 - share_of_small()),
    "small movement": priors.ODDS["real movement"] * share_of_small(),
    "hole by one": priors.ODDS["hole"] * 0.78,
    "hole otherwise": priors.ODDS["hole"] * 0.22,
    "dial": priors.ODDS["dial"],
    "one repeat": priors.ODDS["one repeat"],
    "temperature": priors.ODDS["temperature"],
    "other chord": priors.ODDS["other chord"],
    "other station": priors.ODDS["other station"],
    "tape": priors.ODDS["tape"],
    "zero": priors.ODDS["zero"],
    "anchor": priors.ODDS["anchor"],
    "seating": priors.ODDS["seating"],
    "date": priors.ODDS["date"],
    "earlier reading": priors.ODDS["earlier reading"],
    "only reading": priors.ODDS["earlier reading"],
    "movement of 5 to 8": 0.0,
}
"""Odds of every label of the simulator: the documented ones, split as documented: those of the hole, and those of
sudden movement by its size, since what is less than 2 mm is looked for by nobody and yet has its odds. An earlier
reading that was wrong has two labels, the last of several and the only one. One label is looked at apart: sudden
movements of five to eight true spreads."""
MOVED = ("real movement", "small movement", "movement of 5 to 8")

CAUSE = {label: "hole" if label.startswith("hole") else label for label in ODDS} | {
    "small movement": "real movement",
    "movement of 5 to 8": "real movement",
    "only reading": "earlier reading",
}


@dataclass(frozen=True, slots=True)
class Outcome:
    """One booking and its verdict."""

    world: int
    regime: str
    label: str
    weight: float
    """Documented odds over how often it was tried; 0 in worlds that were tried with some labels only."""
    topped: bool
    """Of a world that was tried with some labels only, to make enough cases of them."""
    earlier: int
    true_spread: float
    off_by: float
    """Size of what the mistake leaves, in true spreads."""
    new_stage: bool
    asked: bool
    first: str
    again: str
    """The first explanation once the chord was read again, where it was; else nothing."""
    doubted: bool
    length_right: bool
    """The length that the first explanation implies is the clean one's, within 0.5 mm."""
    listed: tuple[tuple[str, float], ...]
    jump: float
    """Of the probability of real movement: that stated for a clean reading more than five standard uncertainties off,
    which is never `as booked`."""
    residual: float
    """The clean reading minus the expected, mm; of clean bookings only, else nan."""
    spread: float
    share: float
    """Share of the expectation's distribution that lies below the booked value."""
    twice: bool
    broken: bool
    """More than five standard uncertainties off and still `as booked`."""
    doubted_by_tolerance: bool
    seconds: float
    """Processor time of the verdict, the expectation included."""


def outcomes(seed: int, worlds: int, rates: dict[str, float], processes: int) -> list[Outcome]:
    """So many worlds of each regime, every reading tried so often with each label."""
    return _all([(seed, regime, i, rates, False) for i in range(worlds) for regime in REGIMES], processes)


def more_outcomes(
    seed: int, begun: int, worlds: int, wanted: dict[str, dict[str, float]], processes: int
) -> list[Outcome]:
    """So many further worlds after those begun, in each regime tried with the wanted labels only."""
    jobs = [
        (seed, regime, i, wanted[regime], True)
        for i in range(begun, begun + worlds)
        for regime in REGIMES
        if wanted[regime]
    ]
    return _all(jobs, processes)


_Job = tuple[int, str, int, dict[str, float], bool]


def _all(jobs: list[_Job], processes: int) -> list[Outcome]:
    if processes < 2:
        return [one for job in jobs for one in _world(job)]
    with get_context("fork").Pool(processes) as pool:
        return [one for found in pool.imap_unordered(_world, jobs, chunksize=1) for one in found]


def _world(job: _Job) -> list[Outcome]:
    seed, regime, i, rates, topped = job
    world = World(regime, np.random.default_rng((seed, REGIMES.index(regime), i)))
    return list(_judged(world, i * len(REGIMES) + REGIMES.index(regime), rates, topped))


def _judged(world: World, number: int, rates: dict[str, float], topped: bool) -> Iterator[Outcome]:
    for case in world.cases(rates):
        weight = 0.0 if topped else odds(case.label, case.new_stage) / rates.get(case.label, 1.0)
        yield _outcome(case, number, weight, topped)


def odds(label: str, new_stage: bool) -> float:
    """The documented odds that a reading has the label: of sudden movement they are raised after a new stage."""
    return ODDS[label] * (priors.AFTER_EVENT if new_stage and label in MOVED else 1.0)


def _again(case: Case) -> str:
    """Doubted, so read again: what it looks like then."""
    evidence = replace(case.evidence, again=(case.length,))
    assert case.second is not None
    where = (case.known, case.station, case.chord, case.second, TAPE, EXTENSOMETER, case.at)
    return judge(*where, evidence=evidence).explanations[0].cause


NO_SUDDEN = priors.Priors({cause: odds for cause, odds in priors.ODDS.items() if cause != "real movement"})
NO_JUMP = 0.01
"""Less is not looked for."""


def jump(case: Case, verdict: Verdict) -> float:
    """Found by leaving sudden movement out: what then is left of real movement is that."""
    moved, off = verdict.probability("real movement"), verdict.off or 0.0
    if abs(off) <= NEVER_BEYOND or moved < NO_JUMP:
        return 0.0
    where = (case.known, case.station, case.chord, case.length, TAPE, EXTENSOMETER, case.at)
    try:
        left = judge(*where, evidence=case.evidence, priors=NO_SUDDEN).probability("real movement")
    except ValueError:  # nothing but sudden movement has any weight
        return 0.0
    return min(left / (1 - left) * (1 - moved), moved) if left < 1 else moved


def _outcome(case: Case, number: int, weight: float, topped: bool) -> Outcome:
    begun = thread_time()
    verdict = judge(
        case.known,
        case.station,
        case.chord,
        case.length,
        TAPE,
        EXTENSOMETER,
        case.at,
        evidence=case.evidence,
    )
    took = thread_time() - begun
    first, expected = verdict.explanations[0], verdict.expectation
    assert expected is not None
    assert verdict.off is not None
    value = float(case.length.value)
    clean = float(case.clean.value)
    return Outcome(
        world=number,
        regime=case.regime,
        label=case.label,
        weight=weight,
        topped=topped,
        earlier=case.earlier,
        true_spread=case.true_spread,
        off_by=abs(case.off_by) / case.true_spread,
        new_stage=case.new_stage,
        asked=case.asked,
        first=first.cause,
        again=_again(case) if case.second is not None and verdict.doubted else "",
        doubted=verdict.doubted,
        length_right=first.length is not None and abs(float(first.length) - clean) < 0.5,
        listed=tuple((one.cause, one.probability) for one in verdict.explanations),
        jump=jump(case, verdict),
        residual=value - float(expected.value) if case.label == "as booked" else float("nan"),
        spread=expected.spread,
        share=expected.mixture.below(value),
        twice=verdict.hole_twice,
        broken=abs(verdict.off) > NEVER_BEYOND and verdict.agrees,
        doubted_by_tolerance=abs(value - float(case.last.value)) > TOLERANCE,
        seconds=took,
    )
