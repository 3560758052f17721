"""Figures of tapes, dials and frames: what cannot be, and what lies just at its limit."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from fieldtui.route import Problem, parse_route

ProblemsOf = Callable[..., tuple[Problem, ...]]


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
