"""Anchors from chords: what can be told, what is assumed, what is refused, and how a wrong chord shows."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from fieldtui.movement.datum import Fixed, constraints, left_free, rigid
from fieldtui.movement.displacement import CRITICAL, Displacements, NoDisplacements, displace
from fieldtui.movement.network import ChordChange, Network

SECTION = {
    "L": (-4400.0, 1600.0),
    "R": (4400.0, 1550.0),
    "K": (0.0, 7000.0),
    "LS": (-3200.0, 5200.0),
    "RS": (3200.0, 5150.0),
}
U = 0.1


def changes_of(moved: dict[str, tuple[float, float]], places: dict[str, tuple[float, float]]) -> list[ChordChange]:
    """All chords between these anchors, changed exactly as these displacements change them."""
    made = []
    for one, other in combinations(places, 2):
        before = np.subtract(places[other], places[one])
        after = before + np.subtract(moved.get(other, (0, 0)), moved.get(one, (0, 0)))
        made.append(ChordChange(one, other, float(np.linalg.norm(after) - np.linalg.norm(before))))
    return made


def told(found: Displacements | NoDisplacements) -> Displacements:
    assert isinstance(found, Displacements), found
    return found


def why(found: Displacements | NoDisplacements) -> str:
    assert isinstance(found, NoDisplacements)
    return found.why


FOUR = {name: SECTION[name] for name in ("L", "R", "K", "LS")}
MOVED = {"L": (6.0, 0.0), "R": (-5.0, 0.0), "K": (0.5, -8.0), "LS": (2.0, -3.0)}


def test_displacements_come_back_with_the_datum_that_is_stated() -> None:
    fixed = (Fixed("L"), Fixed("R", "up"))
    moved = {"R": (-11.0, 0.0), "K": (-5.5, -8.0), "LS": (-4.0, -3.0)}
    found = told(displace(FOUR, changes_of(moved, FOUR), np.eye(6) * U**2, fixed))
    for anchor in FOUR:
        assert found.of(anchor) == pytest.approx(moved.get(anchor, (0.0, 0.0)), abs=1e-6)
    assert found.u("L") == pytest.approx((0.0, 0.0))
    assert found.u("R")[1] == pytest.approx(0.0)


def test_minimum_norm_neither_shifts_nor_turns() -> None:
    found = told(displace(FOUR, changes_of(MOVED, FOUR), np.eye(6) * U**2))
    places = np.array(list(FOUR.values()))
    middle = places - places.mean(axis=0)
    assert found.values.sum(axis=0) == pytest.approx([0, 0], abs=1e-6)
    turned = middle[:, 0] * found.values[:, 1] - middle[:, 1] * found.values[:, 0]
    assert turned.sum() == pytest.approx(0, abs=1e-3)


def test_any_datum_gives_the_same_chords() -> None:
    """The datum is an assumption about where, not about how far apart."""
    changes = changes_of(MOVED, FOUR)
    for fixed in ((), (Fixed("L"), Fixed("R", "up")), (Fixed("K"), Fixed("LS", "across"))):
        found = told(displace(FOUR, changes, np.eye(6) * U**2, fixed))
        again = changes_of({name: found.of(name) for name in FOUR}, FOUR)
        assert [one.change for one in again] == pytest.approx([one.change for one in changes], abs=1e-6)


def test_the_assumption_is_said_in_words() -> None:
    free = told(displace(FOUR, changes_of(MOVED, FOUR), np.eye(6)))
    assert "datum defect 3" in free.assumption
    assert "neither shifted nor turned" in free.assumption
    held = told(displace(FOUR, changes_of(MOVED, FOUR), np.eye(6), (Fixed("L"), Fixed("R", "up"))))
    assert "L has not moved and R has not moved up or down" in held.assumption


def test_the_covariance_is_that_of_many_adjustments() -> None:
    """Chord changes that share errors, drawn 1,500 times, seeded."""
    chance = np.random.default_rng(7)
    shared = np.array([[0.08], [0.08], [0.0], [0.08], [0.0], [0.08]])
    covariance = np.eye(6) * U**2 + shared @ shared.T
    exact = changes_of(MOVED, FOUR)
    network = Network(tuple(FOUR), np.array(list(FOUR.values())), exact)
    assert network.changed(np.array([MOVED[name] for name in FOUR]).ravel()) == pytest.approx([c.change for c in exact])
    drawn = []
    for noise in chance.multivariate_normal(np.zeros(6), covariance, 1500):
        noisy = [ChordChange(c.one, c.other, c.change + n) for c, n in zip(exact, noise, strict=True)]
        drawn.append(told(displace(FOUR, noisy, covariance)).values.ravel())
    found = told(displace(FOUR, exact, covariance))
    assert np.cov(np.array(drawn).T) == pytest.approx(found.covariance, abs=0.0015)


def test_a_wrong_chord_shows_in_the_closure_and_one_left_over_does_not_name_it() -> None:
    """Four anchors, six chords: one test that detects and does not name."""
    changes = changes_of(MOVED, FOUR)
    wrong = [ChordChange(c.one, c.other, c.change + (3.0 if c.name == "R-K" else 0.0)) for c in changes]
    good, bad = told(displace(FOUR, changes, np.eye(6) * U**2)), told(displace(FOUR, wrong, np.eye(6) * U**2))
    assert good.closure is not None
    assert bad.closure is not None
    assert good.closure.passed
    assert not bad.closure.passed
    assert bad.closure.redundancy == 1
    assert "which of them it is cannot be told" in bad.unchecked
    sizes = [abs(one.standardised or 0.0) for one in bad.residuals]
    assert sizes == pytest.approx([sizes[0]] * 6, rel=1e-6)
    assert bad.closure.squares == pytest.approx(sizes[0] ** 2)


def test_with_more_left_over_the_wrong_chord_is_named() -> None:
    changes = changes_of(MOVED, SECTION)
    wrong = [ChordChange(c.one, c.other, c.change + (2.0 if c.name == "L-K" else 0.0)) for c in changes]
    found = told(displace(SECTION, wrong, np.eye(10) * U**2))
    worst = max(found.residuals, key=lambda one: abs(one.standardised or 0.0))
    assert worst.chord == "L-K"
    assert worst.stands_out
    assert found.closure is not None
    assert found.closure.redundancy == 3
    assert found.unchecked == ""


def test_standardised_residuals_are_standard_normal() -> None:
    """Of changes that share errors: drawn 600 times, seeded; beyond 3.29 once in a thousand."""
    chance = np.random.default_rng(13)
    shared = np.linspace(0.0, 0.2, 10)[:, None]
    covariance = np.eye(10) * U**2 + shared @ shared.T
    exact = changes_of(MOVED, SECTION)
    drawn = np.array(
        [
            [
                one.standardised
                for one in told(
                    displace(
                        SECTION,
                        [ChordChange(c.one, c.other, c.change + n) for c, n in zip(exact, noise, strict=True)],
                        covariance,
                    )
                ).residuals
            ]
            for noise in chance.multivariate_normal(np.zeros(10), covariance, 600)
        ]
    )
    assert drawn.std(axis=0) == pytest.approx(np.ones(10), abs=0.1)
    assert np.mean(np.abs(drawn) > CRITICAL) < 0.004


def test_three_chords_leave_nothing_to_check_with() -> None:
    three = {name: SECTION[name] for name in ("L", "R", "K")}
    found = told(displace(three, changes_of(MOVED, three), np.eye(3) * U**2))
    assert found.closure is None
    assert "would not show" in found.unchecked
    assert all(one.standardised is None for one in found.residuals)


def test_too_few_chords_are_refused() -> None:
    """Five anchors need seven."""
    five = changes_of(MOVED, SECTION)[:6]
    assert "5 anchors need 7 chords" in why(displace(SECTION, five, np.eye(6)))
    assert "One chord" in why(displace(SECTION, five[:1], np.eye(1)))


def test_enough_chords_in_the_wrong_places_are_refused_and_the_anchor_named() -> None:
    """Eight chords, but K hangs on one of them: the other four have all their six, and a seventh twice over."""
    rest = {name: SECTION[name] for name in ("L", "R", "LS", "RS")}
    changes = [*changes_of(MOVED, rest), ChordChange("L", "K", -3.0)]
    assert len(changes) == 7
    assert "do not hold K" in why(displace(SECTION, changes, np.eye(7)))


def test_anchors_on_one_line_are_refused() -> None:
    line = {"A": (0.0, 0.0), "B": (3000.0, 0.0), "C": (7000.0, 5.0)}
    assert "do not hold" in why(displace(line, changes_of({}, line), np.eye(3)))


@pytest.mark.parametrize(
    ("fixed", "free"),
    [
        ((Fixed("L"),), "turn about the anchor that is held"),
        ((Fixed("L", "up"), Fixed("R", "up")), "shift across"),
        ((Fixed("L", "across"), Fixed("K", "across")), "shift up or down"),
        ((Fixed("L"), Fixed("R", "across"), Fixed("R", "up")), ""),
    ],
)
def test_constraints_that_do_not_hold_the_station_are_refused(fixed: tuple[Fixed, ...], free: str) -> None:
    places = np.array(list(SECTION.values()))
    assert left_free(places, constraints(places, tuple(SECTION), fixed)) == free
    found = displace(SECTION, changes_of(MOVED, SECTION), np.eye(10), fixed)
    assert isinstance(found, NoDisplacements) == bool(free)
    if free:
        assert free in why(found)


def test_a_fixed_anchor_that_no_chord_goes_to_is_said() -> None:
    assert "Q is taken as fixed" in why(displace(SECTION, changes_of(MOVED, FOUR), np.eye(6), (Fixed("Q"),)))


def test_the_free_motions_change_no_chord() -> None:
    network = Network(tuple(SECTION), np.array(list(SECTION.values())), changes_of({}, SECTION))
    assert network.slopes(np.zeros(10)) @ rigid(network.start).T == pytest.approx(np.zeros((10, 3)), abs=1e-12)
