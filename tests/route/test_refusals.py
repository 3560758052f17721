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


OWN_LEVEL = 'level = [{name = "own", closing = 2, response = "Look.", tell = ["x"]}'

ONE_MISTAKE = [
    # the top of the file
    ("format = 1", 'format = "1" #!', "format", "must be a number"),
    ('units = "metric"', 'units = "Metric" #!', "units", 'must be "metric" or "US"'),
    ('name = "Invented drift"', 'name = " " #!', "name", "is empty"),
    ('name = "Invented drift"', 'name = "a " #!', "name", "blank before or after"),
    ('name = "Invented drift"', 'name = "a\\u0007" #!', "name", "cannot be printed"),
    ('name = "Invented drift"', f'name = "{"a" * 61}" #!', "name", "longer than 60"),
    ('time_zone = "Etc/UTC"', 'time_zone = "Europe" #!', "time_zone", "no time zone"),
    ('time_zone = "Etc/UTC"', 'time_zone = "../etc/passwd" #!', "time_zone", "no time zone"),
    ('time_zone = "Etc/UTC"', 'shift_start = "6 am" #!', "shift_start", "time of day"),
    ('time_zone = "Etc/UTC"', 'shift_start = "24:00" #!', "shift_start", "time of day"),
    ('time_zone = "Etc/UTC"', "shift_start = 6 #!", "shift_start", "time of day"),
    ('time_zone = "Etc/UTC"', "coverage_factor = 0 #!", "coverage_factor", "more than 0"),
    ('time_zone = "Etc/UTC"', "coverage_factor = nan #!", "coverage_factor", "must be a number"),
    ('time_zone = "Etc/UTC"', "coverage_factor = -inf #!", "coverage_factor", "must be a number"),
    ('time_zone = "Etc/UTC"', "coverage_factor = 1e400000000000000000000 #!", "coverage_factor", "must be a number"),
    ('time_zone = "Etc/UTC"', "coverage_factor = 1e12 #!", "coverage_factor", "cannot be"),
    ('time_zone = "Etc/UTC"', "coverage_factor = 1e-40 #!", "coverage_factor", "cannot be"),
    ('time_zone = "Etc/UTC"', "coverage_factor = 2031-01-01 #!", "coverage_factor", "must be a number, not 2031"),
    ('time_zone = "Etc/UTC"', "rate_over_hours = -24 #!", "rate_over_hours", "more than 0"),
    ('time_zone = "Etc/UTC"', "baseline_sets = 0 #!", "baseline_sets", "1 or more"),
    ('time_zone = "Etc/UTC"', "baseline_sets = 1.0 #!", "baseline_sets", "whole number"),
    ('time_zone = "Etc/UTC"', "excavated_width = 0.0 #!", "excavated_width", "more than 0"),
    ('time_zone = "Etc/UTC"', "zero_check_every = 0 #!", "zero_check_every", "1 or more"),
    ('time_zone = "Etc/UTC"', "pole = -1 #!", "pole", "0 or more"),
    ('time_zone = "Etc/UTC"', "standing_reach = 0 #!", "standing_reach", "more than 0"),
    # uncertainty
    ("[uncertainty]", "[[uncertainty]] #!", "uncertainty", "one table"),
    ("temperature = 0.5", "temperature = -0.5 #!", "uncertainty.temperature", "0 or more"),
    ("reproducibility = 0.08", "reproducibility = -0.5 #!", "uncertainty.reproducibility", "0 or more"),
    # tape
    ("pitch = 25.0", "pitch = 0 #!", "tape[1].pitch", "more than 0"),
    ("holes = 400", "holes = 0 #!", "tape[1].holes", "1 or more"),
    ("holes = 400", "holes = 400.0 #!", "tape[1].holes", "whole number"),
    ("first_hole = 1", "first_hole = -1 #!", "tape[1].first_hole", "0 or more"),
    ("first_hole_distance = 25.0", "first_hole_distance = -1 #!", "tape[1].first_hole_distance", "0 or more"),
    ("expansion = 11.6e-6", "expansion = 31e-6 #!", "tape[1].expansion", "cannot be"),
    ("expansion = 11.6e-6", "expansion = -1e-6 #!", "tape[1].expansion", "cannot be"),
    ("expansion_uncertainty = 0.5e-6", "expansion_uncertainty = 0.5 #!", "tape[1].expansion_uncertainty", "cannot be"),
    ("expansion_uncertainty = 0.5e-6", "expansion_uncertainty = -1 #!", "tape[1].expansion_uncertainty", "0 or more"),
    ("reference_temperature = 20.0", "reference_temperature = 68 #!", "tape[1].reference_temperature", "cannot be 68"),
    ("holes = 400", 'holes = 400\ncalibration = "/home/t.csv" #!', "tape[1].calibration", "one machine"),
    ("holes = 400", 'holes = 400\ncalibration = "C:\\\\t.csv" #!', "tape[1].calibration", "one machine"),
    ("holes = 400", 'holes = 400\ncertificate_until = "2031-01-01" #!', "tape[1].certificate_until", "a date"),
    ("holes = 400", "holes = 400\ncertificate_until = 2031-01-01T00:00:00 #!", "tape[1].certificate_until", "a date"),
    ("holes = 400", "holes = 100_001 #!", "tape[1].holes", "100000 or less"),
    ("first_hole = 1", "first_hole = 100_001 #!", "tape[1].first_hole", "100000 or less"),
    ("pitch = 25.0", f'pitch = "{"5" * 40}" #!', "tape[1].pitch", f'not text ("{"5" * 40}")'),
    ("pitch = 25.0", f'pitch = "{"5" * 41}" #!', "tape[1].pitch", "not text (…)"),
    ("pitch = 25.0", 'pitch = "\\n" #!', "tape[1].pitch", "not text (…)"),
    ("pitch = 25.0", f"pitch = {'5' * 40} #!", "tape[1].pitch", f"cannot be {'5' * 40}"),
    ("pitch = 25.0", f"pitch = {'5' * 41} #!", "tape[1].pitch", "cannot be this figure"),
    ("pitch = 25.0", "pitch = true #!", "tape[1].pitch", "must be a number, not true"),
    ("pitch = 25.0", "pitch = 0.9e-15 #!", "tape[1].pitch", "cannot be"),
    ('what = "dial battery"', "what = false #!", "care[1].what", "must be text, not false"),
    # extensometer
    ("dial_range = [0.0, 50.0]", "dial_range = [0.0, 24.9] #!", "extensometer[1].dial_range", "shorter than"),
    ("dial_range = [0.0, 50.0]", "dial_range = [50.0, 0.0] #!", "extensometer[1].dial_range", "upside down"),
    ("dial_range = [0.0, 50.0]", "dial_range = [50.0, 50.0] #!", "extensometer[1].dial_range", "upside down"),
    ("dial_range = [0.0, 50.0]", "dial_range = [0.0] #!", "extensometer[1].dial_range", "two numbers"),
    ("dial_range = [0.0, 50.0]", "dial_range = 50.0 #!", "extensometer[1].dial_range", "two numbers"),
    ("dial_range = [0.0, 50.0]", 'dial_range = [0.0, "50"] #!', "extensometer[1].dial_range", "must be a number"),
    ("dial_resolution = 0.01", "dial_resolution = 0 #!", "extensometer[1].dial_resolution", "more than 0"),
    ("dial_resolution = 0.01", "dial_resolution = 50 #!", "extensometer[1].dial_resolution", "not finer"),
    ('dial = "adds"', 'dial = "add" #!', "extensometer[1].dial", '"adds" or "subtracts"'),
    ("repeatability = 0.05", "repeatability = 0 #!", "extensometer[1].repeatability", "more than 0"),
    # control frame
    ("length = 3000.0", "length = 0 #!", "control[1].length", "more than 0"),
    ("limit = 0.15", "limit = 0 #!", "control[1].limit", "more than 0"),
    ("limit = 0.15", 'limit = 0.15\ncorrect = "yes" #!', "control[1].correct", "true or false"),
    # levels
    ("closing = 5.0", "closing = -5.0 #!", "level[1].closing", "more than 0"),
    ("closing = 10.0", "closing = 4.0 #!", "level[2].closing", "below the 5.0"),
    ('[[level]]\nname = "act"\nclosing = 10.0', '[[level]] #!\nname = "act"', "level[2]", "has no figure"),
    ('response = "Stop."', "response = 3 #!", "level[2].response", "must be text, not 3"),
    ('response = "Stop."', 'response = "a\\u0007" #!', "level[2].response", "cannot be printed"),
    ('tell = ["shift engineer"]', "tell = true #!", "level[1].tell", "must be a list of names, not true"),
    ('response = "Stop."', 'response = "" #!', "level[2].response", "without a response"),
    ('tell = ["shift engineer"]', "tell = [] #!", "level[1].tell", "without people to tell"),
    ('tell = ["shift engineer"]', 'tell = "shift engineer" #!', "level[1].tell", "list of names"),
    ('tell = ["shift engineer"]', 'tell = ["a", "a"] #!', "level[1].tell", "same name twice"),
    ('tell = ["shift engineer"]', 'tell = ["a", 3] #!', "level[1].tell", "must be text"),
    ('name = "act"', 'name = "watch" #!', "level[2].name", "already the name of level 1"),
    # frequency, stability, care
    ("[[frequency]]", "[[frequency]] #!\nwithin = 1.0", "frequency[1]", "both within and rate_above"),
    ("[[frequency]]\nrate_above = 1.0", "[[frequency]] #!", "frequency[1]", "does not say when"),
    ("every_hours = 24", "every_hours = 0 #!", "frequency[1].every_hours", "more than 0"),
    ("share_of_end = 0.9", "share_of_end = 90 #!", "stability.share_of_end", "1 or less"),
    ("rate_below = 0.2", "rate_below = 0 #!", "stability.rate_below", "more than 0"),
    ("every_days = 365", "every_days = 1.5 #!", "care[1].every_days", "whole number"),
    # stations
    ('name = "S2"', 'name = "S1" #!', "station[2].name", "already the name of station 1"),
    ('name = "S2"', "name = 2 #!", "station[2].name", "must be text"),
    ('face = "north"', 'face = "N" #!', "station[1].face", 'no face "N"'),
    ('face = "north"', "closed = true #!", "station[1].closed", "without a reason"),
    ('face = "north"', 'closed = true #!\nnote = " "', "station[1].closed", "without a reason"),
    ('face = "north"', 'closed = "no" #!', "station[1].closed", "true or false"),
    ('to = "R"', 'to = "L" #!', "station[1].chord[1].to", "that the chord comes from"),
    ('from = "L"', 'from = "Q" #!', "station[1].chord[1].from", 'no anchor "Q"'),
    (
        '[[station.chord]]\nfrom = "L"\nto = "K"',
        '[[station.chord]] #!\nfrom = "L"\nto = "R"',
        "station[1].chord[2]",
        "over",
    ),
    (
        '[[station.chord]]\nfrom = "L"\nto = "K"',
        '[[station.chord]] #!\nfrom = "R"\nto = "L"',
        "station[1].chord[2]",
        "over",
    ),
    (
        '[[station.anchor]]\nname = "K"\nacross = 0.0\nup = 3.5',
        '[[station.anchor]] #!\nname = "K"\nacross = 2\nup = 1.50',
        "station[1].anchor[3]",
        'the very spot of anchor "R"',
    ),
    ("up = 3.5", 'up = 3.5\nkind = "glued" #!', "station[1].anchor[3].kind", "grouted"),
    ("length = 4.0", "length = 0.0 #!", "station[1].chord[1].length", "more than 0"),
    ("length = 4.0", 'level = "act" #!', "station[1].chord[1].level", "list of names of levels"),
    ("length = 4.0", 'level = ["acts"] #!', "station[1].chord[1].level[1]", 'no level "acts"'),
    ("length = 4.0", 'level = ["act", "act"] #!', "station[1].chord[1].level[2]", "second time"),
    ("length = 4.0", "level = [3] #!", "station[1].chord[1].level[1]", "must be text"),
    ("length = 4.0", OWN_LEVEL.replace(", closing = 2", "") + "] #!", "station[1].chord[1].level[1]", "no figure"),
    ("length = 4.0", OWN_LEVEL.replace('["x"]', "[]") + "] #!", "station[1].chord[1].level[1].tell", "people"),
    ("length = 4.0", OWN_LEVEL.replace("closing", "closed") + "] #!", "station[1].chord[1].level[1].closed", "no key"),
    # things of the wrong kind
    ('name = "S2"', 'name = ["S2"] #!', "station[2].name", "must be text, not a list"),
    ("chainage = 20.0", "chainage = {at = 20} #!", "station[2].chainage", "must be a number, not a table"),
    ("[[care]]", "[care] #!", "care", "list of tables"),
]


