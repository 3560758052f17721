"""Displacements drawn on the section, held to drawings that were looked at, and told in figures."""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from movement.pictures import check_drawing
from msgspec.structs import replace

from fieldtui.movement.arrows import displacement_lines, draw_arrows, residual_lines
from fieldtui.movement.canvas import as_text
from fieldtui.movement.displacement import Displacements, NoDisplacements, displace
from fieldtui.movement.network import ChordChange, Network
from fieldtui.movement.station import StationMoved
from fieldtui.route import METRIC, Route, Station, load_route
from harness.jobs import ROUTES, lay

MOVED = {"L": (14.0, -2.0), "HL": (9.0, -3.0), "K": (0.5, -11.0), "HR": (-6.0, -2.0), "R": (-9.0, 0.0)}


def five() -> Station:
    """A station with five anchors, from a shipped route."""
    route = load_route(ROUTES / "highway" / "highway.toml")
    return next(one for one in route.stations if len(one.anchors) == 5)


def moved(
    station: Station, wanted: dict[str, tuple[float, float]], *, wrong: float = 0.0, chords: int = 99
) -> StationMoved:
    """All chords of its anchors, changed as these displacements change them; one of them wrong by so much."""
    places = {one.name: (float(one.across) * 1000, float(one.up) * 1000) for one in station.anchors}
    pairs = list(combinations(places, 2))
    network = Network(tuple(places), np.array(list(places.values())), [ChordChange(*pair, 0.0) for pair in pairs])
    changed = network.changed(np.array([wanted[name] for name in places]).ravel())
    changed[0] += wrong
    changes = [ChordChange(*pair, float(value)) for pair, value in zip(pairs, changed, strict=True)]
    found = displace(places, changes, np.eye(len(pairs)) * 0.14**2)
    return StationMoved(station, "2031-05-04", "2031-06-08", tuple(one.name for one in changes), found)


@pytest.fixture
def route(tmp_path: Path) -> Route:
    return load_route(lay(tmp_path))


@pytest.mark.parametrize(("width", "height"), [(80, 22), (60, 18), (40, 12)])
def test_five_anchors(width: int, height: int) -> None:
    drawn = draw_arrows(moved(five(), MOVED), METRIC, 2.0, width, height)
    check_drawing(f"arrows-five-{width}x{height}", drawn, width, height)


def test_three_anchors(route: Route) -> None:
    station = route.stations[0]
    wanted = {"L": (6.0, 1.0), "R": (-5.0, 0.5), "K": (0.0, -4.0)}
    check_drawing("arrows-three", draw_arrows(moved(station, wanted), METRIC, 2.0, 60, 18), 60, 18)


def test_a_displacement_within_its_uncertainty_has_no_head(route: Route) -> None:
    station = route.stations[0]
    quiet = moved(station, {"L": (0.02, 0.0), "R": (-0.02, 0.0), "K": (0.0, -0.01)})
    assert not set(as_text(draw_arrows(quiet, METRIC, 2.0, 60, 18))) & set("→↗↑↖←↙↓↘")
    loud = moved(station, {"L": (6.0, 0.0), "R": (-6.0, 0.0), "K": (0.0, -5.0)})
    assert {"→", "←", "↓"} <= set(as_text(draw_arrows(loud, METRIC, 2.0, 60, 18)))


def test_nothing_moved_at_all_is_drawn_without_arrows(route: Route) -> None:
    still = moved(route.stations[0], {"L": (0.0, 0.0), "R": (0.0, 0.0), "K": (0.0, 0.0)})
    assert isinstance(still.found, Displacements)
    flat = replace(still, found=replace(still.found, values=np.zeros((3, 2))))
    assert not set(as_text(draw_arrows(flat, METRIC, 2.0, 60, 18))) & set("→↗↑↖←↙↓↘")


def test_no_displacements_are_said_in_the_drawing_and_in_the_figures(route: Route) -> None:
    none = StationMoved(route.stations[1], "a", "b", (), NoDisplacements("One chord tells nothing of where they went."))
    drawn = draw_arrows(none, METRIC, 2.0, 60, 12)
    assert "One chord tells nothing" in as_text(drawn)
    assert len(drawn) == 12
    assert {sum(len(text) for text, _ in line) for line in drawn} == {60}
    assert re.search(r"L o\.+o R", as_text(drawn)), "the section stands there all the same"
    assert "One chord tells nothing" in as_text(displacement_lines(none, route, 60))
    assert "too small a window" in as_text(draw_arrows(none, METRIC, 2.0, 19, 12))


def test_the_figures_with_what_is_assumed(route: Route) -> None:
    told = as_text(
        displacement_lines(moved(route.stations[0], {"L": (6.0, 1.0), "R": (-5.0, 0.5), "K": (0.0, -4.0)}), route, 70)
    )
    lines = told.splitlines()
    assert lines[0] == "A, 2031-05-04 to 2031-06-08, mm, ± with k = 2"
    assert lines[1].split() == ["anchor", "across", "±", "up", "±"]
    assert lines[2].split()[0] == "L"
    assert all("+" in line or "-" in line for line in lines[2:5])
    assert "No chord is left over: a wrong one would not show." in told
    assert "that assumption, not a measurement" in told.replace("\n", " ")


def test_a_station_that_does_not_close_says_so_and_names_the_chord(route: Route) -> None:
    good = as_text(displacement_lines(moved(five(), MOVED), route, 200))
    assert "The station closes" in good
    bad = as_text(displacement_lines(moved(five(), MOVED, wrong=3.0), route, 200))
    assert "does not close" in bad
    first = "-".join(one.name for one in five().anchors[:2])
    assert f"{first} stands out: +" in bad


@pytest.mark.parametrize("width", [20, 40, 80, 132])
@pytest.mark.parametrize("height", [1, 8, 12, 24, 50])
def test_any_size_is_filled_exactly(width: int, height: int) -> None:
    drawn = draw_arrows(moved(five(), MOVED), METRIC, 2.0, width, height)
    assert len(drawn) == height
    assert {sum(len(text) for text, _ in line) for line in drawn} == {width}


def test_the_rank_says_how_many_chords_are_left_over(route: Route) -> None:
    told = as_text(displacement_lines(moved(five(), MOVED), route, 200))
    assert "10 chords between 5 anchors: rank 7 of the 7 that it takes, 3 left over." in told


def test_residuals_over_their_standard_deviations_and_which_stand_out(route: Route) -> None:
    wrong = moved(five(), MOVED, wrong=3.0)
    assert isinstance(wrong.found, Displacements)
    with_changes = replace(
        wrong, changes=tuple(ChordChange(*one.chord.split("-"), 1.25) for one in wrong.found.residuals)
    )
    head, *lines, note = as_text(residual_lines(with_changes, route, 80)).splitlines()
    assert head.split() == ["chord", "change", "residual", "over", "its", "sd"]
    assert note == "▲ beyond 3.29 (Baarda, alpha 0.001)"
    for line, one in zip(lines, wrong.found.residuals, strict=True):
        assert one.standardised is not None
        assert line.split()[:4] == [one.chord, "+1.25", f"{round(one.value, 2) + 0:+.2f}", f"{one.standardised:+.1f}"]
        assert ("▲" in line) == one.stands_out
    assert any("▲" in line for line in lines)
    assert residual_lines(StationMoved(five(), "a", "b", (), NoDisplacements("none")), route, 80) == []
