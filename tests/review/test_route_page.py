"""The route at a glance on its page: what matters first, by number or by arrows, at any size."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from review.pressing import press, text

from fieldtui.reduction import Overall
from fieldtui.review.chord_page import ChordDesk
from fieldtui.review.route_page import RouteDesk, summary
from fieldtui.review.study import Study


def test_every_chord_has_a_line_with_its_number_what_matters_first(study: Study) -> None:
    told = text(RouteDesk(study), 80, 40)
    lines = [line[2:] for line in told.splitlines() if line[2:5].strip().isdigit()]
    assert [int(line.split()[0]) for line in lines] == list(range(1, len(study.keys) + 1))
    assert [tuple(line.split()[1:3]) for line in lines] == list(study.keys)
    assert "▲ speeding up" in lines[0]
    assert "Below a level means below the numbers that the route states, and nothing about the ground." in " ".join(
        told.split()
    )
    assert "▲ 2 speeding up" in told


def test_words_tell_the_state_without_colour(small: Study) -> None:
    told = text(RouteDesk(small), 80, 24)
    assert "■ 1 above a level" in told
    assert "■ above look, closing, overdue, ◇" in told
    assert "To be read today: 3 chords, 3 overdue, about" in told


def test_a_number_opens_that_chord_and_enter_the_marked_one(study: Study) -> None:
    chosen = press(RouteDesk(study), "3\n")
    assert isinstance(chosen, ChordDesk)
    assert chosen.key == study.keys[2]
    marked = press(RouteDesk(study), ["down", "+", "enter"])
    assert isinstance(marked, ChordDesk)
    assert marked.key == study.keys[2]
    back = press(marked, "0\n")
    assert isinstance(back, RouteDesk)
    assert back.selected == 2


def test_a_number_that_is_not_there_is_refused_with_what_is(study: Study) -> None:
    desk = press(RouteDesk(study), "99\n")
    assert isinstance(desk, RouteDesk)
    assert desk.bell
    assert "There is no chord 99: 1 to 24." in text(desk, 80, 24)
    assert "There is no chord" not in text(press(desk, ["down"]), 80, 24)


def test_the_marked_chord_stays_in_sight_and_the_rest_is_counted(study: Study) -> None:
    desk = RouteDesk(study)
    assert "more chords" in text(desk, 80, 24)
    for _ in range(30):
        press(desk, ["down"])
        assert "\n>" in "\n" + text(desk, 80, 24)
    assert desk.selected == len(study.keys) - 1
    assert "more chords" not in text(desk, 80, 24)


def test_zero_and_esc_lead_out(study: Study) -> None:
    for keys in ("0\n", ["escape"], "q"):
        desk = RouteDesk(study)
        press(desk, keys)
        assert desk.done
        assert desk.next is None


def test_a_wide_window_draws_the_marked_chord_beside_the_list(study: Study) -> None:
    desk = RouteDesk(study)
    assert "movement by date" not in text(desk, 80, 24)
    wide = text(desk, 200, 60)
    assert "L-R at S08: movement by date" in wide
    assert "by distance from the face" in wide
    assert "What has to be read" in wide
    assert f"{study.keys[1][1]} at S08: movement" in text(press(desk, ["down"]), 120, 40)


@pytest.mark.parametrize("width", [10, 40, 60, 80, 120, 200])
@pytest.mark.parametrize("height", [1, 3, 8, 20, 24, 40, 60])
def test_any_size_is_filled_exactly(study: Study, width: int, height: int) -> None:
    lines = RouteDesk(study).draw(width, height)
    assert len(lines) == height
    if width >= 40 and height >= 20:
        assert "[" in text(RouteDesk(study), width, height)


def test_the_summary_counts(study: Study, small: Study) -> None:
    assert summary(small.glances) == "Chords: ■ 1 above a level, 1 clearly moving."
    unsure = replace(small.glances[0], level=Overall("cannot tell", "look"), moving=False)
    told = "Chords: ■ 1 above a level, ▲ 1 where it cannot be told, 1 clearly moving."
    assert summary([*small.glances, unsure]) == told
    never = replace(small.glances[1], last=None)
    assert summary([never]) == "Chords: none above a level, 0 clearly moving, 1 never read."
    assert summary(()) == "Chords: none above a level, 0 clearly moving."
