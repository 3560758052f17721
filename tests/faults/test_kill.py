"""kill -9 at random instants: nothing that was said to be saved is lost, and the next start shows it."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from faultlab.kill import booker, kill_again_and_again
from faultlab.walked import kill_walks


def test_killed_at_random_instants_nothing_saved_is_lost(tmp_path: Path) -> None:
    saved = kill_again_and_again(tmp_path, booker(tmp_path), times=12, seed=1)
    assert saved > 24


def test_saying_saved_before_it_is_written_is_caught(tmp_path: Path) -> None:
    with pytest.raises(AssertionError):
        kill_again_and_again(tmp_path, booker(tmp_path, "early"), times=12, seed=1)


def test_the_real_program_killed_in_a_terminal_loses_nothing_and_stands_at_the_same_step(tmp_path: Path) -> None:
    told = kill_walks(tmp_path, times=7, seed=3)
    assert told.kills == 7
    assert told.saved > 10
    assert told.same_step + told.beyond > 0


LATER = """
import threading
import fieldtui.log.opening as opening

def later(fd, content, size, calls):
    threading.Timer(0.5, calls.write, (fd, content)).start()

opening.write_durably = later
"""


def test_a_real_program_that_writes_a_little_later_is_caught(tmp_path: Path) -> None:
    (tmp_path / "sitecustomize.py").write_text(LATER)
    with pytest.MonkeyPatch.context() as environment:
        environment.setenv("PYTHONPATH", str(tmp_path), prepend=os.pathsep)
        with pytest.raises(AssertionError):
            kill_walks(tmp_path / "walks", times=12, seed=3)
