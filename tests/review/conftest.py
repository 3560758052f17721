"""A demo that nobody writes to, and a small job in which everything happens that is shown apart."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from movement.conftest import faces, job  # noqa: F401  (fixtures)

from fieldtui.job import Job
from fieldtui.review.study import Study
from harness.demo import END
from harness.shelf import Read, Shelf, day, route_with

NOW = datetime(2031, 6, 20, 12, 0, tzinfo=UTC)
RULES = (
    "[uncertainty]",
    "[[frequency]]\nrate_above = 0.0\nevery_hours = 24\n"
    "[stability]\nrate_below = 0.2\nshare_of_end = 0.9\n[uncertainty]",
)


@pytest.fixture(scope="session")
def study(job: Job) -> Study:  # noqa: F811
    return Study(job, END)


def shelf() -> Shelf:
    """A-B: L-R closes past a level, is struck and doubted once and read in a survey that is still open; A L-K once."""
    made = Shelf(route_with(RULES))
    for place, moved in enumerate((0.0, -1.5, -2.8, -3.9, -4.9, -5.7, -6.4, -7.0)):
        made.survey(
            3.0 * place,
            Read("L-R", f"{8000 + moved:.2f}"),
            Read("L-K", f"{6020 + 0.02 * (-1) ** place:.2f}"),
            Read("L-R", f"{8004 + 0.01 * place:.2f}", station="B"),
        )
    made.survey(
        24.0,
        Read("L-R", "7968.00", outcome="kept", reason="no way to read it again"),
        Read("L-K", outcome="unsafe", reason="loose block"),
    )
    made.survey(27.0, Read("L-R", "7991.90"), closed=False)
    return made


@pytest.fixture(scope="session")
def small() -> Study:
    return Study(shelf().job, NOW)


__all__ = ["NOW", "day", "shelf"]
