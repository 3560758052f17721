"""Entries of closed surveys amended by journals; both stay to be seen."""

from __future__ import annotations

from decimal import Decimal

import pytest

from fieldtui.job import strikable
from fieldtui.job.forms_strike import STRIKE
from fieldtui.survey import EntryRefused
from harness.shelf import Read, day, moved, place_of, rows_of, stamp


@pytest.fixture
def misread(shelf):
    """The second survey's hole was written down one too low."""
    shelf.survey(0, Read("L-R", "8000.00"))
    return shelf, shelf.survey(1, Read("L-R", "7974.00"))


def amended(log, typed=None, slot="hole", **more):
    said = {} if typed is None else {"typed": typed}
    return ("struck", {**place_of(log, slot), "reason": "the book says so", **said, **more})


def test_a_right_figure_takes_the_place_of_a_wrong_one(misread):
    shelf, log = misread
    assert moved(shelf.job) == [None, -26.0]
    shelf.journal(2, amended(log, "319"))
    assert moved(shelf.job) == [None, -1.0]
    row = rows_of(shelf.job)[1]
    (struck,) = row.booked.struck
    assert (struck.entry.typed, struck.by.typed, struck.reason, struck.who) == ("318", "319", "the book says so", "CD")
    assert row.booked.figures["hole"] == "319"


def test_a_struck_figure_leaves_a_row_without_a_length(misread):
    shelf, log = misread
    shelf.journal(2, amended(log))
    row = rows_of(shelf.job)[1]
    assert (row.length, row.booked.outcome, row.segment) == (None, "struck", None)
    assert len(list(shelf.job.readings())) == 1


def test_a_reading_is_struck_by_its_acceptance(misread):
    shelf, log = misread
    seq = next(one.seq for one in log.records if one.kind == "accepted")
    shelf.journal(2, ("struck", {"log": log.id, "seq": seq, "reason": "another chord"}))
    assert rows_of(shelf.job)[1].booked.outcome == "struck"
    assert rows_of(shelf.job)[1].booked.figures["hole"] == "318"


def test_two_journals_that_differ_are_both_shown_and_neither_counts(misread):
    shelf, log = misread
    one = shelf.journal(2, amended(log, "319"))
    two = shelf.journal(3, amended(log, "320"))
    job = shelf.job
    row = rows_of(job)[1]
    assert (row.booked.figures["hole"], row.doubtful, row.doubt) == ("318", True, "two journals amend it differently")
    (question,) = job.questions()
    assert question.kind == "amended"
    assert "(“319” / “320”)" in question.text
    assert any("amend it differently" in problem for problem in job.problems)
    settles = [{"log": one.id, "seq": 2}, {"log": two.id, "seq": 2}]
    shelf.journal(4, amended(log, "319", settles=settles))
    assert (shelf.job.questions(), shelf.job.problems) == ((), ())
    assert moved(shelf.job) == [None, -1.0]


def test_a_third_that_names_only_one_settles_nothing(misread):
    shelf, log = misread
    one = shelf.journal(2, amended(log, "319"))
    shelf.journal(3, amended(log, "320"))
    shelf.journal(4, amended(log, "321", settles=[{"log": one.id, "seq": 2}]))
    (question,) = shelf.job.questions()
    assert [one.typed for one in question.amendments] == ["320", "321"]


def test_two_that_say_the_same_are_one(misread):
    shelf, log = misread
    shelf.journal(2, amended(log, "319"))
    shelf.journal(3, amended(log, "319"))
    assert shelf.job.questions() == ()
    assert moved(shelf.job) == [None, -1.0]


def test_in_one_sitting_the_later_counts(misread):
    shelf, log = misread
    shelf.journal(2, amended(log, "320"), amended(log, "319"))
    assert shelf.job.questions() == ()
    assert moved(shelf.job) == [None, -1.0]


def test_striking_and_setting_right_are_different(misread):
    shelf, log = misread
    shelf.journal(2, amended(log))
    shelf.journal(3, amended(log, "319"))
    assert "(struck / “319”)" in shelf.job.questions()[0].text


def test_a_log_that_is_not_here_is_told(misread):
    shelf, _ = misread
    shelf.journal(2, ("struck", {"log": "f" * 32, "seq": 9, "reason": "r"}))
    assert shelf.job.problems == ("log ffffffff, record 9: amended, and the log is not here",)


def test_a_record_that_is_not_there_is_told(misread):
    shelf, log = misread
    shelf.journal(2, ("struck", {"log": log.id, "seq": 999, "reason": "r"}))
    assert shelf.job.problems == ("survey day 1 T1: struck out what is not there, in 1 record",)


def test_a_wrong_tape_of_a_whole_survey_is_set_right(shelf):
    shelf.survey(0, Read("L-R", "8000.00"))
    log = shelf.survey(1, Read("L-R", "7999.00"), tape="T2", label="one")
    seq = next(one.seq for one in log.records if one.data.get("what") == "tape")
    assert [row.segment for row in rows_of(shelf.job)] == [1, 2]
    shelf.journal(2, ("struck", {"log": log.id, "seq": seq, "reason": "T1 was in the box", "typed": "T1"}))
    assert [row.segment for row in rows_of(shelf.job)] == [1, 1]
    assert moved(shelf.job) == [None, -1.0]


