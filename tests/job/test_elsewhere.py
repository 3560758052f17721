"""One instrument on several routes: what is booked of it on one counts on the others, once, and nothing is written."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldtui.job import declare, load_job, logs_folder
from fieldtui.job.instrument import before_survey, instruments_of
from fieldtui.route import load_route
from fieldtui.route.advice import advice
from fieldtui.survey import frame_target
from harness.jobs import CONTROL, Ticking, begin, lay

START = datetime(2031, 5, 4, 6, 0, tzinfo=UTC)
CARE = '[[care]]\nwhat = "dial battery"\nevery_days = 30\n'


def survey(path: Path, days: float, frame: str) -> None:
    """The frame at the start, and closed."""
    walk = begin(path, Ticking(START + timedelta(days=days)))
    for typed in ("AB", "", "1", "1", "", "1", "0.00", "200", frame, frame, frame, "20.0"):
        walk.book(typed)
    walk.accept()
    walk.close()


def job(path: Path):
    route = load_route(path)
    return load_job(route, logs_folder(route))


@pytest.fixture
def south(tmp_path: Path) -> Path:
    (tmp_path / "south").mkdir()
    path = lay(tmp_path / "south", more=CARE, control=True)
    path.write_text(path.read_text().replace("Test heading", "South"))
    for days in range(3):
        survey(path, days, f"12.3{days}")
    return path


@pytest.fixture
def north(tmp_path: Path, south: Path) -> Path:
    (tmp_path / "north").mkdir()
    path = lay(tmp_path / "north", more='same_instruments = ["../south/heading.toml"]\n' + CARE, control=True)
    path.write_text(path.read_text().replace("Test heading", "North"))
    survey(path, 1.5, "12.40")
    return path


def points(path: Path) -> list[tuple[str, float]]:
    (page,) = instruments_of(job(path), START + timedelta(days=9)).pages
    return [(point.name, round(point.value, 2)) for point in page.chart.points]


def test_the_frame_s_readings_on_another_route_stand_in_the_chart_in_order_of_time(north: Path, south: Path) -> None:
    assert points(north) == [
        ("2031-05-04, South", 5012.30),
        ("2031-05-05, South", 5012.31),
        ("2031-05-05", 5012.40),
        ("2031-05-06, South", 5012.32),
    ]
    assert [name for name, _ in points(south)] == ["2031-05-04", "2031-05-05", "2031-05-06"], "it names no other route"


def test_a_survey_that_is_in_both_folders_counts_once(north: Path, south: Path) -> None:
    for log in (south.parent / "logs").glob("*.jsonl"):
        shutil.copy(log, north.parent / "logs")
    assert len(points(north)) == 4


def test_nothing_is_written_to_the_other_route_s_logs(north: Path, south: Path) -> None:
    before = {log.name: log.read_bytes() for log in (south.parent / "logs").glob("*.jsonl")}
    survey(north, 4, "12.30")
    points(north)
    assert {log.name: log.read_bytes() for log in (south.parent / "logs").glob("*.jsonl")} == before


def test_care_given_on_one_route_serves_the_other(north: Path, south: Path) -> None:
    at = START + timedelta(days=4)
    assert "dial battery: never booked" in before_survey(job(north), at)
    given = {"what": "dial battery", "at": "2031-05-06T06:00:00Z"}
    declare(job(south), "CD", [("care", given)], Ticking(START + timedelta(days=3)))
    assert before_survey(job(north), at) == ()
    (care,) = instruments_of(job(north), at).care
    assert care.last is not None
    assert (care.last.route, care.last.by) == ("South", "CD")


def test_another_frame_is_not_comparable(north: Path, south: Path) -> None:
    south.write_text(south.read_text().replace('name = "bar"', 'name = "bolts"'))
    survey(south, 5, "40.00")
    assert ("2031-05-09, South", 5040.0) not in points(north)


def test_what_the_limit_counts_from_and_what_is_taken_off_stay_the_route_s_own(north: Path) -> None:
    reference = next(iter(job(north).account.frames)).reference
    assert [round(float(length.value), 2) for length in reference] == [5012.40]


def test_the_walk_holds_the_frame_against_both(north: Path) -> None:
    walk = begin(north, Ticking(START + timedelta(days=6)))
    held = walk.held(("T1", "X1"))
    assert held.chart is not None
    assert len(held.chart.points) == 4
    assert float(held.reference[0].value) == pytest.approx(5012.4)
    assert frame_target("start") not in walk.state.bookings
    walk.leave()


def test_a_route_that_is_not_there_is_told_and_stands_in_no_way(north: Path, south: Path) -> None:
    shutil.rmtree(south.parent)
    (told,) = [one for one in job(north).problems if "same_instruments" in one]
    assert told.startswith("same_instruments names ../south/heading.toml")
    assert len(points(north)) == 1
    assert any("there is no such file" in str(one) for one in advice(load_route(north)))
    assert CONTROL in north.read_text()
