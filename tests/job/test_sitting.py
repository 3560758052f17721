"""Journals written: a new file each sitting, closed at its end; and the walk that they bear on."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from fieldtui.job import (
    Sitting,
    assess_chord,
    calls_with,
    declare,
    load_job,
    logs_folder,
    open_calls_with,
    read_again,
    strikable,
)
from fieldtui.job.own_readings import ground_for
from fieldtui.log import read_log
from fieldtui.route import load_route
from fieldtui.survey import EntryRefused, Target
from harness.jobs import Ticking, answer_start, begin, book_chord, lay, resume
from harness.shelf import stamp

LATER = datetime(2031, 5, 6, 8, 0, tzinfo=UTC)
SECOND_TAPE = """\
[[tape]]
serial = "T2"
pitch = 25.0
first_hole = 1
first_hole_distance = 25.0
holes = 600
expansion = 11.6e-6
expansion_uncertainty = 0.5e-6
reference_temperature = 20.0
"""


def job_at(path):
    route = load_route(path)
    return load_job(route, logs_folder(route))


def survey(path, *readings, clock=None):
    """A survey of A L-R only, closed."""
    walk = begin(path, clock)
    answer_start(walk)
    for hole, dial in readings:
        book_chord(walk, hole, dial, dial, dial)
        walk.go(Target("A", "L-R").again())
    walk.close()
    return walk


@pytest.fixture
def path(tmp_path):
    return lay(tmp_path)


class TestSitting:
    def test_what_is_declared_is_in_a_new_closed_file(self, path):
        survey(path, ("319", "20.00"))
        job = job_at(path)
        with Sitting(job, "CD", Ticking(LATER)) as sitting:
            sitting.declare("care", {"what": "dial battery", "at": stamp(LATER)})
            sitting.declare("note", {"text": "box repaired"})
        log = read_log(sitting.path)
        assert [record.kind for record in log.records] == ["log", "route", "care", "note", "closed"]
        assert (log.head["scope"], log.closed, log.records[2].data["by"]) == ("journal", True, "CD")
        assert log.after[0]["log"] == job.logs.logs[0].id
        assert job_at(path).journals.care[0].written.by == "CD"

    def test_each_sitting_has_a_file_of_its_own_and_none_is_left_by_an_idle_one(self, path):
        survey(path, ("319", "20.00"))
        one = declare(job_at(path), "CD", [("note", {"text": "a"})], Ticking(LATER))
        two = declare(job_at(path), "CD", [("note", {"text": "b"})], Ticking(LATER))
        assert one != two
        assert declare(job_at(path), "CD", [], Ticking(LATER)) is None
        assert len(job_at(path).logs.logs) == 3

    @pytest.mark.parametrize(
        ("kind", "data", "words"),
        [
            ("note", {"text": " "}, "“text” is missing"),
            ("care", {"what": "battery", "at": "2031-05-04T10:00:00"}, "offset from UTC"),
            ("weather", {}, "nothing that a journal declares"),
            ("correction", {"table": "tape", "name": "T1", "key": "pitch", "value": "-1", "reason": "r"}, "-1"),
            (
                "anchor",
                {"station": "A", "anchor": "L", "event": "painted", "at": stamp(LATER)},
                "struck, lost, replaced",
            ),
            ("struck", {"log": "x", "seq": "3", "reason": "r"}, "“seq” is the number"),
            ("new_thing", {"table": "anchor", "name": "A", "since": stamp(LATER)}, "“part” names the anchor"),
        ],
    )
    def test_what_cannot_be_declared_is_refused_with_words_and_leaves_no_file(self, path, kind, data, words):
        survey(path, ("319", "20.00"))
        with Sitting(job_at(path), "CD", Ticking(LATER)) as sitting, pytest.raises(EntryRefused, match=words):
            sitting.declare(kind, data)
        assert sitting.path is None

    def test_it_needs_a_name(self, path):
        survey(path, ("319", "20.00"))
        with pytest.raises(EntryRefused, match="name"):
            Sitting(job_at(path), " ", Ticking(LATER))


class TestStriking:
    def test_an_entry_of_the_walk_is_struck_and_asked_for_again(self, path):
        walk = begin(path)
        answer_start(walk)
        book_chord(walk, "319", "20.00", "20.00", "20.00")
        hole = next(one for one in strikable(walk.state) if one.what == "hole")
        walk.strike(hole.entry.place, "misheard", "AB")
        assert (walk.step.kind, walk.step.what) == ("figure", "hole")
        walk.leave()
        again = resume(path)
        assert (again.step.kind, again.step.what) == ("figure", "hole")
        again.leave()

    def test_a_right_figure_is_checked_like_any_other(self, path):
        walk = begin(path)
        answer_start(walk)
        book_chord(walk, "319", "20.00", "20.00", "20.00")
        hole = next(one for one in strikable(walk.state) if one.what == "hole").entry.place
        for typed, words in (("999", "there is no hole 999"), ("x", "not a number")):
            with pytest.raises(EntryRefused, match=words):
                walk.strike(hole, "misheard", "AB", typed)
        walk.strike(hole, "misheard", "AB", "320")
        assert walk.state.bookings[Target("A", "L-R")].hole == 320
        with pytest.raises(EntryRefused, match="does not stand"):
            walk.strike(hole, "misheard", "AB")

    @pytest.mark.parametrize(("reason", "by"), [("", "AB"), ("misheard", " ")])
    def test_a_reason_and_a_name_are_needed(self, path, reason, by):
        walk = begin(path)
        answer_start(walk)
        with pytest.raises(EntryRefused, match="a reason and a name"):
            walk.strike(walk.state.said["reader"].place, reason, by)

    def test_an_outcome_is_struck_and_not_replaced(self, path):
        walk = begin(path)
        answer_start(walk)
        book_chord(walk, "319", "20.00", "20.00", "20.00")
        accepted = next(one for one in strikable(walk.state) if one.what == "accepted")
        with pytest.raises(EntryRefused, match="Nothing can stand"):
            walk.strike(accepted.entry.place, "r", "AB", "kept")
        walk.strike(accepted.entry.place, "r", "AB")
        assert walk.step.kind == "result"


class TestWalk:
    def test_an_open_survey_amended_by_a_journal_is_resumed_so(self, path):
        walk = begin(path)
        answer_start(walk)
        book_chord(walk, "318", "20.00", "20.00", "20.00")
        hole = next(one for one in strikable(walk.state) if one.what == "hole").entry.place
        walk.leave()
        amended = {"log": hole[0], "seq": hole[1], "reason": "book", "typed": "319"}
        declare(job_at(path), "CD", [("struck", amended)], Ticking(LATER))
        again = resume(path)
        assert again.state.bookings[Target("A", "L-R")].hole == 319
        again.leave()

    def test_a_figure_of_the_route_set_right_counts_in_the_walk_and_not_in_its_log(self, path):
        survey(path, ("319", "20.00"))
        wrong = {"table": "tape", "name": "T1", "key": "first_hole_distance", "value": "26.0", "reason": "r"}
        declare(job_at(path), "CD", [("correction", wrong)], Ticking(LATER))
        walk = begin(path, Ticking(LATER))
        answer_start(walk)
        book_chord(walk, "319", "20.00", "20.00", "20.00", temperature="20.0")
        assert float(assess_chord(walk, Target("A", "L-R")).length.value) == 7996.0
        closed = walk.close()
        assert closed.data["bookings"][-1]["length"] == "7995.000000"

    def test_the_first_reading_with_a_new_tape_goes_on_from_the_movement_before(self, tmp_path):
        path = lay(tmp_path)
        path.write_text(path.read_text() + SECOND_TAPE)
        survey_with(path, "1", ("319", "20.00"))
        survey_with(path, "1", ("319", "14.50"), clock=Ticking(LATER))
        walk = begin(path, Ticking(datetime(2031, 5, 8, 8, 0, tzinfo=UTC)))
        for typed in ("AB", "", "2", "1", "", "1", "0.00", ""):
            walk.book(typed)
        book_figures(walk, "321", "3.00")
        said = assess_chord(walk, Target("A", "L-R"))
        assert float(said.since_baseline.value) == pytest.approx(-5.5, abs=0.01)
        assert said.since_baseline.u > 2 * 5.5 / 2.25 * 0.9
        assert said.level.state == "cannot tell"
        assert said.since_last is None
        walk.accept()
        walk.leave()
        row = job_at(path).history()[-1]
        assert row.since_baseline.value == said.since_baseline.value
        assert row.since_baseline.u == pytest.approx(said.since_baseline.u)

    def test_after_both_tapes_in_one_survey_little_can_have_moved(self, tmp_path):
        path = lay(tmp_path)
        path.write_text(path.read_text() + SECOND_TAPE)
        survey_with(path, "1", ("319", "20.00"))
        walk = begin(path, Ticking(LATER))
        for typed in ("AB", "", "1", "1", "", "1", "0.00"):
            walk.book(typed)
        book_chord(walk, "319", "14.50", "14.50", "14.50")
        walk.say("tape", "T2")
        walk.go(Target("A", "L-R").again())
        book_figures(walk, "321", "3.00")
        said = assess_chord(walk, Target("A", "L-R", 2))
        assert float(said.since_baseline.value) == pytest.approx(-5.5, abs=0.01)
        assert said.since_baseline.u < 0.2
        walk.accept()
        walk.close()
        again = begin(path, Ticking(datetime(2031, 5, 8, 8, 0, tzinfo=UTC)))
        for typed in ("AB", "", "1", "1", "", "1", "0.00", ""):
            again.book(typed)
        book_figures(again, "319", "14.50")
        again.accept()
        assert ground_for(again, Target("A", "L-R", 2), ("T2", "X1")) is again.ground
        again.leave()


def survey_with(path, tape, reading, clock=None):
    walk = begin(path, clock)
    for typed in ("AB", "", tape, "1", "", "1", "0.00"):
        walk.book(typed)
    book_chord(walk, reading[0], *[reading[1]] * 3)
    walk.close()


def book_figures(walk, hole, dial):
    """Every figure that is asked for; the hole may be asked for twice."""
    while (step := walk.step).kind == "figure":
        walk.book({"temperature": "12.0"}.get(step.what, hole if step.what.startswith("hole") else dial))


class TestCalls:
    def test_while_the_chord_is_read_again_its_level_waits_for_that_reading(self, path):
        survey(path, ("319", "20.00"))
        walk = begin(path, Ticking(LATER))
        answer_start(walk)
        for typed in ("", "319", "13.00", "13.00", "13.00", "319", "12.0"):
            walk.book(typed)
        job = job_at(path)
        assert walk.step.kind == "result"
        assert open_calls_with(job, walk) == ()
        read_again(walk)
        assert open_calls_with(job, walk) == ()
        walk.go(Target("A", "L-K"))
        assert len(open_calls_with(job, walk)) == 1

    def test_a_level_reached_in_the_walk_opens_a_call_once_the_reading_is_accepted(self, path):
        survey(path, ("319", "20.00"))
        walk = begin(path, Ticking(LATER))
        answer_start(walk)
        book_chord(walk, "319", "13.00", "13.00", "13.00")
        job = job_at(path)
        (call,) = open_calls_with(job, walk)
        assert (call.level, call.label, call.tell) == ("look", walk.label, ("shift engineer",))
        with pytest.raises(EntryRefused, match="person, means"):
            walk.call(call, "shift engineer", "", " ")
        walk.call(call, "shift engineer", "EF", "radio", "read again at noon")
        assert open_calls_with(job, walk) == ()
        assert calls_with(job, walk)[0].told[0].by == "AB"
        walk.close()
        assert job_at(path).open_calls() == ()
        assert job_at(path).calls[0].told[0].answer == "read again at noon"

    def test_a_call_of_an_earlier_survey_is_on_the_screen_until_it_is_told(self, path):
        survey(path, ("319", "20.00"))
        survey(path, ("319", "13.00"), clock=Ticking(LATER))
        job = job_at(path)
        walk = begin(path, Ticking(datetime(2031, 5, 8, 8, 0, tzinfo=UTC)))
        (call,) = open_calls_with(job, walk)
        answer_start(walk)
        walk.call(call, "shift engineer", "EF", "telephone")
        assert open_calls_with(job, walk) == ()
        walk.leave()
        assert job_at(path).open_calls() == ()


def test_what_a_journal_set_right_in_an_open_survey_is_not_struck_in_the_walk(tmp_path):
    path = lay(tmp_path)
    walk = begin(path)
    answer_start(walk)
    book_chord(walk, "318", "24.31", "24.36", "24.35")
    hole = next(one.entry for one in strikable(walk.state) if one.what == "hole")
    walk.leave()
    amended = {"log": hole.log, "seq": hole.seq, "reason": "the book says so", "typed": "319"}
    declare(job_at(path), "CD", [("struck", amended)], Ticking(LATER))
    again = resume(path)
    right = next(one.entry for one in strikable(again.state) if one.what == "hole")
    assert right.typed == "319"
    with pytest.raises(EntryRefused, match="A journal has set this right"):
        again.strike(right.place, "misread", "AB", "320")


MORNING = datetime(2031, 5, 4, 5, 0, tzinfo=UTC)
"""After the survey was begun, before it is taken up again."""


@pytest.mark.parametrize("typed", [None, "319"])
@pytest.mark.parametrize("clock", [MORNING, datetime(2031, 5, 4, 1, 0, tzinfo=UTC)], ids=["right", "two hours behind"])
def test_an_open_survey_amended_by_a_journal_is_read_anew_as_it_went_on(tmp_path, typed, clock):
    """What was booked after the amendment is not there yet when the amendment takes effect."""
    path = lay(tmp_path)
    walk = begin(path)
    answer_start(walk)
    book_chord(walk, "318", "24.31", "24.36", "24.35")
    hole = walk.state.bookings[Target("A", "L-R")].slots["hole"]
    walk.leave()
    amended = {"log": hole.log, "seq": hole.seq, "reason": "the book says so", **({"typed": typed} if typed else {})}
    declare(job_at(path), "CD", [("struck", amended)], Ticking(clock))
    again = resume(path)
    again.go(Target("A", "L-R"))
    again.figure(Target("A", "L-R"), "hole", "320")
    again.leave()
    job = job_at(path)
    assert job.surveys[-1].state == again.state
    assert again.state.strays == 0
    assert resume(path).state == again.state
    assert again.state.bookings[Target("A", "L-R")].struck[0].reason == "the book says so"
