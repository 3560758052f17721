"""kill -9 at random instants: nothing that was said to be saved is lost, and the next start shows it."""

from __future__ import annotations

from pathlib import Path

import pytest

from faultlab.kill import booker, kill_again_and_again


def test_killed_at_random_instants_nothing_saved_is_lost(tmp_path: Path) -> None:
    saved = kill_again_and_again(tmp_path, booker(tmp_path), times=12, seed=1)
    assert saved > 20


def test_saying_saved_before_it_is_written_is_caught(tmp_path: Path) -> None:
    with pytest.raises(AssertionError):
        kill_again_and_again(tmp_path, booker(tmp_path, "early"), times=12, seed=1)
