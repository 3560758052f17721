"""A clean chord costs the characters of its figures and six keys; slips are seen while the tape is hooked."""

from __future__ import annotations

from pathlib import Path

import pytest
from bench.ten_chords import CHORDS, END, Chord, walked

from fieldtui.demo import lay_demo
from fieldtui.demo.lay import read_truth

MOST_BESIDES = 6


def ten(folder: Path, slips: bool) -> list[Chord]:
    path = lay_demo(folder / "job", END)
    return list(walked(read_truth(path), path, slips))


def test_ten_clean_chords_cost_their_figures_and_six_keys_each(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    chords = ten(tmp_path, slips=False)
    with capsys.disabled():
        figures, keys = sum(chord.characters for chord in chords), sum(chord.keys for chord in chords)
        print(f"\n{CHORDS} clean chords: {figures} characters of figures, {keys} keys, {keys - figures} besides")
    assert len(chords) == CHORDS
    for chord in chords:
        assert not chord.caught, chord.target
        assert chord.keys <= chord.characters + MOST_BESIDES, chord.target


def test_ten_slips_are_seen_while_the_tape_is_hooked(tmp_path: Path) -> None:
    chords = ten(tmp_path, slips=True)
    assert [chord.slip for chord in chords if not chord.caught] == []
    assert all(chord.slip for chord in chords)
