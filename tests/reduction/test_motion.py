"""The laws of motion: a filter that agrees with one written out in matrices, and weights that find the right law."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from math import exp, sqrt
from random import Random

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.linalg import expm

from fieldtui.reduction import Event
from fieldtui.reduction.following import stirred
from fieldtui.reduction.laws import BANK, Motion, weighted
from fieldtui.reduction.motion import CALM, Track

START = datetime(2031, 5, 1, 6, tzinfo=UTC)

PLAIN = Motion(6.0, 0.0, 0.03, 0.2, 0.0, 0.0, 2.0, 1.0)
"""One law, without what hangs on its own velocity: there the filter is the textbook's."""


def by_matrices(times, values, variance):
    """Kalman's filter with the exact transition and noise of an Ornstein-Uhlenbeck velocity, by matrix exponentials."""
    drift = np.array([[0.0, 1.0], [0.0, -1 / PLAIN.days]])
    noise = np.diag([PLAIN.creep**2, PLAIN.wander**2])
    state, spread = np.array([values[0], 0.0]), np.diag([variance, PLAIN.first**2])
    for before, now, value in zip(times, times[1:], values[1:], strict=False):
        days = now - before
        step = expm(drift * days)
        whole = expm(np.block([[-drift, noise], [np.zeros((2, 2)), drift.T]]) * days)  # Van Loan 1978
        state, spread = step @ state, step @ spread @ step.T + whole[2:, 2:].T @ whole[:2, 2:]
        gain = spread[:, 0] / (spread[0, 0] + variance)
        state, spread = state + gain * (value - state[0]), spread - np.outer(gain, spread[0])
    return state, spread


def test_one_law_is_the_textbook_filter():
    chance = Random(4)
    times = [0.0, 0.5, 1.0, 2.5, 2.501, 9.0, 30.0, 31.0]
    values = [chance.gauss(0, 0.15) for _ in times]
    track = Track.begin(times[0], values[0], 0.02, (PLAIN,))
    for time, value in zip(times[1:], values[1:], strict=True):
        track = track.follow(time, value, 0.02)
    state, spread = by_matrices(times, values, 0.02)
    x, v, pxx, pxv, pvv = track.states[0]
    assert (x, v) == pytest.approx(tuple(state), rel=1e-5, abs=1e-7)
    assert (pxx, pxv, pvv) == pytest.approx((spread[0, 0], spread[0, 1], spread[1, 1]), rel=1e-5)


def test_a_velocity_dies_away_as_its_time_constant_says():
    dying = Motion(4.0, 0.0, 0.0, 0.0, 0.0, 0.0, 5.0, 1.0)
    track = Track.begin(0.0, 0.0, 1e-12, (dying,)).follow(0.01, -0.02, 1e-12)
    v = track.states[0][1]
    ahead = solve_ivp(lambda _, y: [y[1], -y[1] / 4.0], (0.01, 6.0), [-0.02, v], rtol=1e-10).y[0, -1]
    assert track.foretell(6.0, 0.0).mean == pytest.approx(ahead, rel=1e-4)


def test_ageing_slows_movement_down_as_a_power_of_time():
    ageing = Motion(0.001, 0.5, 0.0, 0.0, 0.0, 0.0, 50.0, 1.0)
    track = Track.begin(0.0, 0.0, 1e-12, (ageing,))
    time, step, speeds = 8.0, 0.02, []
    track = track.follow(8.0, 0.0, 1e12)
    track = Track(track.bank, 8.0, 0.0, ((0.0, -1.0, 0.0, 0.0, 0.0),), (0.0,), 9)
    while time < 32.0:
        time += step
        track = track.follow(time, 0.0, 1e15)
        speeds.append(track.states[0][1])
    assert speeds[-1] == pytest.approx(-((8.0 / 32.0) ** 2), rel=0.02)


def test_weights_of_the_bank_add_up():
    assert sum(motion.prior for motion in BANK) == pytest.approx(1)
    assert sum(motion.prior for motion in weighted(BANK, [2.0] * len(BANK))) == pytest.approx(1)


def run(values, error=0.1, every=1.0):
    track = Track.begin(0.0, values[0], error**2)
    for i, value in enumerate(values[1:], 1):
        track = track.follow(every * i, value, error**2)
    return track


def test_a_chord_at_rest_is_expected_where_it_is():
    chance = Random(1)
    track = run([chance.gauss(0, 0.1) for _ in range(20)])
    ahead = track.foretell(20.0, 0.01)
    assert abs(ahead.mean) < 0.1
    assert 0.1 < ahead.sd < 0.15


def test_movement_slowing_down_is_expected_to_slow_down():
    truth = [-12 * (1 - exp(-i / 5)) for i in range(13)]
    track = run(truth[:12], error=0.05)
    ahead = track.foretell(12.0, 0.01)
    straight = 2 * truth[11] - truth[10]
    assert abs(ahead.mean - truth[12]) < 2.5 * ahead.sd
    assert ahead.mean > straight


def test_movement_speeding_up_is_followed():
    truth = [-0.05 * i * i for i in range(21)]
    chance = Random(3)
    track = run([one + chance.gauss(0, 0.1) for one in truth[:20]])
    ahead = track.foretell(20.0, 0.01)
    assert abs(ahead.mean - truth[20]) < 3 * ahead.sd
    assert ahead.sd < 1


def test_the_spread_grows_with_time_and_with_unsteadiness():
    chance = Random(5)
    steady = run([-0.5 * i + chance.gauss(0, 0.1) for i in range(15)])
    shaky = run([-0.5 * i + chance.gauss(0, 0.9) for i in range(15)])
    spreads = [steady.foretell(14.0 + days, 0.01).sd for days in (0.5, 1, 4, 30)]
    assert spreads == sorted(spreads)
    assert shaky.foretell(15.0, 0.01).sd > 3 * steady.foretell(15.0, 0.01).sd


