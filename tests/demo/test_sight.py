"""What tape and dial show: the same whenever it is asked, and always on the dial."""

from __future__ import annotations

from datetime import timedelta

import pytest

from fieldtui.demo.generate import gauge_of
from fieldtui.demo.sight import Gauge
from fieldtui.demo.truth import Truth
from fieldtui.survey import Target

S08 = Target("S08", "L-R")


@pytest.fixture
def gauge(truth: Truth) -> Gauge:
    return gauge_of(truth, truth.route, "2025-06-18", "T-12")


def test_the_next_hole_is_taken_when_the_dial_has_no_room_left(gauge: Gauge, truth: Truth) -> None:
    now = gauge.chord(S08, truth.end)
    later = gauge.chord(S08, truth.end + timedelta(days=30))
    assert later.hole == now.hole - 1
    low, high = truth.route.extensometers[0].dial_range
    assert all(low + 2 < float(dial) < high - 2 for dial in later.dials)
    moved = truth.length(*S08.key, truth.end + timedelta(days=30)) - truth.length(*S08.key, truth.end)
    shown = float(later.dials[0]) - float(now.dials[0]) - float(truth.route.tapes[0].pitch)
    assert shown == pytest.approx(moved, abs=1.0)


def test_nothing_hangs_on_what_was_asked_before(gauge: Gauge, truth: Truth) -> None:
    first = gauge.chord(S08, truth.end)
    gauge.chord(Target("S09", "L-R"), truth.end)
    assert gauge.chord(S08, truth.end) == first


def test_another_survey_another_reading_and_another_tape_scatter_otherwise(gauge: Gauge, truth: Truth) -> None:
    here = gauge.chord(S08, truth.end).dials
    assert gauge.chord(S08.again(), truth.end).dials != here
    assert gauge_of(truth, truth.route, "2025-06-19", "T-12").chord(S08, truth.end).dials != here
    assert gauge_of(truth, truth.route, "2025-06-18", "T-11").chord(S08, truth.end).dials != here


def test_all_five_repeats_of_a_reading_differ(gauge: Gauge, truth: Truth) -> None:
    assert len(set(gauge.chord(S08, truth.end).dials)) > 2


def test_a_figure_has_the_dials_resolution(gauge: Gauge, truth: Truth) -> None:
    assert all(len(dial.split(".")[1]) == 2 for dial in gauge.chord(S08, truth.end).dials)


def test_a_tape_the_route_does_not_have_is_a_mistake_of_the_program(truth: Truth) -> None:
    with pytest.raises(KeyError):
        gauge_of(truth, truth.route, "2025-06-18", "T-99")
