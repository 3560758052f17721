"""A route that is not what it was: a new thing, or a mistake. Asked, never guessed; the past re-reduced, both kept."""

from __future__ import annotations

from decimal import Decimal

import pytest

from fieldtui.job import as_mistake, as_new_thing
from fieldtui.job.forms import RENAMED
from fieldtui.route import parse_route
from harness.shelf import Read, Shelf, day, moved, route_with, rows_of, stamp

WRONG = ("11.6e-6", "17.2e-6")


def changed(old, new, count=1):
    """The route with the first places of a text replaced."""
    text = route_with().text
    assert old in text
    return parse_route(text.replace(old, new, count), {}, name="heading.toml")


@pytest.fixture
def warm():
    """Read at 10 degC in a year of falling temperature, with a tape whose expansion is wrong in the route."""
    shelf = Shelf(route_with())
    wrong = changed(*WRONG)
    shelf.survey(0, Read("L-R", "8000.00", temperature="20.0"), route=wrong)
    shelf.survey(90, Read("L-R", "8000.00", temperature="0.0"), route=wrong)
    shelf.survey(100, Read("L-R", "8000.00", temperature="0.0"))
    return shelf


class TestDifferences:
    def test_the_same_route_asks_nothing(self, shelf):
        shelf.survey(0, Read("L-R", "8000"))
        shelf.survey(1, Read("L-R", "8000"))
        assert shelf.job.questions() == ()

    def test_a_figure_of_a_tape_that_changed_is_asked_about(self, warm):
        (question,) = warm.job.questions()
        difference = question.difference
        assert (difference.thing, difference.key) == (("tape", "T1", ""), "expansion")
        assert (difference.old, difference.new) == (Decimal("17.2e-6"), Decimal("11.6e-6"))
        assert (difference.last_old.day, difference.first_new) == (
            day(90).day,
            rows_of(warm.job)[2].booked.time.replace(minute=0),
        )
        assert (
            question.text
            == "tape T1: expansion was 0.0000172 and is 0.0000116: is it a new thing, or was it a mistake?"
        )

    def test_the_route_of_now_is_compared_with_the_last_survey_s(self):
        shelf = Shelf(changed(*WRONG))
        shelf.survey(0, Read("L-R", "8000"), route=route_with())
        (question,) = shelf.job.questions()
        assert question.difference.first_new is None
        assert question.difference.new == Decimal("17.2e-6")

    @pytest.mark.parametrize(
        ("old", "new", "name"),
        [
            ('dial_serial = "D1"', 'dial_serial = "D7"', "extensometer X1: dial_serial was D1 and is D7"),
            ("dial_range = [0.0, 50.0]", "dial_range = [0.0, 60.0]", "dial_range was 0.0 to 50.0 and is 0.0 to 60.0"),
            ("length = 5000.0", "length = 5001.0", "control bar: length was 5000.0 and is 5001.0"),
            ("across = -4.0", "across = -4.2", "anchor A L: across was -4.0 and is -4.2"),
            ("up = 1.5", 'up = 1.5\nkind = "wedged"', "anchor A L: kind was not stated and is wedged"),
            ("first_hole_distance = 25.0", "first_hole_distance = 25.4", "first_hole_distance was 25.0 and is 25.4"),
        ],
    )
    def test_tape_dial_control_and_anchor_are_compared(self, old, new, name):
        shelf = Shelf(changed(old, new))
        shelf.survey(0, Read("L-R", "8000"), route=route_with(), frame="5000")
        (question,) = shelf.job.questions()
        assert name in question.text

    def test_what_was_not_used_may_be_described_anew(self):
        shelf = Shelf(changed("length = 5000.0", "length = 5001.0"))
        shelf.survey(0, Read("L-R", "8000"), route=route_with())
        assert shelf.job.questions() == ()

    def test_two_surveys_that_used_it_are_compared_over_others_that_did_not(self):
        other = changed("limit = 0.15", "limit = 0.15\n")
        shelf = Shelf(changed('serial = "T2"\npitch = 25.0', 'serial = "T2"\npitch = 25.4'))
        shelf.survey(0, Read("L-R", "8000"), route=other, tape="T2")
        shelf.survey(1, Read("L-R", "8000"))
        assert [one.difference.key for one in shelf.job.questions()] == ["pitch"]
        shelf.survey(2, Read("L-R", "8000"), tape="T2")
        (question,) = shelf.job.questions()
        assert (question.difference.last_old, question.difference.first_new) == (day(0), day(2))

    @pytest.mark.parametrize(("old", "new"), [("limit = 0.15", "limit = 0.2"), ("closing = 5.0", "closing = 6.0")])
    def test_settings_may_change_without_a_question(self, old, new):
        shelf = Shelf(changed(old, new))
        shelf.survey(0, Read("L-R", "8000"), route=route_with(), frame="5000")
        assert shelf.job.questions() == ()

    def test_until_it_is_answered_each_survey_keeps_its_own_route(self, warm):
        # 20 degrees x 8000 mm x 17.2e-6 is 2.75 mm, x 11.6e-6 is 1.86 mm
        assert moved(warm.job) == [None, pytest.approx(-2.752), pytest.approx(-1.856)]


