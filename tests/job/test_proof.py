"""What the instrument of a survey is worth: doubt by its frame's own history, by its start, by its dial zero; marks."""

from __future__ import annotations

from datetime import timedelta

import pytest

from fieldtui.job.instrument import instruments_of
from fieldtui.reduction.chart import SET
from fieldtui.survey import frame_target, zero_target
from harness.shelf import Read, Shelf, day, entries, route_with, rows_of, stamp

CALM = ("5000.02", "4999.98", "5000.00", "5000.03", "4999.97")


def frames(shelf: Shelf, *lengths: str, first: int = 0) -> None:
    for place, frame in enumerate(lengths):
        shelf.survey(first + place, Read("L-R", "8000.00"), frame=frame)


def proven(shelf: Shelf) -> None:
    """A first set of surveys in which nothing is wrong."""
    frames(shelf, *(CALM[place % len(CALM)] for place in range(SET)))


def at_the_end(frame: str, days: float):
    return list(entries(Read("frame", frame), frame_target("end"), day(days) + timedelta(hours=1)))


def zero(typed: str, part: str, days: float):
    data = {**zero_target(part).data(), "slot": "zero", "typed": typed, "unit": "mm"}
    return ("figure", {**data, "read_at": stamp(day(days) + timedelta(minutes=50))})


