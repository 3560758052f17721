"""A station's section as it is drawn: looked at once, held since."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldtui.route import Anchor, Chord, Station
from fieldtui.route.naming import cells_of
from fieldtui.route.section import HEAVY, HOOK, Line, draw_section


def a_station(anchors: list[tuple[str, str, str]], chords: list[tuple[str, str]]) -> Station:
    return Station(
        name="S1",
        chainage=Decimal(0),
        face=None,
        caution="",
        closed=False,
        note="",
        anchors=tuple(Anchor(name, Decimal(across), Decimal(up)) for name, across, up in anchors),
        chords=tuple(Chord(hook, far, None, ()) for hook, far in chords),
    )


STATIONS = {
    "FIVE": a_station(
        [("L", "-4.8", "1.6"), ("R", "4.8", "1.6"), ("HL", "-3.6", "4.6"), ("HR", "3.6", "4.6"), ("K", "0", "5.2")],
        [("L", "R"), ("HL", "HR"), ("L", "K"), ("R", "K"), ("L", "HR"), ("R", "HL"), ("HL", "K")],
    ),
    "WIDE": a_station([("left wall", "-12.0", "1.2"), ("right wall", "12.0", "1.4")], [("left wall", "right wall")]),
    "CLOSE": a_station(
        [("L1", "-3", "4"), ("L2", "-2.95", "4.02"), ("R1", "3", "4"), ("R2", "3.02", "3.98")],
        [("L1", "R1"), ("L2", "R2")],
    ),
}

GOLDENS = {
    ("FIVE", "R-K", 36, 11): """
|                                    |
|                  K                 |
|             .....o#                |
|    HL o............##......o HR    |
|          .....      .##..          |
|          ...  ......   ##          |
|        ..  .....  .....  ##        |
|      ......            ....##      |
|  L o.........................#@    |
|                            R hook  |
|                                    |
""",
    ("FIVE", "R-K", 60, 20): """
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                              K                             |
|                     .........o#                            |
|       HL o.....................###..............o HR       |
|             ......    ...         ##    ......             |
|                   ......          ..###.                   |
|                  ..     ..........     ###                 |
|               ...      ............       ###              |
|            ...    .....            .....     ###           |
|         ... ......                      ......  ##         |
|      .......                                  ....###      |
|  L o.................................................#@    |
|                                                    R hook  |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
""",
    ("FIVE", "R-K", 24, 8): """
|                        |
|            K           |
|          ..o#          |
|   HL o.......##.o HR   |
|      ..........##      |
|  L o.............#@    |
|                R hook  |
|                        |
""",
    ("WIDE", "right wall-left wall", 36, 11): """
|                                    |
|                                    |
|                                    |
|                                    |
|                 right wall hook    |
| left wall o############@           |
|                                    |
|                                    |
|                                    |
|                                    |
|                                    |
""",
    ("WIDE", "right wall-left wall", 60, 20): """
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                        right wall hook     |
|  left wall o##################################@            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
""",
    ("WIDE", "right wall-left wall", 24, 8): """
|                        |
|                        |
|                        |
|         right wall hook|
|       o########@       |
|left wall               |
|                        |
|                        |
""",
    ("CLOSE", "L1-R1", 36, 11): """
|                                    |
|                                    |
|                                    |
|                                    |
|  L2 o............           R2     |
|    @#########################oo R1 |
|L1 hook                             |
|                                    |
|                                    |
|                                    |
|                                    |
""",
    ("CLOSE", "L1-R1", 60, 20): """
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
| L2 o..................................................o R2 |
|    @##################################################o R1 |
|L1 hook                                                     |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
|                                                            |
""",
    ("CLOSE", "L1-R1", 24, 8): """
|                        |
|                        |
|                        |
| L2 o..............o R2 |
|    @##############o R1 |
|L1 hook                 |
|                        |
|                        |
""",
}


def chord_from(station: Station, name: str) -> Chord:
    """The chord with its hook at the end that is named first."""
    hook, far = name.split("-")
    return Chord(hook, far, None, ())


def text_of(lines: list[Line]) -> list[str]:
    return ["".join(piece for piece, _ in line) for line in lines]


@pytest.mark.parametrize(("station", "chord", "width", "height"), GOLDENS)
def test_the_section_as_it_was_approved(station: str, chord: str, width: int, height: int) -> None:
    drawn = draw_section(STATIONS[station], chord_from(STATIONS[station], chord), width, height)
    expected = GOLDENS[station, chord, width, height].strip().split("\n")
    assert [f"|{line}|" for line in text_of(drawn)] == expected


def test_every_piece_says_what_it_is() -> None:
    lines = draw_section(STATIONS["FIVE"], chord_from(STATIONS["FIVE"], "L-R"), 36, 11)
    roles: dict[str, str] = {}
    for line in lines:
        for piece, role in line:
            roles[role] = roles.get(role, "") + piece
    assert set(roles["chord"]) == {HEAVY}
    assert set(roles["other"]) == {"."}
    assert set(roles[""]) == {" "}
    assert sorted(roles["hook"]) == sorted(HOOK + "L hook")
    assert sorted(roles["anchor"]) == sorted("o" * 4 + "R" + "K" + "HL" + "HR")


def test_without_a_chord_to_read_nothing_is_heavy_and_nothing_is_the_hook() -> None:
    lines = draw_section(STATIONS["FIVE"], None, 36, 11)
    assert {role for line in lines for _, role in line} == {"", "anchor", "other"}
    assert "hook" not in "".join(text_of(lines))


def test_the_drawing_keeps_the_shape_of_the_section() -> None:
    square = a_station([("A", "0", "0"), ("B", "4", "0"), ("C", "4", "4"), ("D", "0", "4")], [])
    marks = [
        (line.index("o"), row) for row, line in enumerate(text_of(draw_section(square, None, 60, 20))) if "o" in line
    ]
    rights = [line.rindex("o") for line in text_of(draw_section(square, None, 60, 20)) if "o" in line]
    across, up = rights[0] - marks[0][0], marks[-1][1] - marks[0][1]
    assert abs(across - 2 * up) <= 1  # a cell is twice as high as wide


def test_right_is_right_and_up_is_up() -> None:
    lines = text_of(draw_section(STATIONS["FIVE"], None, 36, 11))
    row = {name: next(row for row, line in enumerate(lines) if f" {name} " in line) for name in ("K", "HL", "HR", "R")}
    assert row["K"] < row["HL"] == row["HR"] < row["R"]
    assert lines[row["HL"]].index("HL") < lines[row["HR"]].index("HR")


def test_the_smallest_sheets() -> None:
    """A row is kept free above and below from five rows on; the hook's mark stands over all others."""
    upright = a_station([("F", "0", "0"), ("K", "0", "6")], [("F", "K")])
    read = upright.chords[0]
    assert text_of(draw_section(upright, read, 1, 1)) == ["@"]
    assert text_of(draw_section(upright, read, 5, 3)) == ["K o  ", "  #  ", "F @  "]
    assert [line.count("o") for line in text_of(draw_section(upright, None, 9, 4))] == [1, 0, 0, 1]
    assert [line.count("o") for line in text_of(draw_section(upright, None, 9, 5))] == [0, 1, 0, 1, 0]


