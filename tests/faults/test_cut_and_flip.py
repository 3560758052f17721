"""A log cut at every byte, recovered and recovered again; a log with every bit flipped."""

from __future__ import annotations

from pathlib import Path

import pytest

from faultlab.cuts import a_log, a_log_with_a_history, cut_everywhere, flip_everywhere, interrupt_recovery


def test_cut_at_every_byte_gives_the_whole_records_and_goes_on(tmp_path: Path) -> None:
    content = a_log(tmp_path, 10).read_bytes()
    assert cut_everywhere(content, tmp_path / "cut") == len(content)


@pytest.mark.parametrize("back", [1, 2, 3, 60, 73, 74, 150, 200])
def test_a_recovery_can_be_interrupted_at_every_byte_again_and_again(tmp_path: Path, back: int) -> None:
    content = a_log(tmp_path, 4).read_bytes()
    interrupt_recovery(content, len(content) - back, tmp_path / "again", depth=2, sample=7)


def test_every_bit_flipped_is_told_and_located(tmp_path: Path) -> None:
    content = a_log(tmp_path, 9, closed=True).read_bytes()
    assert content.count(b"\n") == 12
    assert flip_everywhere(content) == 8 * len(content)


def test_every_bit_flipped_in_a_log_that_was_torn_and_resumed(tmp_path: Path) -> None:
    flip_everywhere(a_log_with_a_history(tmp_path).read_bytes(), sample=7)
