"""The laptop's clock, found wrong in the middle of a survey."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from fieldtui.job.set_time import set_time, time_here
from fieldtui.survey import EntryRefused
from harness.jobs import Ticking, answer_start, begin, lay


def test_set_right_it_moves_what_was_booked_and_what_will_be(tmp_path: Path) -> None:
    walk = begin(lay(tmp_path), Ticking())
    answer_start(walk)
    before = walk.state.said["reader"].read_at
    right = time_here(walk) + timedelta(minutes=90)
    set_time(walk, f"{right:%H:%M}")
    moved = walk.state.said["reader"].read_at - before
    assert abs(moved - timedelta(minutes=90)) < timedelta(minutes=1)
    assert abs(time_here(walk) - right) < timedelta(minutes=1)
    walk.leave()


def test_the_time_that_it_already_has_moves_nothing(tmp_path: Path) -> None:
    walk = begin(lay(tmp_path))
    answer_start(walk)
    walk.clock = lambda: walk.begun.replace(hour=4, minute=30, second=0, microsecond=0)
    with pytest.raises(EntryRefused, match="the time it already has"):
        set_time(walk, f"{time_here(walk):%H:%M}")
    assert not walk.state.shift
    walk.leave()