def renamed_and_moved():
    """Station A is called A2 from day 5 on, and its anchor L stands elsewhere in the route of now."""
    text = route_with().text.replace("across = -4.0", "across = -4.2", 1).replace('name = "A"', 'name = "A2"', 1)
    shelf = Shelf(parse_route(text, {}, name="heading.toml"))
    for days in (0, 1):
        shelf.survey(days, Read("L-R", "8000"), route=route_with())
    shelf.journal(4, ("renamed", {"old": "A", "new": "A2", "at": stamp(day(5))}))
    return shelf


class TestAnAnchorOfAStationRenamedMeanwhile:
    def test_is_asked_about_before_the_next_survey_and_after_it(self):
        shelf = renamed_and_moved()
        (question,) = shelf.job.questions()
        assert question.text.startswith("anchor A2 L: across was -4.0 and is -4.2:")
        shelf.survey(6, Read("L-R", "8000", station="A2"))
        (question,) = shelf.job.questions()
        assert (question.difference.last_old, question.difference.first_new) == (day(1), day(6))

    def test_is_another_one(self):
        shelf = renamed_and_moved()
        shelf.survey(6, Read("L-R", "8000", station="A2"))
        shelf.journal(7, as_new_thing(shelf.job.questions()[0].difference, day(6), "CD"))
        assert shelf.job.questions() == ()
        assert [row.segment for row in rows_of(shelf.job, station="A2")] == [1, 1, 2]

    @pytest.mark.parametrize(("right", "across"), [("old", "-4.0"), ("new", "-4.2")])
    def test_was_described_wrongly_then_or_is_now(self, right, across):
        shelf = renamed_and_moved()
        shelf.survey(6, Read("L-R", "8000", station="A2"))
        shelf.journal(7, as_mistake(shelf.job.questions()[0].difference, right, "CD", "measured anew"))
        assert shelf.job.questions() == ()
        anchors = [row.route.station(row.booked.target.station).anchors[0] for row in rows_of(shelf.job, station="A2")]
        assert {anchor.across for anchor in anchors} == {Decimal(across)}


class TestNewThing:
    def test_begins_new_segments_and_answers_the_question(self, warm):
        (question,) = warm.job.questions()
        warm.journal(101, as_new_thing(question.difference, day(95), "CD", "another tape with the same number"))
        assert warm.job.questions() == ()
        assert [row.segment for row in rows_of(warm.job)] == [1, 1, 2]
        assert moved(warm.job) == [None, pytest.approx(-2.752), pytest.approx(-2.752)]

    def test_at_another_time_than_the_change_it_answers_nothing(self, warm):
        (question,) = warm.job.questions()
        warm.journal(101, as_new_thing(question.difference, day(50), "CD"))
        assert len(warm.job.questions()) == 1

    def test_a_new_frame_has_a_new_reference(self):
        shelf = Shelf(route_with())
        shelf.survey(0, Read("L-R", "8000"), frame="5000.00")
        shelf.survey(1, Read("L-R", "8000"), frame="5003.00")
        assert rows_of(shelf.job)[1].doubtful
        shelf.journal(2, ("new_thing", {"table": "control", "name": "bar", "since": stamp(day(0.5))}))
        assert not rows_of(shelf.job)[1].doubtful
        assert [float(past.length.value) for past in shelf.job.ground().frames[("T1", "X1")]] == [5003.0]


