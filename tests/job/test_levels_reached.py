"""What a survey says at its end of the levels: of a chord read again, what stands; and what somebody was told of."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldtui.job import Walk, accept, calls_with, over_levels, tell_chord
from fieldtui.job.live import assess_chord
from fieldtui.job.told import Told
from fieldtui.survey import Target
from harness.jobs import Ticking, answer_start, begin, book_calm, lay

MAY = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)
MOVED = "6.31"
"""A dial that is 6 mm closer than the calm surveys: above the level `look` (5 mm)."""
CALM = "12.31"


@pytest.fixture
def walk(tmp_path: Path) -> Iterator[Walk]:
    """A survey at its first chord, A L-R, with five calm ones behind."""
    path = lay(tmp_path)
    for days in range(5):
        book_calm(begin(path, Ticking(MAY + timedelta(days=days))))
    walk = begin(path, Ticking(MAY + timedelta(days=6)))
    answer_start(walk)
    walk.book("")
    yield walk
    walk.leave()


def read(walk: Walk, *dials: str, outcome: str = "read", reading: int = 1) -> None:
    """One reading of A L-R, accepted as it is told."""
    if reading > 1:
        walk.go(Target("A", "L-R", reading))
    walk.book("320")
    for dial in dials:
        walk.book(dial)
    while walk.step.kind == "figure":
        walk.book(
            "320" if walk.step.what.startswith("hole") else "12.0" if walk.step.what == "temperature" else dials[0]
        )
    accept(walk, outcome=outcome, reason="as it stood there" if outcome == "kept" else "")


def told(walk: Walk) -> list[tuple[str, str]]:
    return [(where, one.text.split(":")[0] + one.text.partition(";")[2]) for where, one in over_levels(walk)]


def test_one_reading_above_a_level_is_told(walk: Walk) -> None:
    read(walk, MOVED, MOVED, MOVED, outcome="kept")
    assert told(walk) == [("A L-R", "above")]


def test_before_a_level_that_two_repeats_far_apart_raise_it_is_told_that_they_do_not_agree(walk: Walk) -> None:
    """One of them is misread: before the third is in nobody knows which."""
    labels = [one.label for one in so_far(walk, "320", CALM)]
    assert "repeats" not in labels
    told = so_far(walk, "0.31")
    labels = [one.label for one in told]
    assert labels.index("repeats") < labels.index("level")
    assert told[labels.index("repeats")].text.startswith("DO NOT AGREE")
    assert told[labels.index("level")].text.startswith("cannot tell")


def so_far(walk: Walk, *figures: str) -> tuple[Told, ...]:
    """What is told once these are booked as well."""
    for figure in figures:
        walk.book(figure)
    target = Target("A", "L-R")
    assessment = assess_chord(walk, target)
    assert assessment is not None
    return tell_chord(walk.route, walk.place(target)[1], assessment)


def test_a_reading_that_was_read_again_and_is_below_is_not_told_any_more(walk: Walk) -> None:
    read(walk, MOVED, MOVED, MOVED, outcome="kept")
    read(walk, CALM, CALM, CALM, reading=2)
    assert told(walk) == []


def test_of_two_that_say_the_same_the_second_is_told(walk: Walk) -> None:
    read(walk, MOVED, MOVED, MOVED)
    read(walk, MOVED, MOVED, MOVED, reading=2)
    assert told(walk) == [("A L-R, reading 2", "above")]


def test_a_reading_kept_though_it_does_not_agree_silences_no_level(walk: Walk) -> None:
    read(walk, MOVED, MOVED, MOVED)
    read(walk, CALM, CALM, CALM, outcome="kept", reading=2)
    assert told(walk) == [("A L-R", "above")]


def test_a_reading_kept_though_it_does_not_agree_has_its_say_beside_the_one_that_stands(walk: Walk) -> None:
    read(walk, CALM, CALM, CALM)
    read(walk, MOVED, MOVED, MOVED, outcome="kept", reading=2)
    assert told(walk) == [("A L-R, reading 2", "above")]


def test_the_reading_that_somebody_was_told_of_stays_told(walk: Walk) -> None:
    assert walk.job is not None
    read(walk, MOVED, MOVED, MOVED)
    walk.go(Target("A", "L-K"))
    (call,) = calls_with(walk.job, walk)
    walk.call(call, "shift engineer", "CD", "by radio")
    read(walk, CALM, CALM, CALM, reading=2)
    assert told(walk) == [("A L-R", "above somebody was told, and it was read again")]