def test_one_earlier_reading_is_judged_widely():
    chance = Random(6)
    young = Track.begin(0.0, 0.0, 0.01)
    assert young.foretell(1.0, 0.01).sd > 5
    assert run([-0.4 * i + chance.gauss(0, 0.1) for i in range(12)]).foretell(12.0, 0.01).sd < 0.3


def test_a_stir_widens_at_once():
    track = run([0.0, 0.1, -0.1, 0.0, 0.05, -0.05])
    assert track.foretell(6.0, 0.01, (4.0, 0.0, 0.1)).sd > 1.5 > 5 * track.foretell(6.0, 0.01).sd


def test_a_jump_that_is_in_the_ground_is_the_new_level():
    chance = Random(7)
    values = [chance.gauss(0, 0.1) for _ in range(10)]
    for after in (1, 3):
        jumped = values + [-30 + chance.gauss(0, 0.1) for _ in range(after)]
        assert run(jumped).foretell(10.0 + after, 0.01).mean == pytest.approx(-30, abs=1.0)


def test_a_chord_that_is_off_more_than_it_should_be_is_expected_to_go_on_so():
    track = run([0.0, 0.1, -0.1, 0.05, 0.0, 0.02, -0.05])
    assert track.unsteady < 1
    for i, value in enumerate([0.6, -0.7, 0.8, -0.8, 0.7], 7):
        track = track.follow(float(i), value, 0.01)
    assert track.unsteady > 1


def test_a_velocity_that_an_event_brought_in_is_learned_from_the_first_reading_after_it():
    """What it moved and what is left of it go together: the chord is expected to go on."""
    track = run([0.0, 0.02, -0.03, 0.01, 0.0, -0.02], error=0.05)
    moved, left, rate = 0.9, 0.8, 0.64
    stir = (1.0 + rate * moved**2, rate * moved * left, rate * left**2)
    apart = (stir[0], 0.0, stir[2])
    ahead, level = (track.follow(6.0, -2.0, 0.01, by).foretell(7.0, 0.01).mean for by in (stir, apart))
    assert ahead < -2.2
    assert ahead < level - 0.1


def stepped(moved, stir, passed=12.0):
    """Days of slow movement, then a long gap in which a new stage moved the chord, then slow movement again."""
    stir = stir and stirred(START, START + timedelta(days=passed), [Event(START + timedelta(days=1), "stage")])
    track = run([-2.0 * sqrt(i) for i in range(10)])
    time, value = 9.0 + passed, -6.0 - moved
    track = track.follow(time, value, 0.01, stir or CALM)
    return track, time, value


def test_how_far_a_new_stage_moved_a_chord_does_not_make_its_ground_wild():
    """Whatever law it followed before, a stage can have done anything: else nothing could be told for weeks."""
    for moved in (10.0, 35.0):
        track, time, value = stepped(moved, stir=True)
        assert track.foretell(time + 6, 0.01).sd < 5
        for days in (6, 12):
            track = track.follow(time + days, value - 0.3 * days, 0.01)
        assert track.foretell(time + 18, 0.01).sd < 2.5
    wild, time, _ = stepped(35.0, stir=False)
    assert wild.foretell(time + 6, 0.01).sd > 5


def test_what_is_left_of_the_velocity_that_a_stage_brought_in_may_be_as_large_as_what_it_moved():
    """Soon after it the chord may go on as fast: a reading that shows it is within what is expected."""
    track, time, value = stepped(9.0, stir=True, passed=2.0)
    ahead = track.foretell(time + 1, 0.01)
    assert ahead.mean < value - 1
    assert abs(value - 5.0 - ahead.mean) < 3 * ahead.sd


def test_what_the_readings_show_is_without_the_weights_before_any_reading():
    """Tracks that began from other weights and read the same show the same, but for one factor."""
    other = weighted(BANK, [motion.prior * (1 + i % 3) for i, motion in enumerate(BANK)])
    tracks = [Track.begin(0.0, 0.0, 0.01, bank) for bank in (BANK, other)]
    assert max(map(abs, tracks[0].shown())) < 1e-12
    tracks = [track.follow(1.0, 0.05, 0.01) for track in tracks]
    one, two = (track.shown() for track in tracks)
    apart = [a - b for a, b, w in zip(one, two, tracks[0].weights, strict=True) if w > -11]
    assert max(apart) - min(apart) < 1e-9


def test_how_unsteady_the_ground_is_the_chords_of_a_station_show_together():
    steady, other = run([0.0, 0.1, -0.1, 0.0, 0.1]), run([0.0, 0.9, -1.7, 2.0, -2.0])
    assert steady.unsteady < 1 < other.unsteady
    assert steady.heeding([other]).unsteady == pytest.approx(sqrt(steady.unsteady * other.unsteady))
    assert steady.heeding([other, other]).unsteady > steady.heeding([other]).unsteady
    assert steady.heeding([steady]).unsteady == pytest.approx(steady.unsteady)


@pytest.mark.parametrize(("n", "share"), [(1, 0.5), (2, 0.5), (4, 0.25)])
def test_other_chords_count_half_each_and_never_more_than_one_together(n, share):
    track = run([0.0, 0.1, -0.1])
    other = run([0.0, -0.9, -1.7])
    heeding = track.heeding([other] * n)
    more = [a - b - n * share * s for a, b, s in zip(heeding.weights, track.weights, other.shown(), strict=True)]
    assert max(more) - min(more) < 1e-9
    assert max(heeding.weights) == 0
