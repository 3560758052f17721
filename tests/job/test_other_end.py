"""A chord read from its other end is the same chord: what is known of it stays, whichever way a route names it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldtui.job import assess_chord, load_job, logs_folder, open_calls_with
from fieldtui.paper.taking import take_over
from fieldtui.route import line_of, load_route, turned
from fieldtui.survey import Target
from harness.jobs import Ticking, answer_start, begin, book_chord, lay, resume, with_past
from harness.sheets import answers, row, sheet
from harness.shelf import Read, Shelf, day, moved, route_with, stamp

NOW = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)
SWAPPED = (
    '[[station.chord]]\nfrom = "L"\nto = "R"\n[[station.chord]]\nfrom = "L"\nto = "K"',
    '[[station.chord]]\nfrom = "R"\nto = "L"\n[[station.chord]]\nfrom = "L"\nto = "K"',
)


def swap(path: Path) -> None:
    """The first chord's ends change places in the route file."""
    text = path.read_text()
    assert SWAPPED[0] in text
    path.write_text(text.replace(*SWAPPED))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return with_past(lay(tmp_path))


def test_a_chord_is_one_line_from_both_ends():
    assert turned(("A", "L-R")) == ("A", "R-L")
    assert turned(("", "frame")) == ("", "frame")
    assert line_of(("A", "L-R")) == line_of(("A", "R-L")) != line_of(("B", "L-R"))


def test_its_past_goes_on_under_the_new_name():
    shelf = Shelf(route_with(SWAPPED))
    shelf.survey(0, Read("L-R", "8000"), route=route_with())
    shelf.survey(1, Read("R-L", "7999"))
    assert moved(shelf.job, "R-L") == [None, -1.0]
    assert shelf.job.questions() == ()
    ground = shelf.job.ground()
    assert len(ground.chord(("A", "L-R")).segments[0].readings) == 2
    assert ground.chord(("A", "L-R")) is ground.chord(("A", "R-L"))
    assert ground.chord(("B", "R-L")).segments == ()


def test_a_survey_begun_before_the_change_is_held_against_its_past(path: Path):
    walk = begin(path)
    answer_start(walk)
    walk.leave()
    swap(path)
    walk = resume(path)
    book_chord(walk, "320", "12.30", "12.32", "12.31")
    assessment = assess_chord(walk, Target("A", "L-R"))
    assert assessment is not None
    assert assessment.since_last is not None
    assert assessment.levels


def test_a_call_that_was_told_under_the_old_name_stays_told():
    shelf = Shelf(route_with())
    for days, length in ((0, "8000"), (1, "7998"), (2, "7993")):
        shelf.survey(days, Read("L-R", length), Read("L-K", "6000"))
    (call,) = shelf.job.open_calls()
    about = {"station": "A", "chord": "L-R", "level": call.level, "what": call.what, "survey": call.survey}
    said = {"role": "shift engineer", "person": "EF", "means": "radio", "told_at": stamp(day(3)), "answer": ""}
    shelf.journal(3, ("call", {**about, **said}))
    assert shelf.job.open_calls() == ()
    shelf.route = route_with(SWAPPED)
    assert len(shelf.job.calls) == 1
    assert shelf.job.open_calls() == ()


def test_a_call_of_a_survey_begun_before_the_change_is_one_with_that_of_the_past(path: Path):
    walk = begin(path, Ticking(NOW))
    answer_start(walk)
    book_chord(walk, "319", "20.00", "20.00", "20.00")
    walk.close()
    route = load_route(path)
    before = load_job(route, logs_folder(route)).open_calls()
    walk = begin(path, Ticking(NOW + timedelta(hours=8)))
    answer_start(walk)
    book_chord(walk, "319", "20.00", "20.00", "20.00")
    walk.go_to_end()
    walk.call(before[0], before[0].tell[0], "EF", "radio")
    walk.leave()
    swap(path)
    walk = resume(path, Ticking(NOW + timedelta(hours=9)))
    assert walk.job is not None
    now = open_calls_with(walk.job, walk)
    assert [(call.level, call.survey) for call in now] == [(call.level, call.survey) for call in before[1:]]
    assert {call.chord for call in now} == {"R-L"}


def test_a_row_that_is_booked_already_adds_nothing_after_the_change(tmp_path: Path):
    path = lay(tmp_path)
    text = sheet(row(), row(minutes=5, chord="L-K", hole="240"))
    answers(path, text)
    swap(path)
    answers(path, text)
    route = load_route(path)
    assert len(load_job(route, logs_folder(route)).history()) == 2


def test_a_length_taken_over_already_adds_nothing_after_the_change(tmp_path: Path):
    path = lay(tmp_path)
    file = tmp_path / "earlier.csv"
    file.write_text("station,chord,time,length\nA,L-R,2031-05-01T06:00:00Z,8012.3\n")
    for _ in range(2):
        route = load_route(path)
        take_over(load_job(route, logs_folder(route)), file, lambda _: None)
        swap(path) if SWAPPED[0] in path.read_text() else None
    assert len(load_job(route, logs_folder(route)).history()) == 1
