"""Where the faces were: distances, passing times, nothing guessed."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldtui.job import load_job, logs_folder
from fieldtui.job.faces import FaceAt, Faces, faces_of
from fieldtui.route import Route, Station, load_route
from harness.jobs import begin, lay

START = datetime(2031, 5, 1, tzinfo=UTC)


def route_with(folder: Path, advances: str) -> Route:
    path = lay(folder, more=f'[[face]]\nname = "top"\nadvances = "{advances}"\n')
    path.write_text(path.read_text().replace("chainage = 100.0", 'chainage = 100.0\nface = "top"'))
    return load_route(path)


@pytest.fixture
def route(tmp_path: Path) -> Route:
    return route_with(tmp_path, "up")


def station(route: Route, name: str = "A") -> Station:
    found = route.station(name)
    assert found is not None
    return found


def faces(route: Route, *booked: tuple[float, float]) -> Faces:
    """Chainages at so many days from the start, each in a survey of its own."""
    ones = tuple(FaceAt(START + timedelta(days=day), chainage, f"s{day}") for day, chainage in booked)
    return Faces(route, {"top": ones})


def test_distances_are_of_the_last_chainage_by_then(route: Route) -> None:
    known = faces(route, (0, 90.0), (2, 104.0), (5, 120.0))
    assert known.distance(station(route)) == pytest.approx(20)
    assert known.distance(station(route), START + timedelta(days=4)) == pytest.approx(4)
    assert known.distance(station(route), START - timedelta(days=1)) is None


def test_of_one_survey_only_its_own_chainage_counts(route: Route) -> None:
    known = faces(route, (0, 90.0), (2, 104.0))
    assert known.distance(station(route), START + timedelta(days=2), "s2") == pytest.approx(4)
    assert known.distance(station(route), START + timedelta(days=9), "another") is None
    assert known.distance(station(route), START + timedelta(days=1), "s2") == pytest.approx(4), (
        "booked after it was read"
    )


def test_the_face_passes_between_two_chainages(route: Route) -> None:
    assert faces(route, (0, 90.0), (2, 104.0)).passed(station(route)) == START + timedelta(days=2 * 10 / 14)


def test_a_face_that_was_past_when_first_booked_passed_nobody_knows_when(route: Route) -> None:
    assert faces(route, (0, 101.0), (2, 104.0)).passed(station(route)) is None
    assert faces(route, (0, 100.0), (2, 104.0)).passed(station(route)) == START


def test_a_face_that_has_not_come_there_yet(route: Route) -> None:
    known = faces(route, (0, 80.0), (2, 90.0))
    assert known.passed(station(route)) is None
    assert known.distance(station(route)) == pytest.approx(-10)


def test_a_face_that_goes_down_the_chainage(tmp_path: Path) -> None:
    route = route_with(tmp_path, "down")
    known = faces(route, (0, 110.0), (2, 96.0))
    assert known.distance(station(route)) == pytest.approx(4)
    assert known.passed(station(route)) == START + timedelta(days=2 * 10 / 14)
    assert known.pace(station(route)) == pytest.approx(7)


def test_the_pace_is_that_of_the_two_newest(route: Route) -> None:
    assert faces(route, (0, 90.0), (2, 104.0), (5, 110.0)).pace(station(route)) == pytest.approx(2)
    assert faces(route, (0, 90.0)).pace(station(route)) is None


def test_a_station_that_names_no_face_has_none(route: Route) -> None:
    known = faces(route, (0, 90.0), (2, 104.0))
    assert known.distance(station(route, "B")) is None
    assert known.passed(station(route, "B")) is None


def test_chainages_come_from_the_surveys(route: Route, tmp_path: Path) -> None:
    """Asked at the start of the walk; an empty answer is no chainage, and a later answer does not undo the first."""
    path = tmp_path / "heading.toml"
    walk = begin(path)
    walk.say("face top", "95.5")
    walk.say("face top", "97,5")
    first = faces_of(route, load_job(route, logs_folder(route)).counting)
    assert [one.chainage for one in first.of(station(route))] == [95.5, 97.5]
    walk.say("face top", "")
    assert len(faces_of(route, load_job(route, logs_folder(route)).counting).of(station(route))) == 2
