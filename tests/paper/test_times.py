"""Reading times on paper: one certain moment, or refused."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from fieldtui.survey import EntryRefused
from fieldtui.survey.times import reading_time

ZONE = ZoneInfo("Europe/Zurich")


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        ("2031-05-04T07:30:00+02:00", datetime(2031, 5, 4, 5, 30, tzinfo=UTC)),
        ("2031-05-04T07:30:00Z", datetime(2031, 5, 4, 7, 30, tzinfo=UTC)),
        ("2031-05-04T07:30:00.250Z", datetime(2031, 5, 4, 7, 30, 0, 250000, tzinfo=UTC)),
        ("2031-05-04 07:30", datetime(2031, 5, 4, 5, 30, tzinfo=UTC)),
        ("2031-01-04T07:30:15", datetime(2031, 1, 4, 6, 30, 15, tzinfo=UTC)),
    ],
)
def test_with_an_offset_or_in_the_routes_own_time(text: str, utc: datetime) -> None:
    found = reading_time(text, ZONE)
    assert found == utc
    assert found.tzinfo is UTC


@pytest.mark.parametrize(
    "text", ["", "4.5.2031 07:30", "2031-05-04", "07:30", "2031-02-30 07:30", "2031-05-04 24:30", "x"]
)
def test_what_is_no_certain_time_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(EntryRefused) as refused:
        reading_time(text, ZONE)
    assert "2031-05-04 07:30" in refused.value.todo


@pytest.mark.parametrize("text", ["0001-01-01 00:00", "0001-01-01T00:00:00+14:00", "9999-12-31T23:59:00-12:00"])
def test_a_time_at_either_end_of_the_calendar_is_refused_in_words(text: str) -> None:
    with pytest.raises(EntryRefused, match="no day on which anything was read"):
        reading_time(text, ZONE)


def test_a_local_time_that_the_clocks_showed_twice_is_refused_and_taken_with_its_offset() -> None:
    with pytest.raises(EntryRefused, match="twice") as refused:
        reading_time("2031-10-26 02:30", ZONE)
    assert "+02:00 or +01:00" in refused.value.todo
    assert reading_time("2031-10-26 02:30+01:00", ZONE) == datetime(2031, 10, 26, 1, 30, tzinfo=UTC)


def test_a_local_time_that_the_clocks_skipped_is_refused() -> None:
    with pytest.raises(EntryRefused, match="never showed"):
        reading_time("2031-03-30 02:30", ZONE)
