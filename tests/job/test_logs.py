"""Many logs as one job: surveys over several files, crews in parallel, forks, events, any order of gathering."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fieldtui.job.job import job_of
from fieldtui.log import together
from harness.shelf import Read, Shelf, day, moved, route_with, rows_of, stamp


def test_a_survey_over_several_logs_is_one(shelf):
    shelf.survey(0, Read("L-R", "8000"))
    shelf.survey(1, Read("L-R", "7999"), label="one", survey="s", closed=False)
    shelf.survey(1.01, Read("L-K", "6000"), label="two", survey="s")
    assert len(shelf.job.surveys) == 2
    assert len(shelf.job.surveys[1].logs) == 2
    assert [row.booked.survey for row in shelf.job.history()][1:] == ["s", "s"]


def test_crews_in_parallel_with_one_label_are_told_apart(shelf):
    shelf.survey(0, Read("L-R", "8000"), label="2031-05-04", survey="a-one")
    log = shelf.survey(0.01, Read("L-R", "8030"), label="2031-05-04", survey="b-two", tape="T2")
    shelf.logs[-1] = replace(log, id="f" * 32, head={**log.head, "log": "f" * 32})
    assert [row.booked.label for row in rows_of(shelf.job)] == ["2031-05-04", "2031-05-04 [b-two]"]
    assert [row.segment for row in rows_of(shelf.job)] == [1, 2]


def test_forked_logs_are_set_aside_and_told_until_a_journal_settles_it(shelf):
    shelf.survey(0, Read("L-R", "8000"))
    one = shelf.survey(1, Read("L-R", "7999"), label="one", survey="s")
    two = shelf.survey(1, Read("L-R", "7990"), label="one", survey="s")
    assert moved(shelf.job) == [None]
    assert any("parts at record" in problem for problem in shelf.job.problems)
    (question,) = shelf.job.questions()
    assert question.kind == "fork"
    shelf.journal(2, ("fork", {"log": one.id, "h": one.last.h, "reason": "the other is a copy that went on"}))
    assert moved(shelf.job) == [None, -1.0]
    shelf.journal(3, ("fork", {"log": one.id, "h": two.last.h, "reason": "no, this one"}))
    assert moved(shelf.job) == [None]


def test_surveys_are_in_order_of_their_first_reading(shelf):
    shelf.survey(1, Read("L-R", "8000"), frame="5003")
    shelf.survey(0, Read("L-R", "8000"), frame="5000", booked_at=day(9), label="a sheet booked late")
    assert [survey.started for survey in shelf.job.surveys] == [day(0), day(1)]
    assert [row.doubtful for row in rows_of(shelf.job)] == [False, True]


def test_journals_are_no_surveys(shelf):
    shelf.survey(0, Read("L-R", "8000"))
    shelf.journal(1, ("note", {"text": "batteries changed"}), ("care", {"what": "dial battery", "at": stamp(day(1))}))
    assert len(shelf.job.surveys) == 1
    assert [text for _, text in shelf.job.journals.notes] == ["batteries changed"]
    assert shelf.job.journals.care[0].what == "dial battery"


def test_a_kind_of_a_newer_version_is_counted(shelf):
    shelf.journal(1, ("something_new", {"x": 1}))
    assert shelf.job.problems == ("journals: 1 record of a newer version, counted and not used",)


NOW = stamp(day(1))
BASELINE = {"name": "b", "since": NOW, "movement": "carried", "reason": "r"}


@pytest.mark.parametrize(
    ("kind", "data", "words"),
    [
        ("struck", {"log": ["x"], "seq": 3, "reason": "r"}, "“log” is missing"),
        ("baseline", {**BASELINE, "stations": None}, "“stations” is a list of names"),
        ("baseline", {**BASELINE, "stations": [["A"]]}, "“stations” is a list of names"),
        ("baseline", {**BASELINE, "stations": "A"}, "“stations” is a list of names"),
        ("new_thing", {"table": "anchor", "name": "A", "part": ["L"], "since": NOW}, "“part” is a text"),
        ("construction", {"event": "blast", "at": NOW, "station": ["A"]}, "“station” is a text"),
        ("care", {"what": "battery", "at": "0001-01-01T00:00:00+14:00"}, "“at” is a time"),
    ],
)
def test_a_record_that_cannot_be_understood_is_told_and_ends_nothing(shelf, kind, data, words):
    shelf.survey(0, Read("L-R", "8000"))
    shelf.journal(1, (kind, data))
    assert len(shelf.job.history()) == 1
    (problem,) = shelf.job.problems
    assert words in problem


def test_a_declaration_taken_back_without_a_reason_stands_and_that_is_told(shelf):
    shelf.survey(0, Read("L-R", "8000"))
    first = shelf.journal(1, ("care", {"what": "battery", "at": NOW}))
    shelf.journal(2, ("struck", {"log": first.id, "seq": 2, "reason": ""}))
    assert len(shelf.job.journals.care) == 1
    (problem,) = shelf.job.problems
    assert "“reason” is missing" in problem


def test_blasts_and_stages_are_events_of_the_ground(shelf):
    shelf.survey(0, Read("L-R", "8000"), said={"stage": "heading"})
    shelf.survey(1, Read("L-R", "7999"), said={"stage": "heading"})
    shelf.survey(2, Read("L-R", "7999"), said={"stage": "bench"})
    shelf.journal(3, ("construction", {"event": "blast", "at": stamp(day(1.5)), "station": "A"}))
    events = shelf.job.ground().events
    assert [(one.kind, one.station, one.time) for one in events] == [("blast", "A", day(1.5)), ("stage", None, day(2))]
    assert shelf.job.ground(before=day(1.8)).events == events[:1]


def test_what_was_known_before_a_time_or_without_a_survey(shelf):
    for days, length in ((0, "8000"), (1, "7999"), (2, "7998")):
        shelf.survey(days, Read("L-R", length), frame="5000")
    job, key = shelf.job, ("A", "L-R")
    assert len(job.ground(before=day(1.5)).chord(key).segments[0].readings) == 2
    assert len(job.ground(without="id of day 1 T1").chord(key).segments[0].readings) == 2
    assert len(job.ground().frames[("T1", "X1")]) == 3
    assert len(job.ground(before=day(1.5)).frames[("T1", "X1")]) == 2


def test_a_hole_that_the_tape_does_not_have_is_a_row_without_a_length(shelf):
    shelf.survey(0, Read("L-R", "19000"))
    row = rows_of(shelf.job)[0]
    assert (row.length, row.booked.figures["hole"], row.booked.outcome) == (None, "759", "read")


def test_a_reader_who_was_changed_in_the_middle_is_named_for_his_own_readings(shelf):
    change = ("said", {"what": "reader", "typed": "CD", "read_at": stamp(day(0) + timedelta(minutes=7))})
    shelf.survey(0, Read("L-R", "8000"), Read("L-K", "6000"), more=[change])
    assert [row.booked.observer for row in shelf.job.history()] == ["AB", "CD"]


def test_a_row_says_why_a_chord_was_not_read(shelf):
    note = ("note", {"text": "loose block", "station": "A", "chord": "L-R", "read_at": stamp(day(0))})
    shelf.survey(0, Read("L-R", outcome="unsafe", reason="scaling"), more=[note])
    row = rows_of(shelf.job)[0]
    assert (row.booked.outcome, row.booked.reason, row.booked.note) == ("unsafe", "scaling", "loose block")
    assert (row.length, row.counts, row.level) == (None, False, None)


@pytest.fixture(scope="module")
def year() -> Shelf:
    """A little of everything that ties logs together."""
    shelf = Shelf(route_with())
    for days, tape, length in ((0, "T1", 8000), (1, "T1", 7999), (1.01, "T2", 8030), (2, "T2", 8029), (2, "T1", 7998)):
        shelf.survey(days, Read("L-R", str(length)), Read("L-K", "6000"), tape=tape, frame="5000")
    log = shelf.survey(3, Read("L-R", "7973", outcome="kept", reason="jumped"), Read("L-R", "7997"))
    hole = next(one.seq for one in log.records if one.data.get("slot") == "hole")
    shelf.survey(0.5, Read("L-R", "7999.4"), booked_at=day(7))
    shelf.journal(4, ("struck", {"log": log.id, "seq": hole, "reason": "r", "typed": "318"}))
    shelf.journal(5, ("struck", {"log": log.id, "seq": hole, "reason": "r"}))
    shelf.journal(6, ("anchor", {"station": "A", "anchor": "R", "event": "replaced", "at": stamp(day(1.9))}))
    about = {"table": "tape", "name": "T1", "key": "expansion", "reason": "r"}
    shelf.journal(7, ("correction", {**about, "value": "12e-6"}), ("correction", {**about, "value": "13e-6"}))
    shelf.journal(8, ("correction", {**about, "value": "14e-6", "since": stamp(day(1))}))
    return shelf


@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_any_order_of_gathering_gives_the_same_job(year, data):
    logs = data.draw(st.permutations([*year.logs, *data.draw(st.lists(st.sampled_from(year.logs), max_size=4))]))
    one, other = year.job, job_of(year.route, Path(), together(logs))
    assert other.history() == one.history()
    assert other.calls == one.calls
    assert other.questions() == one.questions()
    assert set(other.problems) == set(one.problems)
    assert other.warnings == one.warnings
    assert other.ground() == one.ground()