class TestDeclarationsTakenBack:
    def renewal(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"))
        shelf.survey(2, Read("L-R", "7999.00"))
        replaced = {"station": "A", "anchor": "R", "event": "replaced", "at": stamp(day(1))}
        return shelf.journal(3, ("anchor", replaced))

    def test_a_declaration_is_taken_back_by_a_later_journal(self, shelf):
        journal = self.renewal(shelf)
        assert [row.segment for row in rows_of(shelf.job)] == [1, 2]
        shelf.journal(4, ("struck", {"log": journal.id, "seq": 2, "reason": "it was anchor K"}))
        job = shelf.job
        assert [row.segment for row in rows_of(job)] == [1, 1]
        assert (job.problems, job.journals.anchors, job.journals.amendments) == ((), [], [])
        assert [one.reason for one in job.journals.taken_back] == ["it was anchor K"]

    def test_and_counts_again_when_that_is_taken_back(self, shelf):
        journal = self.renewal(shelf)
        back = shelf.journal(4, ("struck", {"log": journal.id, "seq": 2, "reason": "it was anchor K"}))
        shelf.journal(5, ("struck", {"log": back.id, "seq": 2, "reason": "it was R after all"}))
        assert [row.segment for row in rows_of(shelf.job)] == [1, 2]

    def test_an_amendment_of_a_survey_is_taken_back_likewise(self, misread):
        shelf, log = misread
        journal = shelf.journal(2, amended(log, "319"))
        shelf.journal(3, ("struck", {"log": journal.id, "seq": 2, "reason": "the book says 318"}))
        assert moved(shelf.job) == [None, -26.0]

    def test_a_wrong_strike_takes_nothing_back(self, shelf):
        journal = self.renewal(shelf)
        shelf.journal(4, ("struck", {"log": journal.id, "seq": 2, "reason": ""}))
        assert [row.segment for row in rows_of(shelf.job)] == [1, 2]


def struck_by_form(job, typed=None):
    """What the journal's form writes, where the hole of the newest survey as it stands is struck out."""
    survey = job.surveys[-1]
    hole = next(one for one in strikable(survey.state) if one.what == "hole" and one.target.is_chord)
    said = {"survey": survey.id, "entry": ":".join(map(str, hole.entry.place)), "reason": "looked again", "by": "EF"}
    return ("struck", STRIKE.data(job, {**said, **({"typed": typed} if typed else {})}))


def test_what_was_set_right_can_be_set_right_again(misread):
    shelf, log = misread
    shelf.journal(2, amended(log, "320"))
    shelf.journal(3, struck_by_form(shelf.job, "319"))
    assert rows_of(shelf.job)[1].booked.figures["hole"] == "319"
    shelf.journal(4, struck_by_form(shelf.job, "321"))
    assert rows_of(shelf.job)[1].booked.figures["hole"] == "321"
    assert shelf.job.questions() == ()
    assert shelf.job.problems == ()


def test_what_was_set_right_can_be_struck_and_the_first_figure_does_not_come_back(misread):
    shelf, log = misread
    shelf.journal(2, amended(log, "320"))
    shelf.journal(3, struck_by_form(shelf.job))
    assert "hole" not in rows_of(shelf.job)[1].booked.figures
    assert rows_of(shelf.job)[1].length is None


def test_a_strike_that_is_struck_itself_lets_the_first_figure_stand_again(misread):
    shelf, log = misread
    one = shelf.journal(2, amended(log, "319"))
    shelf.journal(3, ("struck", {"log": one.id, "seq": 2, "reason": "it was right"}))
    assert rows_of(shelf.job)[1].booked.figures["hole"] == "318"
    assert shelf.job.problems == ()


def test_what_is_said_instead_of_a_declaration_is_not_dropped_without_a_word(misread):
    shelf, log = misread
    one = shelf.journal(2, amended(log, "319"))
    shelf.journal(3, ("struck", {"log": one.id, "seq": 2, "reason": "again", "typed": "320"}))
    assert any("what it says instead is not used" in problem for problem in shelf.job.problems)


class TestEarlierLength:
    """A length taken over has no figures of an instrument behind it."""

    @pytest.fixture
    def taken_over(self, shelf):
        data = {"station": "A", "chord": "L-R", "length": "8000.40", "uncertainty": "0.2", "read_at": stamp(day(-9))}
        shelf.survey(0, label="lengths", more=[("earlier", {**data, "unit": "mm", "tape": "", "extensometer": ""})])
        return shelf

    def answers(self, job, **more):
        return {"survey": job.surveys[0].id, "reason": "slip", "by": "CD", **more}

    def test_it_is_one_entry_and_can_be_set_right(self, taken_over):
        job = taken_over.job
        said = self.answers(job, of="A L-R")
        ((entry, words),) = STRIKE.ask(job, said).options
        assert "8000.40" in words
        taken_over.journal(1, ("struck", STRIKE.data(job, {**said, "entry": entry, "typed": "8000.90"})))
        assert rows_of(taken_over.job)[0].length.value == Decimal("8000.90")
        assert rows_of(taken_over.job)[0].length.u == 0.2

    @pytest.mark.parametrize("typed", ["0", "-8000.4", "long"])
    def test_to_a_length_only(self, taken_over, typed):
        job = taken_over.job
        entry = STRIKE.ask(job, self.answers(job, of="A L-R")).options[0][0]
        with pytest.raises(EntryRefused):
            STRIKE.data(job, self.answers(job, of="A L-R", entry=entry, typed=typed))

    def test_the_whole_survey_takes_it_out(self, taken_over):
        job = taken_over.job
        records = STRIKE.records(job, self.answers(job, of="the whole survey: every reading in it"))
        taken_over.journal(1, *[("struck", one) for one in records])
        assert [row.length for row in rows_of(taken_over.job)] == [None]
