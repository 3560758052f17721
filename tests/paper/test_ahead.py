"""A sheet that says it was read later than it is: booked as written, and told."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldtui.job.ahead import newest_ahead
from fieldtui.paper.answer import as_json
from fieldtui.paper.table import read_table
from fieldtui.paper.takeover import NEEDED, WANTED
from fieldtui.paper.taking import take_table
from fieldtui.plain.start import start_plain
from fieldtui.tui.worked_out import work_out
from harness.jobs import lay
from harness.sheets import DAY, answers, job_of, records, row, said, sheet

AHEAD = "2031-07-04T02:00:00Z"
"""A month later than the clock of `said`: July written for June."""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return lay(tmp_path, control=True)


def test_a_row_read_later_than_now_is_booked_as_written_and_told(path: Path) -> None:
    status, lines = said(path, sheet(row(), f"s2,{AHEAD},A,L-K,240,7.0,7.1,7.0,12.0"))
    assert status == 1
    assert (
        "WARNING: its time is 33 days ahead of this computer's clock (2031-06-01 09:00 UTC): look at the date"
        in (lines[2])
    )
    assert "WARNING" not in lines[1]
    assert "1 with a warning: look at the sheet once more." in lines
    assert "2031-07-04T02:00:00.000Z" in {one["read_at"] for one in records(path, "figure")}


def test_a_program_is_told_with_the_row(path: Path) -> None:
    (ahead,) = answers(path, sheet(f"s2,{AHEAD},A,L-K,240,7.0,7.1,7.0,12.0"))
    assert len(ahead["warnings"]) == 1
    assert ahead["done"] == "booked"
    (there,) = answers(path, sheet(row()))
    assert there["warnings"] == []


@pytest.mark.parametrize(("minutes", "told"), [(15, False), (16, True), (-60, False)])
def test_minutes_between_a_watch_and_the_laptop_are_not_told(path: Path, minutes: int, told: bool) -> None:
    (one,) = answers(path, sheet(row()), clock=lambda: DAY - timedelta(minutes=minutes))
    assert (one["warnings"] != []) is told


def test_a_row_that_was_not_read_is_held_against_the_clock_too(path: Path) -> None:
    text = sheet(
        f"s2,{AHEAD},A,L-K,,,,,,blocked",
        header="survey,time,station,chord,hole,dial_1,dial_2,dial_3,temperature,outcome",
    )
    assert answers(path, text)[0]["warnings"] != []


def test_an_earlier_length_is_held_against_the_clock_too(path: Path) -> None:
    text = "station,chord,time,length\nA,L-R,2031-01-03 09:00,8001.12\nA,L-R,2031-07-03 09:00,8001.02\n"
    job = job_of(path)
    clock = datetime(2031, 6, 1, 9, 0, tzinfo=UTC)
    taken = take_table(job, read_table(text, "old.csv", NEEDED, WANTED), clock=lambda: clock)
    past, ahead = (as_json(one, job.route) for one in taken.answers)
    assert past["warnings"] == []
    assert "32 days ahead" in ahead["warnings"][0]
    assert taken.status == 1


def test_before_a_survey_it_is_said_that_the_job_is_ahead_of_the_clock(path: Path) -> None:
    answers(path, sheet(row(), row(minutes=60, chord="L-K", hole="240")))
    behind = DAY - timedelta(days=2)
    (told,) = newest_ahead(job_of(path).account.readings, behind)
    assert told.startswith("2 readings were taken later than it is by this clock, 2031-05-02 02:00 UTC")
    assert "the newest by 49.0 h: A L-K in survey s1" in told
    assert newest_ahead(job_of(path).account.readings, DAY + timedelta(days=1)) == ()
    assert told in work_out(job_of(path), behind).warnings


def test_the_walk_line_by_line_says_so_before_its_first_prompt(path: Path) -> None:
    answers(path, sheet(row()))
    lines: list[str] = []

    def gone(_: str) -> str:
        raise EOFError

    start_plain(job_of(path), gone, lines.append, clock=lambda: DAY - timedelta(days=2))
    assert any("A reading was taken later than it is by this clock" in line for line in lines)
