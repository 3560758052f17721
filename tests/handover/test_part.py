"""The part of a job that is exported: from a day on, and as it had been read by a day."""

from __future__ import annotations

import csv
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from fieldtui.cli import main
from fieldtui.handover.latest import latest
from fieldtui.handover.part import part_of
from fieldtui.handover.readings import readings
from fieldtui.handover.things import Instruments
from fieldtui.job import declare
from harness.jobs import Ticking, answer_start, begin, book_calm, lay, with_past
from harness.sheets import job_of, row, sheet
from harness.shelf import Read, Shelf, route_with


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A survey a day from 29 April to 3 May."""
    return with_past(lay(tmp_path), before=datetime(2031, 5, 4, 2, 0, tzinfo=UTC))


def table(path: Path, name: str, *more: str) -> list[dict[str, str]]:
    out = path.parent / "part"
    assert main(["export", str(path), "--to", "csv", "--out", str(out), *more]) == 0
    with (out / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def days(rows: list[dict[str, str]]) -> list[str]:
    return sorted({one["time"][:10] for one in rows})


def test_since_a_day_the_rows_of_that_day_on_with_the_same_figures(path: Path) -> None:
    part, whole = table(path, "readings", "--since", "2031-05-02"), table(path, "readings")
    assert days(part) == ["2031-05-02", "2031-05-03"]
    assert part == [one for one in whole if one["time"] >= "2031-05-02"]
    assert days(table(path, "notes", "--since", "2031-05-02")) == ["2031-05-02", "2031-05-03"]


def test_as_of_a_day_nothing_that_was_read_later(path: Path) -> None:
    assert days(table(path, "readings", "--as-of", "2031-05-01")) == ["2031-04-29", "2031-04-30", "2031-05-01"]
    assert days(table(path, "notes", "--as-of", "2031-05-01"))[-1] == "2031-05-01"


def test_from_a_time_on_the_reading_of_that_very_time_is_in(path: Path) -> None:
    time = table(path, "readings")[-2]["time"]
    assert table(path, "readings", "--since", time)[0]["time"] == time


def test_as_of_a_day_what_was_said_later_is_left_out(path: Path) -> None:
    clock = Ticking(datetime(2031, 5, 20, tzinfo=UTC))
    declare(job_of(path), "CD", [("care", {"what": "dial battery", "at": "2031-05-20T00:00:00Z"})], clock)
    assert days(table(path, "notes"))[-1] == "2031-05-20"
    assert days(table(path, "notes", "--as-of", "2031-05-10"))[-1] == "2031-05-03"


def test_as_of_a_day_a_doubt_was_not_confirmed_yet(path: Path) -> None:
    """A reading that did not agree, and one of the next day that says the same."""
    jump = [row(f"j{day}", 1440 * day, "B", "L-R", "320", ("5.30", "5.32", "5.31")) for day in (1, 2)]
    (path.parent / "sheet.csv").write_text(sheet(*jump))
    assert main(["book", str(path), str(path.parent / "sheet.csv")]) in (0, 1)
    then = [one for one in table(path, "readings", "--as-of", "2031-05-05") if one["survey"] == "j1"]
    now = [one for one in table(path, "readings") if one["survey"] == "j1"]
    assert [one["confirmed_by"] for one in (*then, *now)] == ["", "j2"]


@pytest.mark.parametrize("to", ["xlsx", "ags", "parquet"])
def test_every_form_takes_a_part(path: Path, to: str, capsys: pytest.CaptureFixture[str]) -> None:
    counted = []
    for number, more in enumerate(([], ["--since", "2031-05-02"], ["--as-of", "2031-05-01"])):
        out = path.parent / f"{number}-{to}"
        assert main(["export", str(path), "--to", to, "--out", str(out), *more]) == 0
        counted.append(capsys.readouterr().out)
    assert len({told.partition(": ")[2] for told in counted}) == 3


def test_what_is_no_day_is_refused(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", str(path), "--to", "csv", "--since", "spring"]) == 2
    assert "spring is no date" in capsys.readouterr().err


def test_an_export_bears_the_last_reading_else_the_last_entry_else_no_date(tmp_path: Path) -> None:
    path = lay(tmp_path)
    assert part_of(job_of(path)).made() is None
    walk = begin(path)
    answer_start(walk)
    walk.leave()
    (log,) = job_of(path).logs.logs
    assert log.last is not None
    assert part_of(job_of(path)).made() == datetime.fromisoformat(log.last.at)
    book_calm(begin(path))
    assert part_of(job_of(path)).made() == job_of(path).history()[-1].booked.time


def test_two_readings_of_one_minute_stand_in_the_order_in_which_they_were_booked() -> None:
    """Records 8 and 14 of one log: by their numbers, not as texts, or the newest reading would be the earlier one."""
    shelf = Shelf(route_with())
    shelf.survey(0, *(Read("L-R", length, after_hours=1.0) for length in ("8000.00", "8000.02")))
    booked = readings(shelf.job, Instruments.of(shelf.job))
    assert [one["seq"] for one in booked.rows if one.get("station")] == [8, 14]
    (newest,) = [one for one in latest(shelf.route, booked).rows if one["length"] is not None]
    assert newest["booked_later"] is None
    assert newest["length"] == Decimal("8000.02")
