"""What was caught and how it was settled, what was struck out: all of it is in the report."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldtui.cli import main
from fieldtui.handover.report.at_levels import by_means
from fieldtui.handover.report.first_page import first_page
from fieldtui.handover.report.sayings import sayings
from fieldtui.handover.report.scope import scope_of
from fieldtui.handover.report.stations import station_parts
from fieldtui.handover.report.words import Words
from fieldtui.job import Walk, accept
from fieldtui.survey import Target
from harness.html_page import Page
from harness.jobs import CALM, TWO_CHORDS, Ticking, answer_start, begin, book_calm, book_chord, lay
from harness.shelf import Read, Shelf, place_of, route_with
from harness.year import year

MAY = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)


def figures(walk: Walk, hole: str, *dials: str) -> None:
    """One chord up to its result, not accepted yet."""
    if walk.step.kind == "arrive":
        walk.book("")
    for typed in (hole, *dials):
        walk.book(typed)
    if walk.step.what == "hole_again":
        walk.book(hole)
    walk.book("12.0")


def job_with_doubt(folder: Path) -> Path:
    """Five calm surveys, then one in which a hole is misread by one and kept, and a dial figure is set right."""
    path = lay(folder)
    for days in range(5):
        book_calm(begin(path, Ticking(MAY + timedelta(days=days))))
    walk = begin(path, Ticking(MAY + timedelta(days=6)))
    answer_start(walk)
    figures(walk, "319", "12.30", "12.32", "12.31")
    accept(walk, outcome="kept", reason="the pin sat there, looked twice")
    figures(walk, CALM["A", "L-K"], "12.30", "17.32", "12.31")
    while walk.step.kind == "figure":
        walk.book("12.31")
    walk.figure(Target("A", "L-K"), "dial_2", "12.32")
    walk.accept()
    book_chord(walk, CALM["B", "L-R"], "12.30", "12.32", "12.31")
    walk.close()
    return path


def reported(path: Path) -> str:
    out = path.parent / "out.html"
    assert main(["report", str(path), "--out", str(out)]) in (0, 1)
    return Page(out.read_text(encoding="utf-8")).text


def test_a_reading_that_was_kept_though_it_did_not_agree_is_told_with_its_likely_cause(tmp_path: Path) -> None:
    page = reported(job_with_doubt(tmp_path))
    assert "did not agree; it looked like hole misread" in page
    assert "kept: the pin sat there, looked twice; not confirmed, not counted." in page
    assert "doubtful, not counted: the pin sat there, looked twice" in page


def test_a_doubtful_reading_that_is_over_a_level_still_has_its_say_on_the_first_page(tmp_path: Path) -> None:
    page = reported(job_with_doubt(tmp_path))
    assert "ABOVE a level (A L-R)" in page
    assert "doubtful: the pin sat there, looked twice" in page


def test_a_figure_set_right_is_told_with_the_one_that_was_booked_first(tmp_path: Path) -> None:
    assert "dial 2 mm 17.32 set right to 12.32" in reported(job_with_doubt(tmp_path))


def test_a_reading_struck_out_is_told_with_reason_and_name(tmp_path: Path) -> None:
    path = lay(tmp_path)
    book_calm(begin(path, Ticking(MAY)))
    walk = begin(path, Ticking(MAY + timedelta(days=1)))
    answer_start(walk)
    book_chord(walk, "320", "12.30", "12.32", "12.31")
    walk.note("water at <the> face")
    place = walk.state.bookings[Target("A", "L-R")].slots["hole"].place
    walk.strike(place, "another chord was read", "C. D.")
    page = reported(path)
    assert "hole 320 struck out (another chord was read, C. D.)" in page
    assert "water at <the> face" in page
    assert "which is still open" in page


def test_who_was_told_stays_on_the_first_page_for_as_long_as_the_level_holds() -> None:
    scope = scope_of(year().job)
    page = first_page(scope, Words(scope.job.route))
    (call,) = page.calls
    assert call.place == "A L-R"
    assert call.told == ("shift engineer: EF, 2031-07-14 06:00, by radio, answered “will read it every shift”",)
    assert [one.place for one in page.every_call] == ["A L-R", "B L-R"]
    before = scope_of(year().job, as_of="2031-06-01")
    assert first_page(before, Words(before.job.route)).every_call == ()


@pytest.mark.parametrize(
    ("means", "said"), [("radio", "by radio"), ("by radio", "by radio"), ("in person", "in person")]
)
def test_the_means_of_telling_are_said_once(means: str, said: str) -> None:
    assert by_means(means) == said


def test_a_mark_on_lengths_is_told_at_their_chord() -> None:
    made = Shelf(route_with(('serial = "T1"', 'serial = "T1"\ncertificate_until = 2031-05-05')))
    for days in (0.0, 3.0, 4.0):
        made.survey(days, Read("L-R", "8000.00"), frame="5000.00")
    scope = scope_of(made.job)
    chord = station_parts(scope, Words(scope.job.route), lambda *_: None)[0].chords[0]
    times = "2031-05-07 06:05 to 2031-05-08 06:05"
    assert chord.marked == (f"2 readings, {times}: certificate of tape T1 ran out on 2031-05-05",)


def test_what_puts_a_whole_survey_in_doubt_is_said_once() -> None:
    made = Shelf(route_with())
    chords = (("L-R", "8000.00", "A"), ("L-K", "6000.00", "A"), ("L-R", "8000.00", "B"))
    for days, frame in ((0.0, "5000.00"), (3.0, "5000.60")):
        made.survey(days, *(Read(chord, length, station) for chord, length, station in chords), frame=frame)
    scope = scope_of(made.job)
    (line,) = first_page(scope, Words(scope.job.route)).doubtful
    times = "2031-05-07 06:05 to 2031-05-07 06:15"
    assert line == f"A L-R, A L-K, B L-R, {times}: doubtful, not counted: control frame beyond its limit at the start"


def test_of_many_chords_in_doubt_for_one_reason_the_first_are_named_and_the_others_counted() -> None:
    station = TWO_CHORDS[TWO_CHORDS.rindex("[[station]]") :]
    more = "".join(station.replace('"B"', f'"{name}"') for name in "CDE")
    made = Shelf(route_with((station, station + more)))
    chords = (("L-R", "A"), ("L-K", "A"), *(("L-R", name) for name in "BCDE"))
    for days, frame in ((0.0, "5000.00"), (3.0, "5000.60")):
        reads = (Read(chord, "6000.00" if chord == "L-K" else "8000.00", name) for chord, name in chords)
        made.survey(days, *reads, frame=frame)
    scope = scope_of(made.job)
    (line,) = first_page(scope, Words(scope.job.route)).doubtful
    assert line.startswith("A L-R, A L-K, B L-R, C L-R and 2 more, ")


def test_the_first_page_tells_of_doubts_of_the_newest_survey_or_of_all_since_a_day() -> None:
    made = Shelf(route_with())
    for days, frame in ((0.0, "5000.00"), (3.0, "5000.60"), (6.0, "4999.20")):
        made.survey(days, Read("L-R", "8000.00"), frame=frame)

    def doubtful(since: str) -> list[str]:
        scope = scope_of(made.job, since=since)
        return [line.split(":")[0] for line in first_page(scope, Words(scope.job.route)).doubtful]

    assert doubtful("") == ["A L-R, 2031-05-10 06"]
    assert doubtful("2031-05-04") == ["A L-R, 2031-05-07 06", "A L-R, 2031-05-10 06"]


def test_what_a_journal_struck_out_is_named_and_not_numbered() -> None:
    made = Shelf(route_with())
    log = made.survey(0.0, Read("L-R", "8000.00"), label="first")
    made.survey(3.0, Read("L-R", "7999.00"), label="second")
    made.journal(4.0, ("struck", {**place_of(log, "temperature"), "reason": "the field book", "typed": "19.5"}))
    scope = scope_of(made.job)
    (line,) = [one for one in sayings(scope, Words(scope.job.route)) if one.kind == "struck"]
    assert line.text == "first, A L-R, tape temp 20.0: set right to 19.5 (the field book)"
