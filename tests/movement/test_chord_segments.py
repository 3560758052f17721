"""A course over segments that are tied and not tied, over baselines of several sets and baselines declared anew."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from fieldtui.job.faces import faces_of
from fieldtui.movement.chord import ChordCourse, course_of
from harness.shelf import Read, Shelf, day, route_with, stamp

KEY = ("A", "L-R")


def course(shelf: Shelf) -> ChordCourse:
    job = shelf.job
    made = course_of(job.account.stories[KEY], faces_of(job.route, job.counting), {v: k for k, v in job.labels.items()})
    assert made is not None
    return made


def closing(shelf: Shelf) -> list[float]:
    """As the rows have it, of readings that are no baseline."""
    rows = [row for row in shelf.job.history() if row.key == KEY and row.counts and not row.baseline]
    return [-float(row.since_baseline.value) for row in rows if row.since_baseline is not None]


def test_a_new_tape_without_a_reading_of_both_goes_on_from_the_last_value_less_surely() -> None:
    shelf = Shelf(route_with())
    for days, length in ((0, "8000"), (1, "7998"), (2, "7996.5")):
        shelf.survey(days, Read("L-R", length))
    for days, length in ((6, "8011"), (7, "8010.4"), (8, "8010")):
        shelf.survey(days, Read("L-R", length), tape="T2")
    made = course(shelf)
    assert made.course.y == pytest.approx([0.0, *closing(shelf)])
    assert made.joins == (day(6) + timedelta(minutes=5),)
    own = made.course.covariance
    assert own is not None
    # what may have moved in four days at 1.5 a day is shared by all that came after
    assert np.sqrt(own[3, 4]) > 4
    assert np.sqrt(own[1, 1]) < 0.3
    assert np.sqrt(own[3, 3] + own[4, 4] - 2 * own[3, 4]) < 0.4


def test_the_sets_of_a_baseline_are_readings_about_their_mean() -> None:
    shelf = Shelf(route_with(('units = "metric"', 'units = "metric"\nbaseline_sets = 2')))
    for days, length in ((0, "8000"), (0.2, "8000.4"), (1, "7998"), (2, "7997")):
        shelf.survey(days, Read("L-R", length))
    made = course(shelf)
    assert made.course.y == pytest.approx([0.2, -0.2, *closing(shelf)])
    own = made.course.covariance
    assert own is not None
    assert own[0, 0] == pytest.approx(own[2, 2], rel=0.05)
    assert made.course.common**2 == pytest.approx(own[0, 0] / 2, rel=0.05)
    assert abs(own[0, 1]) < 0.05 * own[0, 0]


def test_a_baseline_that_counts_from_nil_again_moves_the_nil_and_nothing_else() -> None:
    shelf = Shelf(route_with())
    for days, length in ((0, "8000"), (1, "7998"), (2, "7996.5"), (4, "7995"), (5, "7994")):
        shelf.survey(days, Read("L-R", length))
    before = course(shelf).course.y
    bench = {"name": "bench", "since": stamp(day(3)), "movement": "restarted", "reason": "bench excavated"}
    shelf.journal(3, ("baseline", bench))
    after = course(shelf).course.y
    assert after == pytest.approx(before - before[3])
    assert after[-1] == pytest.approx(closing(shelf)[-1])


def test_doubtful_readings_are_no_part_of_it() -> None:
    shelf = Shelf(route_with())
    shelf.survey(0, Read("L-R", "8000"))
    shelf.survey(1, Read("L-R", "7975", outcome="kept", reason="could not be read again"))
    shelf.survey(2, Read("L-R", "7999"))
    assert course(shelf).course.y == pytest.approx([0.0, 1.0])
