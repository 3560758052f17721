"""The small plot of a chord's last readings."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from fieldtui.tui.lines import text_of, width_of
from fieldtui.tui.trend import draw_trend

START = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)
POINTS = [(START + timedelta(days=day), -0.5 * day) for day in range(6)]


@pytest.mark.parametrize("days", [-400, -30, -1, 0, 2.5, 5, 6, 400])
@pytest.mark.parametrize(("width", "height"), [(80, 7), (23, 3), (132, 12)])
def test_the_reading_at_hand_is_in_its_place_whenever_it_was_read(days: float, width: int, height: int) -> None:
    """A laptop whose clock was set back has a reading that is earlier than all others."""
    lines = draw_trend(POINTS, (START + timedelta(days=days), -1.2), width, height, "mm", 1)
    assert [width_of(line) for line in lines] == [width] * height
    (row,) = [line for line in text_of(lines).splitlines() if "◆" in line]
    if days < 0:
        assert "●" not in row[: row.index("◆")]
    if days > 5:
        assert "●" not in row[row.index("◆") :]


def test_two_readings_of_one_moment_and_one_value() -> None:
    assert "◆" in text_of(draw_trend([(START, 0.0)], (START, 0.0), 80, 7, "mm", 1))


@pytest.mark.parametrize("rows", [4, 5, 8, 13])
def test_noise_is_not_drawn_as_movement(rows: int) -> None:
    noise = [(START + timedelta(days=day), 0.02 * (-1) ** day) for day in range(12)]
    lines = text_of(draw_trend(noise, None, 80, rows, "mm", 1)).splitlines()
    assert len([line for line in lines if "●" in line]) == 1
    assert (lines[0].split()[0], lines[-2].split()[0]) == ("+0.0", "-1.0")


def test_the_ends_of_the_axis_are_told_apart_in_inches_too() -> None:
    lines = text_of(draw_trend([(START, 0.0), (START + timedelta(days=1), -0.042)], None, 80, 7, "in", 3)).splitlines()
    assert (lines[0].split()[0], lines[5].split()[0]) == ("+0.000", "-0.042")
