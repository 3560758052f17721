"""The chords of a station as equations."""

from __future__ import annotations

import numpy as np

from fieldtui.movement.network import ChordChange, Network


def test_a_chord_between_two_anchors_at_one_place_tells_nothing() -> None:
    start = np.array([[0.0, 0.0], [0.0, 0.0], [3.0, 4.0]])
    chords = [ChordChange("A", "B", 0.0), ChordChange("A", "C", 0.0)]
    assert Network(["A", "B"], start[:2], chords[:1]).rank(0.1) == 0
    assert Network(["A", "B", "C"], start, chords).rank(0.1) == 1