def test_a_station_without_anchors_is_an_empty_sheet() -> None:
    assert draw_section(a_station([], []), None, 4, 2) == [[("    ", "")], [("    ", "")]]
    assert draw_section(STATIONS["FIVE"], None, 0, 2) == [[], []]
    assert draw_section(STATIONS["FIVE"], None, 4, 0) == []


NAMES = st.text(
    st.characters(codec="utf-8", categories=("L", "N", "Mn"), exclude_characters="-"), min_size=1, max_size=9
).filter(lambda name: cells_of(name[0]) != ())
PLACES = st.decimals(-30, 30, places=2)


@st.composite
def stations(draw: st.DrawFn) -> tuple[Station, Chord | None]:
    names = draw(st.lists(NAMES, min_size=1, max_size=12, unique=True))
    narrow = draw(st.booleans())
    places = st.decimals(0, 1, places=1) if narrow else PLACES
    anchors = tuple(Anchor(name, draw(places), draw(places)) for name in names)
    pairs = draw(st.lists(st.tuples(st.sampled_from(names), st.sampled_from([*names, "gone"])), max_size=12))
    chords = tuple(Chord(hook, far, None, ()) for hook, far in pairs)
    station = Station("S", Decimal(0), None, "", False, "", anchors, chords)
    return station, draw(st.sampled_from([None, *chords]))


def width_of(text: str) -> int:
    return len(cells_of(text))


@given(stations(), st.integers(0, 80), st.integers(0, 30))
@settings(max_examples=80, deadline=None)
def test_any_station_fills_exactly_its_lines(given_one: tuple[Station, Chord | None], width: int, height: int) -> None:
    station, chord = given_one
    lines = draw_section(station, chord, width, height)
    assert len(lines) == height
    assert all(sum(width_of(piece) for piece, _ in line) == width for line in lines)


@given(stations())
@settings(max_examples=60, deadline=None)
def test_no_name_is_cut_or_written_over_where_there_is_room(given_one: tuple[Station, Chord | None]) -> None:
    station, chord = given_one
    lines = draw_section(station, chord, 60, 20)
    marks_and_names = [piece for line in lines for piece, role in line if role in ("anchor", "hook")]
    words = len(" hook") if any("hook" in piece for piece in marks_and_names) else 0
    names = sum(width_of(anchor.name) for anchor in station.anchors)
    assert sum(width_of(piece) for piece in marks_and_names) == len(station.anchors) + names + words
    for anchor in station.anchors:
        assert any(anchor.name in piece for piece in marks_and_names)


def test_wide_signs_take_two_cells_and_combining_ones_none() -> None:
    assert cells_of("A") == ("A",)
    assert cells_of("\u6771") == ("\u6771", "")
    assert cells_of("e\u0301") == ("e\u0301",)
    assert cells_of("\u0301") == ()


FLAT = st.tuples(st.integers(1, 60), st.sampled_from([-1, 1]), st.integers(-59, 59))


@given(FLAT, st.integers(24, 80), st.integers(3, 20))
def test_no_anchor_seems_to_lie_on_a_chord_that_passes_it(crown: tuple[int, int, int], width: int, height: int) -> None:
    """A crown anchor a few centimetres above the walls' comes down to their row where a flat section is to scale."""
    above, side, across = crown
    up = Decimal("1.5") + side * Decimal(above) / 100
    flat = a_station(
        [("L", "-6", "1.5"), ("R", "6", "1.5"), ("K", str(Decimal(across) / 10), str(up))],
        [("L", "R"), ("L", "K"), ("R", "K")],
    )
    drawn = ["".join(text for text, _ in line) for line in draw_section(flat, flat.chords[0], width, height)]
    assert not any("#o#" in line for line in drawn), "\n".join(drawn)


def test_an_anchor_that_does_lie_on_a_chord_is_drawn_on_it() -> None:
    level = a_station([("L", "-6", "1.5"), ("R", "6", "1.5"), ("K", "0", "1.5")], [("L", "R")])
    drawn = ["".join(text for text, _ in line) for line in draw_section(level, level.chords[0], 40, 8)]
    assert any("#o#" in line for line in drawn)
