"""Ticks that a person can read."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from fieldtui.movement.scale import Span, nice_step, span_of, ticks, time_ticks

START = datetime(2031, 5, 4, 7, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("size", "most", "step"), [(10, 5, 2), (10, 10, 1), (10, 4, 5), (0.9, 3, 0.5), (73, 6, 20), (1000, 1, 1000)]
)
def test_steps_are_of_1_2_and_5(size: float, most: int, step: float) -> None:
    assert nice_step(size, most) == pytest.approx(step)


def test_ticks_are_within_and_have_the_decimals_of_their_step() -> None:
    assert ticks(Span(-6.3, 0.4), 4, sign=True) == [(-6, "-6"), (-4, "-4"), (-2, "-2"), (0, "0")]
    assert [label for _, label in ticks(Span(-0.31, 0.12), 5, sign=True)] == ["-0.3", "-0.2", "-0.1", "0.0", "+0.1"]
    assert [label for _, label in ticks(Span(90.0, 260.0), 4)] == ["100", "150", "200", "250"]


def test_a_range_is_never_narrower_than_it_makes_sense() -> None:
    narrow = span_of([-0.1, 0.0], 1.0)
    assert narrow.size == pytest.approx(1.0)
    assert span_of([-10.0, 0.0], 1.0).low == pytest.approx(-10.4)


@pytest.mark.parametrize(
    ("length", "labels"),
    [
        (timedelta(hours=9), ["04 May 08:00", "10:00", "12:00", "14:00", "16:00"]),
        (timedelta(days=5), ["05 May 2031", "06 May", "07 May", "08 May", "09 May"]),
        (timedelta(days=24), ["11 May 2031", "18 May", "25 May"]),
        (timedelta(days=120), ["Jun 2031", "Jul", "Aug", "Sep"]),
        (timedelta(days=400), ["Jul 2031", "Oct", "Jan 2032", "Apr"]),
        (timedelta(days=1500), ["2032", "2033", "2034", "2035"]),
    ],
)
def test_round_times(length: timedelta, labels: list[str]) -> None:
    found = time_ticks(START, START + length, 5, UTC)
    assert [label for _, label in found] == labels
    assert all(0 <= seconds <= length.total_seconds() for seconds, _ in found)


def test_another_year_or_day_is_said_where_it_begins() -> None:
    winter = datetime(2031, 12, 14, 7, 30, tzinfo=UTC)
    labels = [label for _, label in time_ticks(winter, winter + timedelta(days=30), 5, UTC)]
    assert labels == ["21 Dec 2031", "28 Dec", "04 Jan 2032", "11 Jan"]
    night = datetime(2031, 5, 4, 19, 30, tzinfo=UTC)
    labels = [label for _, label in time_ticks(night, night + timedelta(hours=9), 5, UTC)]
    assert labels == ["04 May 20:00", "22:00", "05 May 00:00", "02:00", "04:00"]


def test_round_times_are_those_of_the_route_s_zone() -> None:
    (first, label), *_ = time_ticks(START, START + timedelta(days=4), 5, ZoneInfo("Asia/Tokyo"))
    assert label == "05 May 2031"
    assert START + timedelta(seconds=first) == datetime(2031, 5, 4, 15, 0, tzinfo=UTC)
