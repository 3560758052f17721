"""The laws: shares from 0 to 1, and derivatives that are exact."""

from __future__ import annotations

import numpy as np
import pytest

from fieldtui.movement.laws import FACE_ADVANCE, FACE_AND_TIME, LAWS, TIME_POWER, Law

T = np.array([0.0, 0.3, 2.0, 9.0, 40.0])
X = np.array([0.0, 1.2, 6.0, 25.0, 90.0])
SHAPES = {"T": 6.0, "X": 11.0}


def shape_of(law: Law) -> tuple[float, ...]:
    return tuple(SHAPES[name] for name, _ in law.shape)


@pytest.mark.parametrize("law", LAWS, ids=str)
def test_every_part_goes_from_nothing_to_all_of_it(law: Law) -> None:
    far = law.columns(shape_of(law), np.array([0.0, 1e30]), np.array([0.0, 1e30]))
    assert far[0] == pytest.approx(0.0)
    assert far[1] == pytest.approx(1.0)


@pytest.mark.parametrize("law", LAWS, ids=str)
def test_the_derivatives_by_the_shape_are_those_of_the_columns(law: Law) -> None:
    shape = np.array(shape_of(law))
    for place in range(len(shape)):
        step = np.zeros_like(shape)
        step[place] = 1e-5
        by_hand = (law.columns(shape + step, T, X) - law.columns(shape - step, T, X)) / 2e-5
        assert law.slopes(tuple(shape), T, X)[:, :, place] == pytest.approx(by_hand, abs=1e-9)


@pytest.mark.parametrize("law", LAWS, ids=str)
def test_the_paces_are_the_derivatives_by_time_and_by_distance(law: Law) -> None:
    shape, h = shape_of(law), 1e-5
    by_t, by_x = law.paces(shape, T[1:], X[1:])
    assert by_t == pytest.approx(
        (law.columns(shape, T[1:] + h, X[1:]) - law.columns(shape, T[1:] - h, X[1:])) / (2 * h), abs=1e-8
    )
    assert by_x == pytest.approx(
        (law.columns(shape, T[1:], X[1:] + h) - law.columns(shape, T[1:], X[1:] - h)) / (2 * h), abs=1e-8
    )


def test_face_and_time_is_face_advance_where_time_has_no_part() -> None:
    """Sulem, Panet and Guenot 1987 with m = 0 is Panet and Guenot 1982."""
    both = FACE_AND_TIME.columns((11.0, 6.0), T, X)
    assert both[:, :1] == pytest.approx(FACE_ADVANCE.columns((11.0,), T, X))


def test_face_and_time_by_hand() -> None:
    """X = 10, T = 2, n = 0.3 at x = 10, t = 2: 1 - 1/4 of the face part, times 1 - 2^-0.3 of the time part."""
    ((faced, timed),) = FACE_AND_TIME.columns((10.0, 2.0), np.array([2.0]), np.array([10.0]))
    assert faced == pytest.approx(0.75)
    assert timed == pytest.approx(0.75 * (1 - 0.5**TIME_POWER))
    assert pytest.approx(0.3) == TIME_POWER


@pytest.mark.parametrize("law", LAWS, ids=str)
def test_many_shapes_at_once_are_each_of_them(law: Law) -> None:
    shapes = np.array([shape_of(law), tuple(2 * value for value in shape_of(law))])
    together = law.columns(tuple(shapes.T[:, :, None]), T, X)
    for shape, one in zip(shapes, together, strict=True):
        assert one == pytest.approx(law.columns(tuple(shape), T, X))
