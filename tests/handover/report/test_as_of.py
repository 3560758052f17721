"""A report holds for an hour: what was read or said after it is not in it, and by default nothing is after it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldtui.cli import main
from fieldtui.errors import FieldError
from fieldtui.handover.report.sayings import sayings
from fieldtui.handover.report.scope import refuse_what_has_not_come, scope_of, until
from fieldtui.handover.report.words import Words
from fieldtui.job import Job, declare
from fieldtui.survey import Target
from harness.html_page import Page
from harness.jobs import CALM, Ticking, answer_start, begin, book_calm, book_chord, lay
from harness.sheets import job_of
from harness.shelf import Read, Shelf, day, place_of, route_with, stamp

MAY = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)
SECOND = MAY + timedelta(days=1)
LATER = "Water at the face since noon."
"""A remark made an hour after the last reading of the second survey."""


def remarked(folder: Path) -> Path:
    """Two calm surveys; the second has a remark from before its readings and one from an hour after them."""
    path = lay(folder)
    book_calm(begin(path, Ticking(MAY)))
    clock = Ticking(SECOND)
    walk = begin(path, clock)
    answer_start(walk)
    walk.note("Lamp at A is out.")
    while walk.step.target is not None and walk.step.target.is_chord:
        book_chord(walk, CALM[walk.step.target.key], "12.30", "12.32", "12.31")
    clock.now += timedelta(hours=1)
    walk.note(LATER)
    walk.close()
    return path


def reported(path: Path, *options: str) -> str:
    out = path.parent / "out.html"
    assert main(["report", str(path), "--out", str(out), *options]) in (0, 1)
    return Page(out.read_text(encoding="utf-8")).text


def last_reading(job: Job) -> datetime:
    at = job.counting[-1].state.bookings[Target("B", "L-R")].read_at
    assert at is not None
    return at


def test_a_remark_made_after_the_hour_is_on_no_page_of_it(tmp_path: Path) -> None:
    path = remarked(tmp_path)
    page = reported(path, "--as-of", last_reading(job_of(path)).isoformat())
    assert "Lamp at A is out." in page
    assert LATER not in page


def test_a_remark_made_after_the_last_reading_is_in_the_report_and_in_that_of_its_survey(tmp_path: Path) -> None:
    path = remarked(tmp_path)
    for options in ((), ("--survey", "2031-05-05")):
        # on the first page, and among the remarks at the end
        assert reported(path, *options).count(LATER) == 2


def test_a_survey_whose_readings_are_all_there_is_closed_whatever_was_remarked_after_them(tmp_path: Path) -> None:
    job = job_of(remarked(tmp_path))
    assert until(job, last_reading(job)).counting[-1].state.closed


def test_a_tape_taken_after_the_hour_is_not_the_one_the_report_names(tmp_path: Path) -> None:
    path = lay(tmp_path)
    text = path.read_text(encoding="utf-8")
    tape = text[text.index("[[tape]]") : text.index("[[extensometer]]")]
    path.write_text(text + tape.replace('"T1"', '"T2"'), encoding="utf-8")
    clock = Ticking(MAY)
    walk = begin(path, clock)
    answer_start(walk)
    book_chord(walk, CALM["A", "L-R"], "12.30", "12.32", "12.31")
    read = clock.now
    clock.now += timedelta(hours=1)
    walk.say("tape", "T2")
    book_chord(walk, CALM["A", "L-K"], "12.30", "12.32", "12.31")
    job = job_of(path)
    assert job.counting[-1].state.answer("tape") == "T2"
    assert until(job, read).counting[-1].state.answer("tape") == "T1"


def test_what_the_journal_declares_after_the_last_reading_is_in_the_report(tmp_path: Path) -> None:
    path = remarked(tmp_path)
    note = ("note", {"text": "Scaffold is taken down on Monday."})
    declare(job_of(path), "C. D.", [note], Ticking(SECOND + timedelta(days=2)))
    assert "Scaffold is taken down on Monday." in reported(path)
    assert "Scaffold is taken down on Monday." not in reported(path, "--as-of", "2031-05-06")


def test_a_day_that_has_not_come_is_refused_and_today_is_not(tmp_path: Path) -> None:
    job = job_of(remarked(tmp_path))
    noon = SECOND + timedelta(hours=10)
    for asked in ("2031-05-05", "2031-05-04"):
        refuse_what_has_not_come(job, asked, noon)
    refuse_what_has_not_come(job, "2031-05-05", MAY)  # a clock that is behind what was read is no reason
    with pytest.raises(FieldError, match="2031-05-06 has not come yet"):
        refuse_what_has_not_come(job, "2031-05-06", noon)


def test_the_commands_ask_the_clock(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = remarked(tmp_path)
    for command in (["report"], ["export", "--to", "csv"]):
        assert main([command[0], str(path), *command[1:], "--as-of", "2091-01-01"]) == 2
        assert "2091-01-01 has not come yet" in capsys.readouterr().err


def test_of_what_was_declared_since_that_is_listed_which_changes_what_the_report_says() -> None:
    made = Shelf(route_with())
    first = made.survey(0.0, Read("L-R", "8000.00"))
    later = made.survey(5.0, Read("L-R", "7999.00"))
    made.journal(6.0, ("struck", {**place_of(first, "temperature"), "reason": "the field book", "typed": "19.5"}))
    made.journal(6.1, ("struck", {**place_of(later, "temperature"), "reason": "the field book", "typed": "19.5"}))
    for days in (0.5, 5.5):
        event = {"station": "A", "anchor": "L", "event": "replaced", "at": stamp(day(days))}
        made.journal(6.2 + days, ("anchor", event))
    scope = scope_of(made.job, as_of=stamp(day(1)))
    told = [(one.kind, one.text) for one in sayings(scope, Words(scope.job.route))]
    assert [kind for kind, _ in told] == ["struck", "anchor"]
    assert told[0][1] == "day 0 T1, A L-R, tape temp 20.0: set right to 19.5 (the field book)"
    assert stamp(day(0.5)) in told[1][1]
    assert len(sayings(scope_of(made.job), Words(scope.job.route))) == 4