class TestMistake:
    def test_the_past_is_reduced_anew_and_both_figures_are_kept(self, warm):
        (question,) = warm.job.questions()
        warm.journal(101, as_mistake(question.difference, "new", "CD", "typing error"))
        assert warm.job.questions() == ()
        assert moved(warm.job) == [None, pytest.approx(-1.856), pytest.approx(-1.856)]
        rows = rows_of(warm.job)
        assert float(rows[1].logged_length.value) == pytest.approx(7997.248)
        assert float(rows[1].length.value) == pytest.approx(7998.144)
        assert rows[0].logged_length is None
        assert rows[2].logged_length is None
        assert [row.segment for row in rows] == [1, 1, 1]

    def test_it_counts_over_its_range_only(self, warm):
        (question,) = warm.job.questions()
        declared = as_mistake(question.difference, "new", "CD", "r", since=day(80), until=day(95))
        warm.journal(101, declared)
        rows = rows_of(warm.job)
        assert rows[1].logged_length is not None
        assert rows[0].route.tapes[0].expansion == Decimal("17.2e-6")
        assert warm.job.questions() == (), "that it counts from a day on and not before was declared"

    def test_a_change_within_its_range_is_still_asked_about(self, shelf):
        about = {"table": "tape", "name": "T1", "key": "pitch", "value": "25", "reason": "r"}
        for days in (0, 10):
            shelf.survey(days, Read("L-R", "8000"))
        shelf.survey(20, Read("L-R", "8000"), route=changed(*WRONG))
        shelf.journal(30, ("correction", {**about, "since": stamp(day(10))}))
        keys = {one.difference.key for one in shelf.job.questions()}
        assert keys == {"expansion"}, "a correction answers for its own figure alone"

    def test_the_old_figure_may_be_the_right_one(self, warm):
        (question,) = warm.job.questions()
        warm.journal(101, as_mistake(question.difference, "old", "CD", "typing error in the new file", since=day(95)))
        assert warm.job.questions() == ()
        assert moved(warm.job)[2] == pytest.approx(-2.752)

    @pytest.mark.parametrize("names", [("one", "two"), ("two", "one")])
    def test_the_correction_booked_later_counts(self, warm, names):
        (question,) = warm.job.questions()
        about = {"table": "tape", "name": "T1", "key": "expansion", "reason": "certificate"}
        warm.journal(102, ("correction", {**about, "value": "12.0e-6"}), name=names[0])
        warm.journal(101, as_mistake(question.difference, "new", "CD", "typing error"), name=names[1])
        assert moved(warm.job)[1] == pytest.approx(-1.92)

    def test_from_its_end_on_it_counts_no_more(self, shelf):
        for days in (0, 10, 20):
            shelf.survey(days, Read("L-R", "8000"))
        about = {"table": "tape", "name": "T1", "key": "first_hole_distance", "value": "26", "reason": "r"}
        shelf.journal(30, ("correction", {**about, "since": stamp(day(10)), "until": stamp(day(20))}))
        assert [float(row.length.value) for row in rows_of(shelf.job)] == [8000, 8001, 8000]

    def test_a_certificate_that_comes_late_sets_several_figures_right(self, shelf):
        shelf.survey(0, Read("L-R", "8000"))
        shelf.survey(30, Read("L-R", "8000"))
        values = {"first_hole_distance": "25.40", "expansion_uncertainty": "0.1e-6"}
        about = {"table": "tape", "name": "T1", "reference": "invented 12/31", "reason": "came late"}
        shelf.journal(40, ("certificate", {**about, "values": values, "since": stamp(day(20))}))
        rows = rows_of(shelf.job)
        assert [float(row.length.value) for row in rows] == [8000.0, 8000.4]
        assert rows[1].logged_length.value == 8000
        assert shelf.job.corrections.all[0].certificate == "invented 12/31"

    def test_a_table_of_holes_can_be_set_right(self, shelf):
        shelf.survey(0, Read("L-R", "8000"))
        table = {str(hole): str(25 * hole + Decimal("0.5")) for hole in range(300, 330)}
        about = {"table": "tape", "name": "T1", "key": "table", "reason": "calibrated"}
        shelf.journal(1, ("correction", {**about, "value": table}))
        assert float(rows_of(shelf.job)[0].length.value) == 8000.5

    @pytest.mark.parametrize(
        ("key", "value"),
        [
            ("expansion", "steel"),
            ("pitch", "0"),
            ("holes", "many"),
            ("holes", "0"),
            ("colour", "red"),
            ("pitch", "nan"),
            ("pitch", "1e999999"),
            ("first_hole_distance", "1e-999999"),
        ],
    )
    def test_what_cannot_be_is_told_and_changes_nothing(self, shelf, key, value):
        shelf.survey(0, Read("L-R", "8000"))
        shelf.journal(1, ("correction", {"table": "tape", "name": "T1", "key": key, "value": value, "reason": "r"}))
        assert len(shelf.job.problems) == 1
        assert key in shelf.job.problems[0]
        assert rows_of(shelf.job)[0].logged_length is None

    @pytest.mark.parametrize(
        ("about", "key", "value"),
        [
            ({"table": "extensometer", "name": "X1"}, "dial", "subtracts"),
            ({"table": "extensometer", "name": "X1"}, "repeatability", "0.5"),
            ({"table": "uncertainty", "name": "route"}, "reproducibility", "0.5"),
        ],
    )
    def test_dial_and_uncertainties_can_be_set_right(self, shelf, about, key, value):
        shelf.survey(0, Read("L-R", "8000"))
        before = rows_of(shelf.job)[0].length
        shelf.journal(1, ("correction", {**about, "key": key, "value": value, "reason": "r"}))
        after = rows_of(shelf.job)[0].length
        assert (after.value, after.u) != (before.value, before.u)


