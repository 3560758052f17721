"""A track's states at a later time are worked out once, whoever asks: that changes no figure."""

from __future__ import annotations

import pytest

from fieldtui.reduction.motion import Track

READ = [(0.0, 0.0), (1.0, -1.2), (2.0, -2.1), (4.0, -3.4), (6.0, -4.1)]
STIR = (1.0, 0.4, 0.2)


def followed() -> Track:
    track = Track.begin(*READ[0], 0.02)
    for time, value in READ[1:]:
        track = track.follow(time, value, 0.02)
    return track


def test_foretelling_a_reading_first_changes_nothing_of_how_it_is_followed():
    asked, plain = followed(), followed()
    foretold = asked.foretell(8.0, 0.02)
    assert asked.follow(8.0, -4.5, 0.02, foretold=foretold).states == plain.follow(8.0, -4.5, 0.02).states


def test_another_time_or_another_stir_is_worked_out_anew():
    track = followed()
    calm, later, stirred = track.foretell(8.0, 0.02), track.foretell(12.0, 0.02), track.foretell(12.0, 0.02, STIR)
    assert followed().foretell(12.0, 0.02) == later
    assert followed().foretell(12.0, 0.02, STIR) == stirred
    assert calm.sd < later.sd < stirred.sd


def test_a_track_weighed_by_its_neighbours_foretells_from_the_same_states():
    track = followed()
    beside = track.heeding([track])
    assert beside.states is track.states
    fresh = followed().heeding([track])
    assert beside.foretell(9.0, 0.02).mean == pytest.approx(fresh.foretell(9.0, 0.02).mean)
