"""What stays as it is while a figure is typed, and what follows as soon as it is booked."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from fieldtui.job import assess_chord
from fieldtui.survey import Target
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.lines import text_of
from fieldtui.tui.seen import Seen
from harness.desks import at_first_chord

LR = Target("A", "L-R")


@pytest.fixture
def desk(tmp_path: Path) -> WalkDesk:
    """At the second dial reading of the first chord."""
    desk = at_first_chord(tmp_path)
    press(desk, "320\n12.3\n")
    return desk


def press(desk: WalkDesk, keys: str) -> None:
    for key in keys:
        desk.press("enter" if key == "\n" else key, None if key == "\n" else key)
        draw_walk(desk, 80, 24)


def plot(desk: WalkDesk, width: int = 80) -> list[str]:
    page = text_of(draw_walk(desk, width, 24)).splitlines()
    title = next(place for place, line in enumerate(page) if "movement since the start" in line)
    return page[title : title + 5]


def head(desk: WalkDesk) -> str:
    return text_of(draw_walk(desk, 80, 24)[:2])


def test_the_plot_stands_still_while_a_figure_is_typed_and_follows_what_is_booked(desk: WalkDesk) -> None:
    before = plot(desk)
    press(desk, "2")
    assert plot(desk) == before, "2 mm would be a wall that moved"
    press(desk, "0\n")
    assert "◆" in "".join(plot(desk))
    assert plot(desk) != before


def test_the_plot_is_drawn_anew_for_another_width(desk: WalkDesk) -> None:
    for width in (80, 100, 80):
        assert plot(desk, width) == plot(WalkDesk(desk.walk), width)


def test_the_head_tells_the_chord_at_hand_and_how_far_the_survey_is(desk: WalkDesk) -> None:
    assert "0 of 3 chords read" in head(desk)
    assert "chord L-R" in head(desk)
    press(desk, "12.3\n12.3\n")
    if desk.slot == "hole_again":
        press(desk, "320\n")
    press(desk, "12\n\n")
    assert "1 of 3 chords read" in head(desk)
    assert "chord L-K" in head(desk)
    press(desk, "*")
    assert "chord L-R" in head(desk), "the one that is being corrected"


def test_half_a_number_has_no_rate_and_no_level(desk: WalkDesk) -> None:
    typed, booked = assess_chord(desk.walk, LR, "dial_2", "12.3"), assess_chord(desk.walk, LR)
    assert typed is not None
    assert booked is not None
    assert typed.since_last is not None
    assert (typed.since_baseline, typed.rate, typed.level) == (None, None, None)
    assert None not in (booked.since_baseline, booked.rate, booked.level)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.lists(st.text("0123456789.,-", max_size=7), min_size=2, max_size=6))
@example(["12", "12.", "12.3", "12.30", "12.3", "12.300", "-12.3", "12,3", "", "0"])
def test_what_is_told_of_a_figure_hangs_on_nothing_that_was_typed_before(desk: WalkDesk, typed: list[str]) -> None:
    one = Seen(desk.walk)
    for text in typed:
        for slot in ("dial_2", "temperature", "hole"):
            assert one.told(LR, slot, text) == Seen(desk.walk).told(LR, slot, text), (slot, text)
