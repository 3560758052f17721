"""What a layout will see before a hole is drilled: by hand, against simulated surveys, and in words."""

from __future__ import annotations

import json
from decimal import Decimal
from math import inf, sqrt

import pytest
from bench.sight import Simulated, compared
from msgspec.structs import replace

from fieldtui.cli import main
from fieldtui.movement.canvas import as_text
from fieldtui.movement.displacement import NoDisplacements
from fieldtui.movement.ellipses import blocked_sentences, draw_ellipses, sight_lines, unseen_sentences
from fieldtui.movement.layouts import layout_lines, layouts
from fieldtui.movement.sight import in_words, sight
from fieldtui.reduction import covariance
from fieldtui.route import Anchor, Chord, Route, Station, load_route
from harness.jobs import ROUTES


@pytest.fixture(scope="module")
def route() -> Route:
    return load_route(ROUTES / "highway" / "highway.toml")


def station(anchors: dict[str, tuple[str, str]], *chords: str) -> Station:
    made = tuple(Anchor(name, Decimal(x), Decimal(y)) for name, (x, y) in anchors.items())
    lines = tuple(Chord(*name.split("-"), None, ()) for name in chords)
    return Station("P1", Decimal(0), None, "", False, "", made, lines)


THREE = {"L": ("-4", "1.5"), "R": ("4", "1.5"), "K": ("0", "5.5")}
FOUR = {"L": ("-4", "1"), "R": ("4", "1"), "HL": ("-4", "5"), "HR": ("4", "5")}


def test_the_uncertainty_of_a_change_by_hand(route: Route) -> None:
    """8 m, steel 11.6e-6 known to 0.5e-6, 5 degrees warmer: u^2 = s^2 2/3 + 2 * 0.08^2 + 2 * 0.03^2 + 2 (alpha L 0.5)^2
    + (L 5 u_alpha)^2 + 2 (L 0.5 u_alpha)^2, the budget of TRADE's changes with another hole."""
    length, alpha, u_alpha = 8000.0, 11.6e-6, 0.5e-6
    by_hand = sqrt(
        0.05**2 * 2 / 3 + 2 * 0.08**2 + 2 * 0.03**2 + 2 * (alpha * length * 0.5) ** 2
        + (length * 5 * u_alpha) ** 2 + 2 * (length * 0.5 * u_alpha) ** 2
    )  # fmt: skip
    seen = sight(route, station(THREE, "L-R"))
    assert seen.changes["L-R"].u == pytest.approx(by_hand, rel=1e-3)


@pytest.mark.parametrize(("name", "where"), [("us-cavern", "C1"), ("highway", "E1")])
def test_ellipses_are_the_spread_of_simulated_surveys(name: str, where: str) -> None:
    """JCGM 101, through the reduction and the adjustment; with 10,000 draws within 3 %: tests/bench/sight.py."""
    shipped = load_route(ROUTES / name / f"{name}.toml")
    there = shipped.station(where)
    assert there is not None
    drawn = Simulated(shipped, there, 20310504).displacements(400)
    for one in compared(sight(shipped, there), drawn):
        assert one.simulated == pytest.approx(one.expected, rel=0.12), one


def test_one_chord_sees_closing_and_nothing_else(route: Route) -> None:
    seen = sight(route, station(THREE, "L-R"))
    assert isinstance(seen.found, NoDisplacements)
    assert [(one.anchor, one.way, one.size) for one in seen.alone] == [
        ("L", "up or down", inf),
        ("R", "up or down", inf),
    ]
    assert "L moving up or down shows in no chord." in list(unseen_sentences(seen))
    assert seen.blocked == ()


def test_three_chords_see_each_of_three_anchors(route: Route) -> None:
    seen = sight(route, station(THREE, "L-R", "L-K", "R-K"))
    assert [one.anchor for one in seen.ellipses] == ["L", "R", "K"]
    assert all(one.seen for one in seen.alone)
    assert seen.together == 0
    assert list(unseen_sentences(seen)) == ["The station shifting or turning as a whole shows in no chord."]
    k = seen.ellipses[2]
    assert in_words(k.angle) == "up or down"  # both chords to it are slanting: its height is known worse than its place


def test_an_ellipse_holds_its_anchor_as_the_covariance_says(route: Route) -> None:
    """By hand: with L and R held, K hangs on two chords at right angles, each known to u, sharing c: the half axes are
    the roots of u^2 + c and u^2 - c. They share the steel, and, being equally long, the holes; L-R, between
    two that are held, tells a little of the steel."""
    three = station(THREE, "L-K", "R-K", "L-R")
    held = tuple(replace(one, fixed="both") if one.name != "K" else one for one in three.anchors)
    seen = sight(route, replace(three, anchors=held))
    k = next(one for one in seen.ellipses if one.anchor == "K")
    one, other = seen.changes["L-K"], seen.changes["R-K"]
    common = covariance(one.sources, other.sources)
    assert common > 0
    assert k.long == pytest.approx(sqrt(one.u**2 + common), rel=1e-3)
    assert k.short == pytest.approx(sqrt(one.u**2 - common), rel=1e-3)


