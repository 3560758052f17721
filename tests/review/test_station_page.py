"""A station on its page: arrows on the section, figures beside, between any two surveys."""

from __future__ import annotations

import re

import pytest
from review.pressing import computed, press, text

from fieldtui.movement.datum import Fixed
from fieldtui.movement.displacement import Displacements
from fieldtui.movement.station import fixed_of
from fieldtui.review.chord_page import ChordDesk
from fieldtui.review.route_page import RouteDesk
from fieldtui.review.station_page import COMPUTING, StationDesk
from fieldtui.review.study import Study
from fieldtui.route import ChordKey, parse_route
from harness.shelf import TEXT, Read, Shelf, day, stamp


def station_desk(study: Study, name: str, key: ChordKey | None = None) -> StationDesk:
    """The page with its displacements computed."""
    desk = StationDesk(study, name, key)
    computed(desk)
    return desk


def test_drawing_computes_nothing_and_says_what_is_waited_for(study: Study) -> None:
    """Displacements are computed where the page does its work, each pair of surveys once."""
    fresh = Study(study.job, study.now)
    desk = StationDesk(fresh, "S08")
    for width, height in ((80, 24), (200, 60)):
        assert COMPUTING in text(desk, width, height)
    assert fresh.moved_of(desk.station) is None
    assert desk.work() is not None
    assert desk.work() is None
    assert "→" in text(station_desk(fresh, "S08"), 80, 24)
    assert StationDesk(fresh, "S08").work() is None


def test_section_and_figures_one_at_a_time_in_a_small_window(study: Study) -> None:
    desk = station_desk(study, "S08")
    section = text(desk, 80, 24)
    assert "→" in section
    assert "mm moved" in section
    assert "m section" in section
    assert "assumed: see the figures" in section
    figures = " ".join(text(press(desk, "2\n"), 80, 24).split())
    assert "anchor across ± up ±" in figures
    assert "3 chords between 3 anchors: rank 3 of the 3 that it takes, none left over." in figures
    assert "datum defect 3" in figures
    assert "not checked" in figures
    assert "→" in text(press(desk, "1\n"), 80, 24)


def test_five_anchors_with_their_residuals(study: Study) -> None:
    desk = station_desk(study, "S06")
    shown = text(desk, 200, 60)
    station = desk.station
    moved = study.compute_anchors(station)
    assert isinstance(moved.found, Displacements)
    assert {one.name for one in station.anchors} <= set(shown.split())
    for one, residual in zip(moved.changes, moved.found.residuals, strict=True):
        assert one.name == residual.chord
        assert f"{one.change:+.2f}" in next(line for line in shown.splitlines() if f" {one.name} " in line)


def test_other_surveys_can_be_chosen_at_either_end(study: Study) -> None:
    desk = station_desk(study, "S08")
    first = study.compute_anchors(desk.station)
    place = desk.surveys.index(first.later)
    press(desk, "3\n")
    assert desk.later == desk.surveys[place - 1]
    assert f"to {desk.surveys[place - 1]}" in text(desk, 80, 24)
    press(desk, "4\n4\n")
    assert "no further survey that way" in text(desk, 80, 24)
    press(desk, "5\n")
    assert "no further survey that way" in text(desk, 80, 24)
    press(desk, "6\n")
    assert desk.earlier == desk.surveys[desk.surveys.index(first.earlier) + 1]
    assert f"{desk.earlier} to" in text(desk, 80, 24)


def test_one_chord_tells_nothing_and_that_is_said(study: Study) -> None:
    told = " ".join(text(station_desk(study, "S09"), 80, 24).split())
    assert "nothing of where each of them went" in told
    assert "assumed" not in told


def test_next_and_previous_station_go_round(study: Study) -> None:
    names = [station.name for station in study.stations()]
    following = press(station_desk(study, names[0]), "8\n")
    assert isinstance(following, StationDesk)
    assert following.station.name == names[1]
    before = press(station_desk(study, names[0]), ["-"])
    assert isinstance(before, StationDesk)
    assert before.station.name == names[-1]


