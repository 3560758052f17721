"""After how many surveys a failing instrument is noticed: a part of `python -m tests.bench.instrument`, in seconds."""

from __future__ import annotations

from statistics import median

import pytest
from bench.instrument import INSTRUMENTS, RULES, SLIPS_IN, WEEKS, nothing, slipped, spread, stretching, year

SEEDS = range(501, 621)
LIMIT_ALONE, INDIVIDUALS, WEIGHTED, _, EVERY, AGAIN = RULES
AS_STATED, HALF = (spread(scatter) for scatter in INSTRUMENTS.values())


@pytest.fixture(scope="module")
def stretched():
    return [year(seed, stretching, HALF) for seed in SEEDS]


def noticed(years, rule: str) -> float:
    return median(one.first(rule) or WEEKS + 1 for one in years)


def test_of_a_good_instrument_a_stretching_tape_is_noticed_long_before_the_route_s_limit(stretched) -> None:
    assert noticed(stretched, EVERY) <= 6
    assert noticed(stretched, WEIGHTED) <= 7
    assert noticed(stretched, LIMIT_ALONE) >= 9


def test_a_drift_once_noticed_stays_noticed(stretched) -> None:
    last = [one.noticed[WEIGHTED][-10:] for one in stretched]
    assert all(weeks == list(range(WEEKS - 9, WEEKS + 1)) for weeks in last)


def test_a_zero_that_slips_for_one_survey_is_noticed_in_it() -> None:
    years = [year(seed, slipped, HALF) for seed in SEEDS]
    assert sum(SLIPS_IN in one.noticed[INDIVIDUALS] for one in years) >= 0.98 * len(SEEDS)


@pytest.mark.parametrize("sd", [AS_STATED, HALF])
def test_where_nothing_happens_few_surveys_are_in_doubt_and_fewer_after_reading_again(sd: float) -> None:
    years = [year(seed, nothing, sd) for seed in SEEDS]
    share = {rule: sum(len(one.noticed[rule]) for one in years) / WEEKS / len(years) for rule in RULES}
    assert share[INDIVIDUALS] < 0.04
    assert share[WEIGHTED] < 0.04
    assert share[AGAIN] < 0.03
    assert share[EVERY] < 0.10
