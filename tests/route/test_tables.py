"""A tape's calibration table: hole and distance, rising, near the spacing of the tape."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest

from fieldtui.route import Problem, parse_route
from fieldtui.route.table import read_table

ProblemsOf = Callable[..., tuple[Problem, ...]]
GOOD = "hole,distance\n1,25.01\n2,50.02\n3,75.00\n4,99.98\n"


def with_table(sound: str) -> str:
    return sound.replace("holes = 400", 'holes = 400\ncalibration = "t.csv"')


def test_distances_are_exact_and_holes_outside_the_table_do_not_exist(sound: str) -> None:
    tape = parse_route(with_table(sound), {"t.csv": GOOD}, name="road.toml").tapes[0]
    assert tape.hole_distance(4) == Decimal("99.98")
    assert not tape.has_hole(5)
    with pytest.raises(KeyError):
        tape.hole_distance(5)


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + GOOD,
        GOOD.replace("\n", "\r\n"),
        "\n\n" + GOOD,
        GOOD.replace(",", " , ").replace("hole ", "Hole "),
        GOOD.replace(".", "#").replace(",", ";").replace("#", ","),
        GOOD.replace("2,50.02", '"2","50.02"'),
        GOOD.replace("\n", "\n\n"),
        GOOD.rstrip(),
    ],
)
def test_the_same_table_in_other_clothes(text: str) -> None:
    table = read_table(text, "t.csv")
    assert table.problems == ()
    assert table.distances == {1: Decimal("25.01"), 2: Decimal("50.02"), 3: Decimal("75.00"), 4: Decimal("99.98")}


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("", 1, "is empty"),
        ("\n \n", 1, "is empty"),
        ("distance,hole\n1,25\n", 1, "does not begin with the line hole,distance"),
        ("\n1,25.0\n", 2, "does not begin with the line hole,distance"),
        ("hole,distance\n\n", 1, "has no hole in it"),
        (GOOD.replace("2,50.02", "2"), 3, "has 1 columns"),
        (GOOD.replace("2,50.02", "2,50.02,1"), 3, "has 3 columns"),
        (GOOD.replace("2,50.02", "2.0,50.02"), 3, 'has "2.0" where the number of a hole belongs'),
        (GOOD.replace("2,50.02", "-2,50.02"), 3, 'has "-2" where the number of a hole belongs'),
        (GOOD.replace("2,50.02", "２,50.02"), 3, "where the number of a hole belongs"),
        (GOOD.replace("2,50.02", "2,nan"), 3, 'has "nan" where a distance belongs'),
        (GOOD.replace("2,50.02", "2,5e1"), 3, 'has "5e1" where a distance belongs'),
        (GOOD.replace("2,50.02", "2,"), 3, 'has "" where a distance belongs'),
        (GOOD.replace("2,50.02", "1,50.02"), 3, "names hole 1 after hole 1"),
        (GOOD.replace("3,75.00", "3,50.02"), 4, "puts hole 3 at 50.02, not beyond the 50.02"),
        # more than half a pitch (12.5) out
        (GOOD.replace("2,50.02", "2,62.52"), 3, "more than half a pitch"),
        (GOOD.replace("1,25.01", "1,12.49"), 2, "more than half a pitch"),
        ("hole,distance\n399,9975\n400,10000\n401,10025\n", 4, "names hole 401, but the tape has holes 1 to 400"),
        ("hole,distance\n0,0.0\n1,25.0\n", 2, "names hole 0"),
    ],
)
def test_a_line_that_cannot_be_is_told_in_the_tables_own_file(
    sound: str, problems_of: ProblemsOf, text: str, line: int, words: str
) -> None:
    (problem,) = problems_of(with_table(sound), {"t.csv": text})
    assert (problem.file, problem.line, problem.key) == ("t.csv", line, "")
    assert words in problem.what
    assert problem.todo


def test_half_a_pitch_out_is_still_taken(sound: str) -> None:
    text = GOOD.replace("2,50.02", "2,62.50")
    assert parse_route(with_table(sound), {"t.csv": text}, name="x").tapes[0].hole_distance(2) == Decimal("62.50")


def test_mistakes_of_the_route_and_of_its_table_are_told_together_by_file_and_line(
    sound: str, problems_of: ProblemsOf
) -> None:
    text = with_table(sound).replace("every_days = 365", "every_days = 0").replace('to = "K"', 'to = "Q"')
    found = problems_of(text, {"t.csv": GOOD.replace("2,50.02", "x,50.02").replace("4,99.98", "4,y")})
    assert [(problem.file, problem.line) for problem in found] == [
        ("road.toml", text.split("\n").index("every_days = 0") + 1),
        ("road.toml", text.split("\n").index('to = "Q"') + 1),
        ("t.csv", 3),
        ("t.csv", 5),
    ]


def test_one_slip_that_runs_through_a_table_is_told_a_few_times_and_counted(
    sound: str, problems_of: ProblemsOf
) -> None:
    rows = "".join(f"{hole},{25 * hole + 25}\n" for hole in range(1, 101))
    found = problems_of(with_table(sound), {"t.csv": "hole,distance\n" + rows})
    assert [problem.line for problem in found] == [2, 3, 4, 5, 6]
    assert "(and 95 more lines like it)" in found[-1].what


def test_five_slips_are_told_one_by_one(sound: str, problems_of: ProblemsOf) -> None:
    rows = "".join(f"{hole},x\n" for hole in range(1, 6))
    found = problems_of(with_table(sound), {"t.csv": "hole,distance\n" + rows})
    assert [problem.line for problem in found] == [2, 3, 4, 5, 6]
    assert not any("more lines" in problem.what for problem in found)


def test_the_hole_before_is_named(sound: str, problems_of: ProblemsOf) -> None:
    (problem,) = problems_of(with_table(sound), {"t.csv": GOOD.replace("3,75.00", "3,50.02")})
    assert problem.what == "puts hole 3 at 50.02, not beyond the 50.02 of hole 2"


def test_the_first_line_is_measured_against_the_tape_itself(sound: str) -> None:
    for first in ("12.50", "37.50"):
        text = f"hole,distance\n1,{first}\n"
        assert parse_route(with_table(sound), {"t.csv": text}, name="x").tapes[0].hole_distance(1) == Decimal(first)


def test_a_slow_drift_is_what_calibration_is_for(sound: str) -> None:
    rows = "".join(f"{hole},{Decimal('25.1') * hole}\n" for hole in range(1, 401))
    tape = parse_route(with_table(sound), {"t.csv": "hole,distance\n" + rows}, name="x").tapes[0]
    assert tape.hole_distance(400) == Decimal("10040.0")


@pytest.mark.parametrize("key", ["first_hole = 1\n", "first_hole_distance = 25.0\n", "holes = 400\n", "pitch = 25.0\n"])
def test_a_table_is_read_even_where_the_tape_lacks_a_key(sound: str, problems_of: ProblemsOf, key: str) -> None:
    text = with_table(sound).replace(key, "", 1)
    (missing, slip) = problems_of(text, {"t.csv": GOOD.replace("2,50.02", "2,x")})
    assert missing.key == f"tape[1].{key.split()[0]}"
    assert (slip.file, slip.line) == ("t.csv", 3)
