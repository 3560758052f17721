"""What will be missing on site, told of a route before a hole is drilled: frame, plant, anchors without a chord."""

from __future__ import annotations

from decimal import Decimal

import pytest

from fieldtui.route import Anchor, Plant, Problem, parse_route
from fieldtui.route.advice import advice
from fieldtui.route.site import crosses

SPRAYER = """
[[plant]]
what = "the sprayer"
left = -1.0
right = 1.0
top = 2.0
"""


def advice_on(text: str) -> tuple[Problem, ...]:
    return advice(parse_route(text, {}, name="road.toml"))


def test_a_frame_much_shorter_than_the_longest_chord_proves_little(sound: str) -> None:
    assert advice_on(sound.replace("length = 3000.0", "length = 1050.0")) == ()  # a quarter of 4.20 m
    (problem,) = advice_on(sound.replace("length = 3000.0", "length = 1049.9"))
    assert problem.key == "control[1].length"
    assert "is 1049.9 mm, much shorter than the longest chord (4200 mm)" in problem.what
    assert "longer frame" in problem.todo


def test_a_closed_station_asks_no_longer_frame(sound: str) -> None:
    closed = sound.replace("chainage = 20.0", 'chainage = 20.0\nclosed = true\nnote = "Buried."')
    assert advice_on(closed.replace("length = 3000.0", "length = 1010.0")) == ()


def test_a_closed_station_asks_for_no_clear_section_tape_or_platform(sound: str) -> None:
    low = "pole = 0\nstanding_reach = 0.5\n[uncertainty]"
    crowded = sound.replace("[uncertainty]", low).replace("holes = 400", "holes = 120") + SPRAYER
    closed = crowded.replace("chainage = 20.0", 'chainage = 20.0\nclosed = true\nnote = "Buried."')
    assert any(problem.key.startswith("station[2]") for problem in advice_on(crowded))
    found = {problem.key.split(".")[0] for problem in advice_on(closed)}
    assert found == {"station[1]"}


def test_a_chord_shorter_than_the_first_hole_cannot_be_read(sound: str) -> None:
    def short(first_hole: str) -> list[Problem]:
        """What is said of chords where the first hole is so far from the hook, in mm; the shortest chord is 2.83 m."""
        found = advice_on(sound.replace("first_hole_distance = 25.0", f"first_hole_distance = {first_hole}"))
        return [one for one in found if "chord" in one.key]

    assert short("2800.0") == []
    (found,) = short("2900.0")
    assert found.key == "station[1].chord[2]"
    assert found.what == "is 2.83 m long, shorter than any tape of this route can read (2.90 m)"
    assert "nearer to its hook" in found.todo


def test_chords_that_cross_where_plant_will_stand(sound: str) -> None:
    found = advice_on(sound + SPRAYER)
    assert [problem.key for problem in found] == ["station[1].chord[1]", "station[2].chord[1]"]
    assert found[0].what == "(L-R) crosses where the sprayer will stand"
    (only,) = advice_on(sound + SPRAYER + 'stations = ["S2"]\n')
    assert only.key == "station[2].chord[1]"


def test_plant_that_stands_clear_gets_no_word(sound: str) -> None:
    assert advice_on(sound + SPRAYER.replace("top = 2.0", "top = 1.5")) == ()


@pytest.mark.parametrize(
    ("one", "other", "crossed"),
    [
        (("-3", "1"), ("3", "1"), True),
        (("-3", "2"), ("3", "2"), False),  # along its upper edge
        (("-3", "3"), ("3", "3"), False),
        (("-1", "0"), ("-1", "5"), False),  # along its side
        (("0", "1"), ("0.5", "1.5"), True),  # all of it within
        (("-3", "0.5"), ("-2", "0.6"), False),  # short of it
        (("-2", "1"), ("0", "3"), False),  # touches a corner
        (("-2", "1"), ("0", "2.9"), True),
        (("0", "5"), ("0", "2"), False),  # down to its top
    ],
)
def test_what_it_is_to_cross_a_rectangle(one: tuple[str, str], other: tuple[str, str], crossed: bool) -> None:
    plant = Plant("a mixer", Decimal(-1), Decimal(1), Decimal(0), Decimal(2))
    ends = [Anchor(name, Decimal(x), Decimal(y)) for name, (x, y) in zip("AB", (one, other), strict=True)]
    assert crosses(*ends, plant) is crossed
    assert crosses(*reversed(ends), plant) is crossed


def test_an_anchor_that_no_chord_goes_to(sound: str) -> None:
    chord = '[[station.chord]]\nfrom = "L"\nto = "K"\n'
    assert chord in sound
    (problem,) = advice_on(sound.replace(chord, ""))
    assert problem.key == "station[1].anchor[3]"
    assert '"K" is the end of no chord' in problem.what


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        ("right = 1.0", "right = -1.0", "plant[1].right", "not to the right of left"),
        ("top = 2.0", "top = 0.0", "plant[1].top", "not above bottom"),
        ("top = 2.0", 'top = 2.0\nstations = ["S9"]', "plant[1].stations", 'no station "S9"'),
        ("top = 2.0", "", "plant[1].top", "is missing"),
        ("top = 2.0", "top = 2.0\nheight = 2.0", "plant[1].height", "no key"),
    ],
)
def test_plant_that_cannot_be(sound: str, problems_of, old: str, new: str, key: str, words: str) -> None:  # type: ignore[no-untyped-def]
    (problem,) = problems_of(sound + SPRAYER.replace(old, new))
    assert problem.key == key
    assert words in problem.what