def test_back_to_the_chord_it_was_opened_from_else_to_the_list(study: Study) -> None:
    assert isinstance(press(station_desk(study, "S08", ("S08", "L-K")), "0\n"), ChordDesk)
    listed = press(station_desk(study, "S08"), "0\n")
    assert isinstance(listed, RouteDesk)
    assert study.keys[listed.selected][0] == "S08"


def test_enter_leafs_between_section_and_figures_and_through_long_ones(study: Study) -> None:
    desk = station_desk(study, "S06")
    seen = ""
    for _ in range(6):
        seen += text(desk, 80, 20)
        press(desk, "\n")
    assert "→" in seen
    assert "Displacements of the anchors" in seen
    assert seen.count("R2-K") >= 1


@pytest.mark.parametrize("size", [(1, 1), (20, 6), (60, 20), (80, 24), (120, 40), (200, 60)])
def test_any_size_is_filled_exactly(study: Study, small: Study, size: tuple[int, int]) -> None:
    for name in ("S06", "S09"):
        text(station_desk(study, name), *size)
        text(press(station_desk(study, name), "2\n"), *size)
    text(station_desk(small, "B"), *size)


FIXED = (
    TEXT.replace('name = "L"\n', 'name = "L"\nfixed = "both"\n', 1)
    .replace('name = "R"\n', 'name = "R"\nfixed = "up"\n', 1)
    .replace('from = "L"\nto = "K"\n', 'from = "L"\nto = "K"\n[[station.chord]]\nfrom = "R"\nto = "K"\n', 1)
)


def test_anchors_that_the_route_takes_as_fixed_are(study: Study) -> None:
    """The job's own assumption instead of minimum norm."""
    assert fixed_of(study.stations()[0]) == ()
    route = parse_route(FIXED, {}, name="heading.toml")
    assert fixed_of(route.stations[0]) == (Fixed("L"), Fixed("R", "up"))
    made = Shelf(route)
    made.survey(0.0, Read("L-R", "8000.00"), Read("L-K", "6020.00"), Read("R-K", "6020.00"))
    made.survey(3.0, Read("L-R", "7996.00"), Read("L-K", "6017.00"), Read("R-K", "6018.00"))
    desk = station_desk(Study(made.job, day(4)), "A")
    told = " ".join(text(press(desk, "2\n"), 80, 30).split())
    press(desk, "1\n")
    assert "L has not moved and R has not moved up or down" in told
    assert "L held held" in told
    assert re.search(r"R -4\.00 0\.\d+ held", told)
    drawn = text(desk, 80, 24)
    assert drawn.count("△") == 3, "two anchors, and what the mark means"
    assert "△ held as unmoved. How a closure is split is assumed: see the figures." in drawn
    assert "△ held as unmoved. The split is assumed." in text(desk, 60, 24)
    assert "△" not in text(station_desk(study, "S08"), 80, 24)


def test_only_surveys_that_read_a_chord_so_that_it_counts_can_be_chosen(small: Study) -> None:
    """Day 24 was doubtful at one chord and did not read the other; day 27 is still open and counts."""
    station = small.job.route.stations[0]
    labels = small.surveys_of(station)
    assert labels == (*(f"day {3 * place} T1" for place in range(8)), "day 27 T1")


def test_an_event_counts_at_its_own_station_or_everywhere() -> None:
    made = Shelf(parse_route(FIXED, {}, name="heading.toml"))
    made.survey(0.0, Read("L-R", "8000.00"), Read("L-R", "8004.00", station="B"))
    made.journal(1.0, ("construction", {"event": "blast", "at": stamp(day(0.5)), "station": "B"}), name="one")
    made.journal(2.0, ("construction", {"event": "bench", "at": stamp(day(1.5)), "station": ""}), name="two")
    study = Study(made.job, day(4))
    assert [one.kind for one in study.events_of(("A", "L-R"))] == ["stage"]
    assert [one.kind for one in study.events_of(("B", "L-R"))] == ["blast", "stage"]