class TestDoubt:
    def test_before_the_set_is_full_the_route_s_limit_alone_judges(self, shelf):
        frames(shelf, *CALM[:4], "5000.14")
        assert not rows_of(shelf.job)[-1].doubtful

    def test_after_that_the_frame_s_own_history_does(self, shelf):
        proven(shelf)
        frames(shelf, "5000.14", "5000.02", first=SET)
        (*_, outside, usual) = rows_of(shelf.job)
        assert outside.doubt == "control frame outside the limits of its own readings at the start"
        assert usual.doubt == ""

    def test_a_drift_is_marked_on_every_length_and_no_survey_is_in_doubt_for_it(self, shelf):
        proven(shelf)
        frames(shelf, *["5000.07"] * 8, first=SET)
        rows = rows_of(shelf.job)
        assert not any(row.doubtful for row in rows)
        assert [any("drifts" in mark for mark in row.marks) for row in rows[SET:]] == [False] * 3 + [True] * 5

    def test_the_end_of_a_survey_says_nothing_of_a_drift(self, shelf):
        proven(shelf)
        frames(shelf, *["5000.07"] * 3, first=SET)
        shelf.survey(SET + 3, Read("L-R", "8000.00"), frame="4999.99", more=at_the_end("5000.07", SET + 3))
        assert rows_of(shelf.job)[-1].marks == ()

    def test_the_end_is_held_against_the_start_apart_from_history(self):
        # each within 0.21 of the first survey's, and 0.38 from each other; by chance they are within 0.36
        wide = ("limit = 0.15", "limit = 0.21")
        shelf = Shelf(route_with(wide))
        frames(shelf, "5000.00")
        shelf.survey(1, Read("L-R", "8000.00"), frame="4999.85", more=at_the_end("5000.10", 1))
        assert not rows_of(shelf.job)[-1].doubtful, "more than the limit, and not more than can be by chance"
        shelf.survey(2, Read("L-R", "8000.00"), frame="4999.81", more=at_the_end("5000.19", 2))
        assert rows_of(shelf.job)[-1].doubt == "control frame at the end not what it was at the start"

    def test_the_survey_that_gives_the_reference_is_not_held_against_itself(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"), frame="4999.80", more=at_the_end("5000.20", 0))
        assert rows_of(shelf.job)[0].doubt == "control frame at the end not what it was at the start"

    def test_a_dial_zero_that_moves_puts_the_survey_in_doubt(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"), frame="5000.00", more=[zero("0.14", "between", 0)])
        shelf.survey(1, Read("L-R", "8000.00"), frame="5000.00", more=[zero("-0.31", "end", 1)])
        assert [row.doubt for row in rows_of(shelf.job)] == ["", "dial zero moved by -0.31 mm during the survey"]

    def test_a_new_frame_begins_a_new_chart(self, shelf):
        proven(shelf)
        frames(shelf, "5003.00", first=SET)
        new = {"table": "control", "name": "bar", "since": stamp(day(SET - 0.5))}
        shelf.journal(SET + 1, ("new_thing", new))
        assert rows_of(shelf.job)[-1].doubt == ""
        (page,) = instruments_of(shelf.job, day(SET + 2)).pages
        assert len(page.chart.points) == 1
        assert page.chart.limits is None

    @pytest.mark.parametrize(
        ("hours", "frame", "points"),
        [(1.5, "5000.02", 2), (-1.5, "5000.02", 2), (1.5, "5000.03", 3), (3.0, "5000.02", 3)],
    )
    def test_a_frame_reading_that_stands_in_two_surveys_is_one_in_the_chart(self, shelf, hours, frame, points):
        frames(shelf, "4999.98", "5000.02")
        shelf.survey(1 + hours / 24, Read("L-K", "6000.00"), frame=frame, label="the same day")
        (page,) = instruments_of(shelf.job, day(3)).pages
        assert len(page.chart.points) == points
        assert [one.label for one in page.surveys].count("the same day") == 1, "it is proven by it all the same"

    def test_a_frame_booked_again_under_another_label_does_not_narrow_the_limits(self, shelf):
        proven(shelf)
        (once,) = instruments_of(shelf.job, day(SET + 1)).pages
        for place in range(SET):
            at = place + 1 / 24
            shelf.survey(at, Read("L-K", "6000.00"), frame=CALM[place % len(CALM)], label=f"again {place}")
        (twice,) = instruments_of(shelf.job, day(SET + 1)).pages
        assert twice.chart.limits == once.chart.limits


class TestMarks:
    def test_a_certificate_that_has_run_out_marks_every_length_from_the_next_day(self):
        ends = ('serial = "T1"', 'serial = "T1"\ncertificate_until = 2031-05-05')
        shelf = Shelf(route_with(ends))
        for days in (0, 1, 2):
            shelf.survey(days, Read("L-R", "8000.00"), frame="5000.00")
        rows = rows_of(shelf.job)
        assert [row.marks for row in rows] == [(), (), ("certificate of tape T1 ran out on 2031-05-05",)]
        assert all(row.counts for row in rows)

    def test_a_certificate_that_came_late_takes_the_mark_off(self):
        ends = ('serial = "X1"', 'serial = "X1"\ncertificate_until = 2031-05-05')
        shelf = Shelf(route_with(ends))
        shelf.survey(5, Read("L-R", "8000.00"), frame="5000.00")
        assert rows_of(shelf.job)[0].marks == ("certificate of extensometer X1 ran out on 2031-05-05",)
        values = {"values": {"certificate_until": "2032-05-05"}, "reference": "C-2", "reason": "came late"}
        shelf.journal(9, ("certificate", {"table": "extensometer", "name": "X1", **values}))
        assert rows_of(shelf.job)[0].marks == ()
        assert shelf.job.questions() == (), "a new last day is no other instrument"

    def test_a_last_day_that_was_put_off_in_the_route_file_is_no_other_instrument(self):
        old, new = (f'serial = "X1"\ncertificate_until = {year}-05-05' for year in (2031, 2032))
        shelf = Shelf(route_with(('serial = "X1"', new)))
        shelf.survey(0, Read("L-R", "8000.00"), frame="5000.00", route=route_with(('serial = "X1"', old)))
        assert shelf.job.questions() == ()

    def test_a_survey_without_frame_is_marked_as_not_proven(self, shelf):
        shelf.survey(0, Read("L-R", "8000.00"))
        assert rows_of(shelf.job)[0].marks == ("instrument not proven: no control frame",)


class TestInstruments:
    def test_a_page_for_each_tape_with_extensometer_and_which_surveys_are_in_doubt(self, shelf):
        frames(shelf, "5000.00", "5000.40", "5000.01")
        shelf.survey(3, Read("L-R", "8000.00"), frame="5002.00", tape="T2")
        first, second = instruments_of(shelf.job, day(9)).pages
        assert (first.tape, second.tape) == ("T1", "T2")
        assert [(one.label, one.proof.doubt) for one in first.in_doubt] == [
            ("day 1 T1", "control frame beyond its limit at the start")
        ]
        assert second.in_doubt == ()

    def test_care_is_due_by_date_and_counts_from_what_was_booked_last(self):
        listed = ("[uncertainty]", '[[care]]\nwhat = "dial battery"\nevery_days = 30\n[uncertainty]')
        shelf = Shelf(route_with(listed))
        shelf.survey(0, Read("L-R", "8000.00"), frame="5000.00")
        assert instruments_of(shelf.job, day(1)).care[0].overdue
        shelf.journal(2, ("care", {"what": "dial battery", "at": stamp(day(2))}))
        (care,) = instruments_of(shelf.job, day(3)).care
        assert (care.overdue, str(care.due)) == (False, "2031-06-05")
        assert not instruments_of(shelf.job, day(31.5)).care[0].overdue
        assert instruments_of(shelf.job, day(32)).care[0].overdue, "on the very day"
        shelf.survey(20, Read("L-R", "8000.00"), said={"care dial battery": "done"}, frame="5000.00")
        (care,) = instruments_of(shelf.job, day(40)).care
        assert (care.overdue, str(care.due), care.last.by) == (False, "2031-06-23", "AB")

    def test_repeatability_as_it_was_against_what_is_stated_by_observer(self, shelf):
        for days in range(4):
            shelf.survey(days, *(Read("L-R", "8000.00") for _ in range(3)), said={"reader": "AB" if days % 2 else "CD"})
        (told, _) = instruments_of(shelf.job, day(9)).repeatability
        assert told.every.s == 0
        assert told.every.degrees == 4 * 3 * 2
        assert [who for who, _ in told.by_observer] == ["AB", "CD"]
        assert told.every.against(told.stated) == "smaller than stated"

    def test_an_instrument_that_reads_nothing_has_no_page(self, shelf):
        assert instruments_of(shelf.job, day(0)).pages == ()
        assert pytest.approx(0.05) == float(instruments_of(shelf.job, day(0)).repeatability[0].stated)
