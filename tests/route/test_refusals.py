"""Routes with mistakes: all of them at once, each with file, line and key, and what to do about it.

The line that is expected is the one with the remark #! on it.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from fieldtui.errors import FieldError
from fieldtui.route import Problem, RouteRefused, parse_route

ProblemsOf = Callable[..., tuple[Problem, ...]]


def marked_lines(text: str) -> list[int]:
    return [number for number, line in enumerate(text.split("\n"), 1) if "#!" in line]


def test_the_sound_route_is_not_refused(sound: str) -> None:
    assert len(parse_route(sound, {}, name="road.toml").stations) == 2


def test_ten_mistakes_are_told_at_once_in_order_of_line(sound: str, problems_of: ProblemsOf) -> None:
    edits = [
        ('time_zone = "Etc/UTC"', 'time_zone = "Mars/Olympus"  #!', "time_zone"),
        ("hole = 0.03", "hole = -0.03  #!", "uncertainty.hole"),
        ('advances = "up"', 'advances = "north"  #!', "face[1].advances"),
        ("pitch = 25.0", 'pitch = "25.0"  #!', "tape[1].pitch"),
        ("expansion = 11.6e-6", "expansion = 11.6e-3  #!", "tape[1].expansion"),
        ('response = "Stop."', 'respons = "Stop."  #!', "level[2].respons"),
        ("every_days = 365", "every_days = 0  #!", "care[1].every_days"),
        ('face = "north"', 'face = "south"  #!', "station[1].face"),
        ('to = "K"', 'to = "KX"  #!', "station[1].chord[2].to"),
        ("chainage = 20.0", "chainage = true  #!", "station[2].chainage"),
    ]
    text = sound
    for old, new, _ in edits:
        assert old in text
        text = text.replace(old, new, 1)
    found = problems_of(text)
    assert [problem.key for problem in found] == [key for _, _, key in edits]
    assert [problem.line for problem in found] == marked_lines(text)
    assert all(problem.todo for problem in found)


def test_a_problem_reads_as_a_sentence_with_its_place(sound: str, problems_of: ProblemsOf) -> None:
    text = sound.replace('to = "R"\nlength', 'to = "RX"\nlength')
    (problem,) = problems_of(text)
    line = text.split("\n").index('to = "RX"') + 1
    assert str(problem) == (
        f'road.toml:{line}: station[1].chord[1].to: there is no anchor "RX" at this station; name one of L, R, K.'
    )


def test_the_refusal_is_one_of_the_errors_a_person_may_meet(sound: str) -> None:
    with pytest.raises(FieldError) as caught:
        parse_route(sound.replace("holes = 400", "holes = 0"), {}, name="road.toml")
    assert isinstance(caught.value, RouteRefused)
    assert str(caught.value) == str(caught.value.problems[0])
    assert caught.value.where.startswith("road.toml:")
    two = sound.replace("holes = 400", "holes = 0").replace("limit = 0.15", "limit = 0")
    with pytest.raises(RouteRefused) as caught_two:
        parse_route(two, {}, name="road.toml")
    assert caught_two.value.what == "2 mistakes in this route."
    assert str(caught_two.value).count("\n") == 1
    assert caught_two.value.where == "road.toml"


@pytest.mark.parametrize(
    ("old", "key", "line_of"),
    [
        ("format = 1\n", "format", "# An invented scenario."),
        ('name = "Invented drift"\n', "name", "# An invented scenario."),
        ('units = "metric"\n', "units", "# An invented scenario."),
        ("hole = 0.03\n", "uncertainty.hole", "[uncertainty]"),
        ("pitch = 25.0\n", "tape[1].pitch", "[[tape]]"),
        ("expansion = 11.6e-6\n", "tape[1].expansion", "[[tape]]"),
        ("expansion_uncertainty = 0.5e-6\n", "tape[1].expansion_uncertainty", "[[tape]]"),
        ("reference_temperature = 20.0\n", "tape[1].reference_temperature", "[[tape]]"),
        ("dial_range = [0.0, 50.0]\n", "extensometer[1].dial_range", "[[extensometer]]"),
        ("dial_resolution = 0.01\n", "extensometer[1].dial_resolution", "[[extensometer]]"),
        ("length = 3000.0\n", "control[1].length", "[[control]]"),
        ('dial_serial = "D-1"\n', "extensometer[1].dial_serial", "[[extensometer]]"),
        ("limit = 0.15\n", "control[1].limit", "[[control]]"),
        ('response = "Read again."\n', "level[1].response", "[[level]]"),
        ('tell = ["shift engineer"]\n', "level[1].tell", "[[level]]"),
        ("every_hours = 24\n", "frequency[1].every_hours", "[[frequency]]"),
        ("share_of_end = 0.9\n", "stability.share_of_end", "[stability]"),
        ('what = "dial battery"\n', "care[1].what", "[[care]]"),
        ("chainage = 10.0\n", "station[1].chainage", "[[station]]"),
        ("across = -2.0\n", "station[1].anchor[1].across", "[[station.anchor]]"),
        ('to = "K"\n', "station[1].chord[2].to", None),
    ],
)
def test_a_missing_key_is_told_at_its_table(
    sound: str, problems_of: ProblemsOf, old: str, key: str, line_of: str | None
) -> None:
    assert old in sound
    text = sound.replace(old, "", 1)
    (problem,) = problems_of(text)
    assert problem.key == key
    assert "is missing" in problem.what
    if line_of is not None:
        assert problem.line == text.split("\n").index(line_of) + 1


def test_everything_that_an_empty_file_lacks_is_told(problems_of: ProblemsOf) -> None:
    found = problems_of("")
    assert {problem.key for problem in found} == {
        "format",
        "name",
        "units",
        "uncertainty",
        "tape",
        "extensometer",
        "station",
    }
    assert {problem.line for problem in found} == {1}


def test_a_key_that_is_misspelt_is_not_called_missing_too(sound: str, problems_of: ProblemsOf) -> None:
    (problem,) = problems_of(sound.replace("pitch = 25.0", "Pich = 25.0"))
    assert problem.todo == 'perhaps "pitch" is meant'
    (problem,) = problems_of(sound.replace("[uncertainty]", "[uncertainties]"))
    assert problem.todo == 'perhaps "uncertainty" is meant'


def test_a_key_of_any_signs_is_told(sound: str, problems_of: ProblemsOf) -> None:
    for key in ("<x", "<own>"):
        (problem,) = problems_of(sound.replace("format = 1", f'format = 1\n"{key}" = 1'))
        assert problem.key == key
    own = 'to = "R"\nlevel = [{name = "own", closing = 1, response = "Stop.", tell = ["crew"], "<own>" = 1}]\n'
    (problem,) = problems_of(sound.replace('to = "R"\n', own, 1))
    assert problem.key == "station[1].chord[1].level[1].<own>"


def test_a_frequency_whose_figure_is_refused_is_not_told_that_it_has_none(sound: str, problems_of: ProblemsOf) -> None:
    (problem,) = problems_of(sound.replace("rate_above = 1.0", 'rate_above = "fast"'))
    assert problem.key == "frequency[1].rate_above"


def test_a_key_in_the_wrong_table_is_told_where_it_belongs(sound: str, problems_of: ProblemsOf) -> None:
    (problem,) = problems_of(sound.replace("hole = 0.03", "hole = 0.03\nbaseline_sets = 2"))
    assert problem.key == "uncertainty.baseline_sets"
    assert "before the first table" in problem.todo
    (problem,) = problems_of(sound.replace("pitch = 25.0", "pitch = 25.0\nrepeatability = 0.05"))
    assert problem.todo == "it belongs in [extensometer]"
    (problem,) = problems_of(sound.replace("pitch = 25.0", "pitch = 25.0\nzzz = 0.05"))
    assert "use one of serial, pitch," in problem.todo


def test_tapes_extensometers_and_faces_are_told_apart_by_their_names(sound: str, problems_of: ProblemsOf) -> None:
    for header, key in (("[[tape]]", "tape[2].serial"), ("[[extensometer]]", "extensometer[2].serial")):
        start = sound.index(header)
        block = sound[start : sound.index("\n\n", start)]
        (problem,) = problems_of(sound.replace(block, f"{block}\n\n{block}"))
        assert problem.key == key
    (problem,) = problems_of(sound.replace('[[face]]\nname = "north"\nadvances = "up"', "", 1))
    assert problem.key == "station[1].face"


def test_a_station_needs_anchors_and_unless_closed_chords(sound: str, problems_of: ProblemsOf) -> None:
    head = sound[: sound.index('[[station]]\nname = "S2"')]
    bare = '[[station]]\nname = "S2"\nchainage = 1\n'
    anchor = '[[station.anchor]]\nname = "L"\nacross = 0\nup = 0\n'
    assert [problem.what for problem in problems_of(head + bare)] == ["has no anchors", "has no chords"]
    assert [problem.what for problem in problems_of(head + bare + anchor)] == ["has no chords"]
    closed = 'closed = true\nnote = "Not set yet."\n'
    assert len(parse_route(head + bare + closed + anchor, {}, name="x").stations) == 2
    (problem,) = problems_of(head + bare + closed)
    assert problem.what == "has no anchors"


@pytest.mark.parametrize(("name", "words"), [("K-1", 'has a "-"'), ("L", "already the name")])
def test_an_anchor_has_a_name_of_its_own_without_a_dash(
    sound: str, problems_of: ProblemsOf, name: str, words: str
) -> None:
    text = sound.replace('name = "K"', f'name = "{name}"  #!').replace('from = "L"\nto = "K"', 'from = "R"\nto = "K"')
    anchor, chord = problems_of(text)
    assert (anchor.line, anchor.key) == (marked_lines(text)[0], "station[1].anchor[3].name")
    assert words in anchor.what
    assert 'no anchor "K"' in chord.what


def test_a_refused_anchor_name_does_not_put_its_chords_in_the_wrong(sound: str, problems_of: ProblemsOf) -> None:
    (problem,) = problems_of(sound.replace('name = "K"', "name = 3"))
    assert problem.key == "station[1].anchor[3].name"


def test_stations_that_are_no_tables_are_told_one_by_one(sound: str, problems_of: ProblemsOf) -> None:
    head = sound[: sound.index("[[station]]")]
    found = problems_of("station = [\n1,\n{name = 3},\n'x']\n" + head)
    assert [(problem.line, problem.key) for problem in found][:2] == [(2, "station[1]"), (3, "station[2]")]
    assert (found[-1].line, found[-1].key) == (4, "station[3]")


def test_two_anchors_without_a_place_are_not_at_one_spot(sound: str, problems_of: ProblemsOf) -> None:
    found = problems_of(sound.replace("across = -2.0", "across = 'x'").replace("across = 2.0", "across = 'x'"))
    assert [problem.key for problem in found] == ["station[1].anchor[1].across", "station[1].anchor[2].across"]
    text = sound.replace("across = 2.0\nup = 1.5", "across = -2.0").replace("across = -2.0\nup = 1.5", "across = -2.0")
    assert [problem.key for problem in problems_of(text)] == ["station[1].anchor[1].up", "station[1].anchor[2].up"]


def test_two_chords_without_an_end_are_not_the_same_chord(sound: str, problems_of: ProblemsOf) -> None:
    found = problems_of(sound.replace('to = "R"\nlength', "length").replace('to = "K"\n', ""))
    assert [problem.key for problem in found] == ["station[1].chord[1].to", "station[1].chord[2].to"]
    found = problems_of(
        sound.replace('from = "L"\nto = "R"\nlength', 'to = "K"\nlength').replace('from = "L"\nto = "K"', 'to = "K"')
    )
    assert [problem.key for problem in found] == ["station[1].chord[1].from", "station[1].chord[2].from"]


def test_a_chord_over_again_names_the_first(sound: str, problems_of: ProblemsOf) -> None:
    (problem,) = problems_of(sound.replace('to = "K"', 'to = "R"'))
    assert "is chord 1 of this station over again (L-R)" in problem.what


def test_a_station_whose_closing_was_refused_is_not_asked_for_chords(sound: str, problems_of: ProblemsOf) -> None:
    bare = 'closed = "yes"\n[[station.anchor]]\nname = "L"\nacross = 0\nup = 0\n'
    (problem,) = problems_of(sound[: sound.rindex('[[station.anchor]]\nname = "L"')] + bare)
    assert problem.key == "station[2].closed"
    text = sound[: sound.rindex("[[station.chord]]")].replace("chainage = 20.0", "chainage = 20.0\nchord = 3")
    (problem,) = problems_of(text)
    assert problem.key == "station[2].chord"


@pytest.mark.parametrize(
    ("header", "key"), [("[[face]]", "face[2].name"), ("[[control]]", "control[2].name"), ("[[care]]", "care[2].what")]
)
def test_names_are_given_once(sound: str, problems_of: ProblemsOf, header: str, key: str) -> None:
    start = sound.index(header)
    block = sound[start : sound.index("\n\n", start)]
    (problem,) = problems_of(sound.replace(block, f"{block}\n\n{block}"))
    assert problem.key == key


def test_what_to_add_is_said(sound: str, problems_of: ProblemsOf) -> None:
    (problem,) = problems_of(sound.replace("pitch = 25.0\n", ""))
    assert problem.todo == 'add "pitch = …" to [tape]'
    (problem,) = problems_of(sound.replace('units = "metric"\n', ""))
    assert problem.todo == 'add "units = …" to the top of the file'
    table = sound[sound.index("[uncertainty]") : sound.index("[[face]]")]
    (problem,) = problems_of(sound.replace(table, ""))
    assert problem.todo == "add the table [uncertainty] with temperature, reproducibility and hole"
    (problem,) = problems_of(sound.replace(table, "").replace("[[face]]", "uncertainty = 3\n[[face]]", 1))
    assert (problem.what, problem.todo) == ("must be a table, not 3", "write it under [uncertainty]")
    found = problems_of("station = [3]\n" + sound[: sound.index("[[station]]")])
    assert found[0].todo == "write it under [[station]]"


def test_a_problem_without_advice_ends_with_its_sentence() -> None:
    assert str(Problem("road.toml", 3, "name", "is empty")) == "road.toml:3: name: is empty."
    assert str(Problem("road.toml", 0, "", "is empty", "fill it")) == "road.toml: is empty; fill it."