def test_four_anchors_without_a_diagonal_can_shear(route: Route) -> None:
    frame = station(FOUR, "L-R", "HL-HR", "L-HL", "R-HR")
    seen = sight(route, frame)
    assert seen.together == 1
    assert "Anchors can move together in one more way without any chord showing it." in list(unseen_sentences(seen))
    braced = sight(route, replace(frame, chords=(*frame.chords, Chord("L", "HR", None, ()))))
    assert braced.together == 0


def test_what_is_lost_when_a_chord_is_blocked(route: Route) -> None:
    three = sight(route, station(THREE, "L-R", "L-K", "R-K"))
    (without_base,) = [text for text in blocked_sentences(three, route) if text.startswith("Without L-R:")]
    assert "no displacements" in without_base
    assert "Nothing shows L on a line rising 45 degrees to the left" in without_base
    six = sight(route, station(FOUR, "L-R", "HL-HR", "L-HL", "R-HR", "L-HR", "R-HL"))
    assert all(one.long is not None and one.times > 1 for one in six.blocked)
    pair = sight(route, station(THREE, "L-R", "L-K"))
    assert "Without L-K: K is not read at all." in list(blocked_sentences(pair, route))
    apart = sight(route, station(FOUR, "L-R", "HL-HR"))
    assert "Without HL-HR: HL and HR are not read at all." in list(blocked_sentences(apart, route))


def test_a_chord_beyond_the_tape_is_named(route: Route) -> None:
    far = {**THREE, "R": ("40", "1.5")}
    seen = sight(route, station(far, "L-R", "L-K"))
    assert list(seen.changes) == ["L-K"]
    assert "L-R is beyond what this tape and extensometer read." in list(unseen_sentences(seen))


def test_a_frame_taken_off_is_common_to_all_chords(route: Route) -> None:
    framed = replace(route, controls=tuple(replace(one, correct=True) for one in route.controls))
    three = station(THREE, "L-R", "L-K", "R-K")
    assert sight(framed, three).changes["L-R"].u > 1.05 * sight(route, three).changes["L-R"].u
    assert sight(framed, three).planned.framed


@pytest.mark.parametrize(("width", "height"), [(40, 14), (80, 22)])
def test_ellipses_on_the_section(route: Route, width: int, height: int) -> None:
    seen = sight(route, station(THREE, "L-R", "L-K", "R-K"))
    drawn = draw_ellipses(seen, route, width, height)
    assert len(drawn) == height
    assert {sum(len(text) for text, _ in line) for line in drawn} == {width}
    text = as_text(drawn)
    assert "mm ellipses" in text
    assert ("m section" in text) == (width == 80)  # half a bar would mislead
    assert text.count("o") >= 3


def test_what_is_free_is_drawn_with_its_direction(route: Route) -> None:
    text = as_text(draw_ellipses(sight(route, station(THREE, "L-R")), route, 60, 16))
    assert text.count("↕") == 2


def test_the_figures_fit_half_a_terminal(route: Route) -> None:
    seen = sight(route, station(THREE, "L-R", "L-K", "R-K"))
    lines = as_text(sight_lines(seen, route, 60)).split("\n")
    assert max(len(line) for line in lines) <= 60
    assert any(line.startswith("L-R    8.00") for line in lines)


def test_the_direction_of_the_longer_half_axis_stands_beside_the_axes(route: Route) -> None:
    place = next(one for one in route.stations if len(one.chords) > 2)
    seen = sight(route, place)
    lines = as_text(sight_lines(seen, route, 100)).split("\n")
    head = next(line for line in lines if line.startswith("anchor"))
    assert head.split() == ["anchor", "half", "axes", "mm", "the", "longer", "alone", "from"]
    first = lines[lines.index(head) + 1]
    at = head.index("the longer")
    assert first[at:].startswith(in_words(seen.ellipses[0].angle))


def test_stations_of_one_layout_are_told_once(route: Route) -> None:
    one = station(THREE, "L-R", "L-K", "R-K")
    two = replace(one, name="P2", chainage=Decimal(20))
    other = replace(station(THREE, "L-R"), name="P3")
    laid = replace(route, stations=(one, two, other))
    assert [[each.name for each in group] for group in layouts(laid)] == [["P1", "P2"], ["P3"]]
    assert "Layout of P1, P2" in layout_lines(laid)


def test_check_tells_what_layouts_see_when_asked(capsys: pytest.CaptureFixture[str]) -> None:
    path = str(ROUTES / "us-cavern" / "us-cavern.toml")
    assert main(["check", path]) == 0
    assert "ellipses" not in capsys.readouterr().out
    assert main(["check", path, "--layouts"]) == 0
    assert "Layout of C1" in capsys.readouterr().out
    assert main(["check", path, "--layouts", "--json"]) == 0
    first = json.loads(capsys.readouterr().out)["layouts"][0]
    assert first["stations"] == ["C1"]
    assert first["no_displacements"] is None
    assert [one["anchor"] for one in first["ellipses"]] == ["A", "B", "C"]