@pytest.mark.parametrize(("old", "new", "key", "words"), ONE_MISTAKE)
def test_one_mistake_is_one_problem_at_its_line(
    sound: str, problems_of: ProblemsOf, old: str, new: str, key: str, words: str
) -> None:
    assert old in sound
    text = sound.replace(old, new, 1)
    (problem,) = problems_of(text)
    assert (problem.file, problem.line, problem.key) == ("road.toml", marked_lines(text)[0], key)
    assert words in problem.what
    assert problem.todo


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


def test_a_dial_is_measured_against_the_coarsest_tape(sound: str, problems_of: ProblemsOf) -> None:
    start = sound.index("[[tape]]")
    block = sound[start : sound.index("\n\n", start)]
    other = block.replace("T-1", "T-2").replace("pitch = 25.0", "pitch = 60.0")
    (problem,) = problems_of(sound.replace(block, f"{block}\n\n{other}"))
    assert problem.key == "extensometer[1].dial_range"
    assert "shorter than the tape's pitch of 60.0" in problem.what


def test_expansion_is_judged_per_degree_of_the_route(sound: str, problems_of: ProblemsOf) -> None:
    us = sound.replace('units = "metric"', 'units = "US"').replace(
        "reference_temperature = 20.0", "reference_temperature = 68"
    )
    parse_route(us, {}, name="x")
    found = problems_of(us.replace("expansion = 11.6e-6", "expansion = 17.2e-6"))
    assert [problem.key for problem in found] == ["tape[1].expansion", "control[1].expansion"]
    parse_route(sound.replace("expansion = 11.6e-6", "expansion = 17.2e-6"), {}, name="x")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("expansion = 11.6e-6", "expansion = 0"),
        ("expansion = 11.6e-6", "expansion = 30e-6"),
        ("expansion_uncertainty = 0.5e-6", "expansion_uncertainty = 0.0"),
        ("reference_temperature = 20.0", "reference_temperature = -40"),
        ("reference_temperature = 20.0", "reference_temperature = 60"),
        ("dial_range = [0.0, 50.0]", "dial_range = [0.0, 25.0]"),
        ("holes = 400", "holes = 100_000"),
        ("dial_range = [0.0, 50.0]", "dial_range = [-25, 25]"),
        ("temperature = 0.5", "temperature = 0"),
        ("first_hole = 1", "first_hole = 0"),
        ("first_hole_distance = 25.0", "first_hole_distance = 0"),
        ("closing = 10.0", "closing = 5.0"),
        ("rate_above = 1.0", "rate_above = 0"),
        ("share_of_end = 0.9", "share_of_end = 1"),
        ("every_days = 365", "every_days = 1"),
        ('name = "Invented drift"', f'name = "{"a" * 60}"'),
        ("[uncertainty]", "pole = 0\nzero_check_every = 1\n[uncertainty]"),
        ("[uncertainty]", 'shift_start = "23:59"\n[uncertainty]'),
        ("[uncertainty]", "shift_start = 06:00:00\n[uncertainty]"),
        ("chainage = 20.0", "chainage = -20"),
        ("chainage = 20.0", "chainage = 1e9"),
        ("chainage = 20.0", "chainage = -1e-15"),
        ("chainage = 20.0", "chainage = 0"),
        ('response = "Stop."', 'response = """Stop.\nCall\tthe engineer."""'),
    ],
)
def test_a_figure_at_its_limit_is_taken(sound: str, old: str, new: str) -> None:
    assert old in sound
    parse_route(sound.replace(old, new), {}, name="x")


def test_what_depends_on_a_refused_value_is_not_judged(sound: str, problems_of: ProblemsOf) -> None:
    text = sound.replace('units = "metric"', 'units = "feet"').replace(
        "reference_temperature = 20.0", "reference_temperature = 68"
    )
    (problem,) = problems_of(text.replace("expansion = 11.6e-6", "expansion = 1"))
    assert problem.key == "units"


def test_a_control_frames_own_steel_is_judged(sound: str, problems_of: ProblemsOf) -> None:
    at = sound.index("[[control]]")
    head, frame = sound[:at], sound[at:]
    (problem,) = problems_of(head + frame.replace("reference_temperature = 20.0", "reference_temperature = 61"))
    assert problem.key == "control[1].reference_temperature"
    (problem,) = problems_of(head + frame.replace("11.6e-6", "116e-6"))
    assert problem.key == "control[1].expansion"
    assert "cannot be 116e-6 per degC; steel lies between 0 and 30e-6" in problem.what


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
