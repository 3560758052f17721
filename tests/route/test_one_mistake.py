"""One mistake in a sound route is one problem, at its line, in these words.

The line that is expected is the one with the remark #! on it.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from fieldtui.route import Problem

ProblemsOf = Callable[..., tuple[Problem, ...]]

OWN_NAME = "station[1].chord[1].level[2].name"
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
    ('time_zone = "Etc/UTC"', 'same_instruments = "south.toml" #!', "same_instruments", "list"),
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
    ("length = 4.0", OWN_LEVEL.replace("own", "act") + ', "act"] #!', "station[1].chord[1].level[2]", "second time"),
    ("length = 4.0", OWN_LEVEL.replace("own", "act").replace("[{", '["act", {') + "] #!", OWN_NAME, "already a level"),
    ("length = 4.0", OWN_LEVEL + OWN_LEVEL.replace("level = [", ", ") + "] #!", OWN_NAME, "already a level"),
    ("length = 4.0", "level = [3] #!", "station[1].chord[1].level[1]", "must be text"),
    ("length = 4.0", OWN_LEVEL.replace(", closing = 2", "") + "] #!", "station[1].chord[1].level[1]", "no figure"),
    ("length = 4.0", OWN_LEVEL.replace('["x"]', "[]") + "] #!", "station[1].chord[1].level[1].tell", "people"),
    ("length = 4.0", OWN_LEVEL.replace("closing", "closed") + "] #!", "station[1].chord[1].level[1].closed", "no key"),
    # things of the wrong kind
    ('name = "S2"', 'name = ["S2"] #!', "station[2].name", "must be text, not a list"),
    ("chainage = 20.0", "chainage = {at = 20} #!", "station[2].chainage", "must be a number, not a table"),
    ("[[care]]", "[care] #!", "care", "list of tables"),
]


def marked_line(text: str) -> int:
    return next(number for number, line in enumerate(text.split("\n"), 1) if "#!" in line)


@pytest.mark.parametrize(("old", "new", "key", "words"), ONE_MISTAKE)
def test_one_mistake_is_one_problem_at_its_line(
    sound: str, problems_of: ProblemsOf, old: str, new: str, key: str, words: str
) -> None:
    assert old in sound
    text = sound.replace(old, new, 1)
    (problem,) = problems_of(text)
    assert (problem.file, problem.line, problem.key) == ("road.toml", marked_line(text), key)
    assert words in problem.what
    assert problem.todo
