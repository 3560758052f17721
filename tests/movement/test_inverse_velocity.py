"""Inverse velocity: points, and nothing read off them."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from fieldtui.movement.inverse_velocity import MATTER, inverse_velocities

DAY = datetime(2031, 6, 1, tzinfo=UTC)


def test_points_with_their_uncertainty() -> None:
    (point,) = inverse_velocities([(DAY, 4.0, 0.4)])
    assert (point.value, point.u) == pytest.approx((0.25, 0.025))


@pytest.mark.parametrize("rate", [-4.0, 0.0, 0.7])
def test_what_is_not_clearly_closing_has_no_inverse(rate: float) -> None:
    assert inverse_velocities([(DAY, rate, 0.4)]) == ()


def test_no_date_is_read_off() -> None:
    assert "no date" in MATTER