class TestGone:
    def test_a_chord_that_is_no_longer_in_the_route_is_asked_about(self):
        text = route_with().text
        without = (
            text[: text.index('[[station]]\nname = "B"')] + text[text.index("[[tape]]", text.index('name = "B"')) :]
        )
        shelf = Shelf(parse_route(without, {}, name="heading.toml"))
        shelf.survey(0, Read("L-R", "8000"), route=route_with())
        (question,) = shelf.job.questions()
        assert (question.kind, question.chord) == ("gone", ("B", "L-R"))
        shelf.journal(1, ("chord", {"station": "B", "chord": "R-L", "event": "retired", "at": stamp(day(1))}))
        assert shelf.job.questions() == ()

    def test_or_its_station_was_renamed(self):
        shelf = Shelf(changed('[[station]]\nname = "B"', '[[station]]\nname = "B2"'))
        shelf.survey(0, Read("L-R", "8000", station="B"), route=route_with())
        assert len(shelf.job.questions()) == 1
        shelf.journal(1, ("renamed", {"old": "B", "new": "B2", "at": stamp(day(1))}))
        assert shelf.job.questions() == ()
        assert len(rows_of(shelf.job, station="B2")) == 1

    def test_the_question_stays_while_surveys_are_walked_with_the_new_route(self):
        new = changed('[[station]]\nname = "B"', '[[station]]\nname = "B2"')
        shelf = Shelf(new)
        shelf.survey(0, Read("L-R", "8000", station="B"), route=route_with())
        shelf.survey(1, Read("L-R", "7999", station="B2"))
        shelf.survey(2, Read("L-R", "7998", station="B2"))
        (question,) = shelf.job.questions()
        assert question.chord == ("B", "L-R")
        assert list(new_names(shelf.job, "B")) == ["B2"]
        shelf.journal(3, ("renamed", {"old": "B", "new": "B2", "at": stamp(day(0.5))}))
        assert shelf.job.questions() == ()
        assert moved(shelf.job, station="B2") == [None, -1, -2]

    def test_a_station_that_is_called_what_it_was_called_before(self):
        new = changed('[[station]]\nname = "B"', '[[station]]\nname = "B2"')
        shelf = Shelf(route_with())
        shelf.survey(0, Read("L-R", "8000", station="B"))
        shelf.survey(1, Read("L-R", "7999", station="B2"), route=new)
        shelf.journal(2, ("renamed", {"old": "B", "new": "B2", "at": stamp(day(0.5))}))
        shelf.survey(3, Read("L-R", "7998", station="B"))
        (question,) = shelf.job.questions()
        assert question.chord == ("B2", "L-R")
        assert list(new_names(shelf.job, "B2")) == ["B"]
        shelf.journal(4, ("renamed", {"old": "B2", "new": "B", "at": stamp(day(2.5))}))
        assert shelf.job.questions() == ()
        assert moved(shelf.job, station="B") == [None, -1, -2]

    def test_a_chord_retired_before_its_station_was_renamed_stays_retired(self):
        less = route_with().text.replace('[[station.chord]]\nfrom = "L"\nto = "K"\n', "")
        shelf = Shelf(parse_route(less.replace('name = "A"', 'name = "C"', 1), {}, name="heading.toml"))
        shelf.survey(0, Read("L-R", "8000"), Read("L-K", "6000"), route=route_with())
        shelf.journal(1, ("chord", {"station": "A", "chord": "L-K", "event": "retired", "at": stamp(day(1))}))
        shelf.journal(2, ("renamed", {"old": "A", "new": "C", "at": stamp(day(2))}))
        assert shelf.job.questions() == ()


def new_names(job, old):
    """The stations that the form offers as what another one is called now."""
    asks = RENAMED.asks(job, {"old": old})
    return [name for name, _ in next(ask for ask in asks if ask.key == "new").options]
