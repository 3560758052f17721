"""A wide window: the whole route stands beside the chord at hand, what has to be read beside the start page's list."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldtui.job import Walk, load_job, logs_folder
from fieldtui.route import load_route
from fieldtui.survey import Target
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.draw_route import RouteSoFar, draw_route
from fieldtui.tui.lines import Lines, text_of
from fieldtui.tui.list_desk import ListDesk, draw_list
from fieldtui.tui.start import StartDesk
from harness.jobs import CONTROL, Ticking, answer_start, begin, book_calm, book_chord, lay, with_past

LATER = datetime(2031, 5, 6, 2, 0, tzinfo=UTC)
WIDE = (200, 60)


def route_beside(walk: Walk) -> list[str]:
    """The column as it is drawn, without its title."""
    page = text_of(draw_walk(WalkDesk(walk), *WIDE)).splitlines()
    title = next(line for line in page if "since last, mm" in line and "route" in line)
    at = title.index("route") - 2
    column = [line[at:].rstrip() for line in page[page.index(title) + 1 :]]
    return column[: column.index("")]


@pytest.fixture
def walk(tmp_path: Path) -> Walk:
    """A second survey, its start answered."""
    book_calm(begin(lay(tmp_path)))
    walk = begin(tmp_path / "heading.toml", Ticking(LATER))
    answer_start(walk)
    return walk


def test_every_chord_stands_in_walking_order_and_where_the_surveyor_is(walk: Walk) -> None:
    assert route_beside(walk) == ["> A L-R", "  A L-K", "  B L-R"]


def test_what_was_read_stands_with_its_change_and_its_level(walk: Walk) -> None:
    book_chord(walk, "320", "12.20", "12.22", "12.21")
    book_chord(walk, "240", "6.30", "6.32", "6.31")
    read = ["  A L-R" + "-0.10".rjust(27), "  A L-K" + "-6.00".rjust(27) + " ■ above"]
    assert route_beside(walk) == [*read, "> B L-R"]


def test_what_was_not_read_stands_with_its_reason(walk: Walk) -> None:
    walk.unread(Target("A", "L-R"), "unsafe", "")
    assert route_beside(walk)[0].split() == ["A", "L-R", "not", "read,", "unsafe"]


def test_a_chord_that_was_read_counts_as_read_whatever_came_of_reading_it_again(walk: Walk) -> None:
    book_chord(walk, "320", "12.20", "12.22", "12.21")
    walk.unread(Target("A", "L-R", 2), "unsafe", "")
    assert route_beside(walk)[0].split() == ["A", "L-R", "-0.10"]


def test_a_corrected_figure_is_there_at_once(walk: Walk) -> None:
    book_chord(walk, "320", "12.20", "12.22", "12.21")
    desk = WalkDesk(walk)
    draw_walk(desk, *WIDE)
    walk.figure(Target("A", "L-R"), "temperature", "13.0")
    walk.accept()
    assert "A L-R" + "-0.01".rjust(27) in text_of(draw_walk(desk, *WIDE))


def test_a_corrected_control_frame_changes_every_row_that_it_corrects(tmp_path: Path) -> None:
    path = tmp_path / "heading.toml"
    lay(tmp_path).write_text(path.read_text() + CONTROL.replace("correct = false", "correct = true"))
    for start in (datetime(2031, 5, 4, 2, 0, tzinfo=UTC), LATER):
        walk = begin(path, Ticking(start))
        answer_start(walk)
        book_chord(walk, "199", "25.00", "25.00", "25.00")
        book_chord(walk, "320", "12.20", "12.22", "12.21")
        if start != LATER:
            walk.close()
    desk = WalkDesk(walk)
    assert "> A L-K" in text_of(draw_walk(desk, *WIDE))
    assert route_beside(walk)[0].split() == ["A", "L-R", "+0.00"]
    frame = next(target for target in walk.state.bookings if target.is_frame)
    for slot in ("dial_1", "dial_2", "dial_3"):
        walk.figure(frame, slot, "25.10")
    walk.accept()
    assert "A L-R" + "-0.10".rjust(27) in text_of(draw_walk(desk, *WIDE))


def test_a_first_reading_that_is_corrected_changes_what_is_said_of_one_with_another_tape(tmp_path: Path) -> None:
    path = lay(tmp_path)
    tape = path.read_text().partition("[[tape]]")[2].partition("[[extensometer]]")[0]
    path.write_text(f"{path.read_text()}[[tape]]{tape.replace('T1', 'T2')}")
    for start in (datetime(2031, 5, 4, 2, 0, tzinfo=UTC), LATER):
        walk = begin(path, Ticking(start))
        for typed in ("AB", "", "1", "1", "", "1", "0.00"):
            walk.book(typed)
        book_chord(walk, "320", "12.20", "12.22", "12.21")
        if start != LATER:
            walk.close()
    walk.say("tape", "T2")
    walk.go(Target("A", "L-R", 2))
    book_chord(walk, "320", "12.20", "12.22", "12.21")
    so_far = RouteSoFar(walk)
    assert "above" not in text_of(draw_route(so_far, None, 9))
    for slot in ("dial_1", "dial_2", "dial_3"):
        walk.figure(Target("A", "L-R"), slot, "2.20")
    walk.accept()
    assert "■ above" in text_of(draw_route(so_far, None, 9))


def test_of_a_route_that_does_not_fit_the_part_around_the_chord_at_hand_is_shown(walk: Walk) -> None:
    column = text_of(draw_route(RouteSoFar(walk), Target("B", "L-R"), 2)).splitlines()
    assert column[1].split() == [">", "B", "L-R"]


def test_in_a_window_less_wide_it_gives_way(walk: Walk) -> None:
    assert "since last, mm" not in text_of(draw_walk(WalkDesk(walk), 139, 60))


def test_what_has_to_be_read_stands_beside_the_start_pages_list(tmp_path: Path) -> None:
    path = with_past(lay(tmp_path), before=datetime(2031, 5, 4, tzinfo=UTC))
    start = StartDesk(load_job(load_route(path), logs_folder(load_route(path))))
    wide, narrow = text_of(draw_list(start, *WIDE)), text_of(draw_list(start, 139, 60))
    assert "A L-R  now  (never read)" in wide
    assert "A L-R  now  (never read)" not in narrow
    assert narrow.count("start a new survey") == wide.count("start a new survey") == 1


def test_what_does_not_fit_beside_a_list_is_counted() -> None:
    class Long(ListDesk):
        def at_side(self, width: int) -> Lines:
            return [[(f"chord {number}", "")] for number in range(40)]

    page = text_of(draw_list(Long("A job", [], (), "What now"), 200, 24))
    assert f"▼ {40 - page.count('chord ')} more" in page
