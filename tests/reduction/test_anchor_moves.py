"""One anchor moves: what its chords do, by the coordinates of their ends before and after."""

from __future__ import annotations

from dataclasses import dataclass
from math import dist

import pytest
from bench.misreading.mishaps import with_anchor
from msgspec.structs import replace
from reduction.adit import ANCHORS, CHORDS, STATIONS

from fieldtui.reduction.moved import share_along

PLACES = {one.name: (1000 * float(one.across), 1000 * float(one.up)) for one in ANCHORS}
ENDS = {"L": ("L-R", "L-K"), "R": ("R-K", "L-R"), "K": ("L-K", "R-K")}
"""Of each anchor the chord that is being read, and the one read before it."""


def lengthened(name, by, chord):
    """How much longer a chord is once that anchor has moved, mm."""
    moved = {**PLACES, name: (PLACES[name][0] + by[0], PLACES[name][1] + by[1])}
    hook, far = chord.split("-")
    return dist(moved[hook], moved[far]) - dist(PLACES[hook], PLACES[far])


def along(name, chord, by):
    """A move of an anchor that makes this chord longer by that and no more."""
    far = chord.replace(name, "").strip("-")
    whole = dist(PLACES[name], PLACES[far])
    return tuple(by * (here - there) / whole for here, there in zip(PLACES[name], PLACES[far], strict=True))


@pytest.mark.parametrize("name", ENDS)
def test_another_chord_takes_the_cosine_of_the_angle_between_them(name):
    read, other = ENDS[name]
    by = along(name, read, 0.5)
    assert lengthened(name, by, read) == pytest.approx(0.5, abs=1e-3)
    assert 0.5 * share_along(STATIONS[1], name, read, other) == pytest.approx(lengthened(name, by, other), abs=1e-3)


def test_a_chord_that_does_not_go_there_takes_nothing():
    assert share_along(STATIONS[1], "L", "L-R", "R-K") is None


def test_where_the_route_has_two_anchors_in_one_place_the_other_chord_may_do_anything():
    nowhere = replace(
        STATIONS[1], anchors=tuple(replace(one, across=ANCHORS[0].across, up=ANCHORS[0].up) for one in ANCHORS)
    )
    assert share_along(nowhere, "L", "L-R", "L-K") == 0


@dataclass
class Line:
    """A chord of the benchmark's route, as far as it is asked of it here."""

    key: tuple[str, str]

    @property
    def chord(self):
        return next(chord for chord in CHORDS if chord.name == self.key[1])


@dataclass
class Crew:
    """A crew at a chord of B, the others read."""

    line: Line
    others: list

    @property
    def clean(self):
        return self

    station = STATIONS[1]


@pytest.mark.parametrize("name", ENDS)
def test_the_benchmark_moves_an_anchor_as_its_coordinates_have_it(name):
    """By 0.5 mm along the chord that is read, and 0.3 across: no other chord of the station, and none of another."""
    read, other = ENDS[name]
    others = [Line(key) for key in (*(("B", chord.name) for chord in CHORDS if chord.name != read), ("A", other))]
    found = with_anchor(Crew(Line(("B", read)), [(line, None, 0.0) for line in others]), name, 0.5, 0.3)
    assert set(found) == {("B", other)}
    x, y = along(name, read, 0.5)
    by = (x - 0.3 / 0.5 * y, y + 0.3 / 0.5 * x)
    assert found["B", other] == pytest.approx(lengthened(name, by, other), abs=1e-3)
