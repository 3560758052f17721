"""What the chords of a survey share: a constant, a share of length, or what cannot be told."""

from __future__ import annotations

from random import Random

import pytest

from fieldtui.reduction.shared import Off, shared_shift

MIXED = (5000.0, 8000.0, 12000.0, 20000.0) * 3
ALIKE = (7900.0, 8000.0, 8050.0, 8100.0) * 3


def survey(lengths, constant=0.0, share=0.0, noise=0.15, seed=1):
    chance = Random(seed)
    return [Off(at, constant + share * at + chance.gauss(0, noise), noise) for at in lengths]


def test_nothing_shared_is_said_to_be_nothing():
    assert [shared_shift(survey(MIXED, seed=seed)).kind for seed in range(40)] == ["none"] * 40


@pytest.mark.parametrize("constant", [0.8, -1.3])
def test_a_constant_is_the_zero_or_the_hook(constant):
    found = shared_shift(survey(MIXED, constant))
    assert found.kind == "constant"
    assert found.constant == pytest.approx(constant, abs=3 * found.constant_u)
    assert "zero" in found.words


@pytest.mark.parametrize("share", [1.2e-4, -8e-5])
def test_a_share_of_length_is_the_temperature_or_the_tape(share):
    found = shared_shift(survey(MIXED, share=share))
    assert found.kind == "share of length"
    assert found.share == pytest.approx(share, abs=3 * found.share_u)
    assert "temperature" in found.words


def test_where_the_lengths_are_alike_the_two_cannot_be_told_apart():
    assert shared_shift(survey(ALIKE, 0.9)).kind == "cannot tell"
    assert "cannot tell apart" in shared_shift(survey(ALIKE, share=1.1e-4)).words


def test_the_frame_tells_them_apart():
    """A frame of 5 m among chords of 20 m: off as they are, or by a quarter of it."""
    chords = survey((20000.0, 20050.0, 19980.0, 20100.0, 20020.0, 19900.0), 1.0, noise=0.1)
    assert shared_shift(chords).kind == "cannot tell"
    assert shared_shift([*chords, Off(5000.0, 1.0, 0.05)]).kind == "constant"
    assert shared_shift([*chords, Off(5000.0, 0.25, 0.05)]).kind == "share of length"


def test_chords_that_moved_on_their_own_are_not_shared():
    found = survey(MIXED)
    moved = [*found[:9], *(Off(one.length, -9.0, one.spread) for one in found[9:])]
    assert shared_shift(moved).kind == "none"


def test_what_only_some_of_them_show_is_not_shared():
    """Five of twelve are off alike: a station that moved, not the zero."""
    found = survey(MIXED)
    moved = [*found[:7], *(Off(one.length, -2.0, one.spread) for one in found[7:])]
    assert shared_shift(moved).kind == "none"


def test_a_chord_that_moved_besides_does_not_draw_the_constant_along():
    found = survey(MIXED, 0.8)
    moved = [*found[:10], *(Off(one.length, -9.0, one.spread) for one in found[10:])]
    assert shared_shift(moved).kind == "constant"
    assert shared_shift(moved).constant == pytest.approx(0.8, abs=0.2)


def test_movement_is_never_explained_away_by_it():
    """What all chords share may be the ground: the words leave that open."""
    for found in (
        shared_shift(survey(MIXED, -0.8)),
        shared_shift(survey(MIXED, share=-1e-4)),
        shared_shift(survey(ALIKE, -1)),
    ):
        assert "moved" in found.words


def test_three_lengths_say_nothing():
    found = shared_shift(survey(MIXED[:3], 5.0))
    assert (found.kind, found.there) == ("none", False)
