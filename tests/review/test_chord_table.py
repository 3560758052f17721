"""Readings in a table: what counts, what is of an open survey, doubtful, struck out, each apart."""

from __future__ import annotations

from fieldtui.review.chord_table import readings_table, segment_lines
from fieldtui.review.study import Study
from fieldtui.tui.lines import text_of, width_of
from harness.shelf import Read, Shelf, place_of, route_with, rows_of


def sections(study: Study, key: tuple[str, str], width: int = 78) -> dict[str, list[str]]:
    """Lines of the table under their headings."""
    found: dict[str, list[str]] = {}
    title = "head"
    for line in readings_table(study.rows[key], study.open_surveys, study.job.route, width):
        if line[0][1] == "label":
            title = line[0][0]
        else:
            found.setdefault(title, []).append(line[0][0])
    return found


def test_closed_open_doubtful_and_not_read_stand_apart(small: Study) -> None:
    told = sections(small, ("A", "L-R"))
    apart = ["Marked, each still counts: 1", "Doubtful, not counted: 1"]
    assert list(told) == ["head", "Of a survey that is still open", "Closed surveys", *apart]
    assert len(told["Closed surveys"]) == 8
    assert [line.split()[2] for line in told["Of a survey that is still open"]] == ["7991.90"]
    assert "7968.00" in told["Doubtful, not counted: 1"][0]
    assert " ".join(told["Doubtful, not counted: 1"]).count("no way to read it again") == 1
    unread = sections(small, ("A", "L-K"))["Struck out or not read: 1"]
    assert "unsafe" in " ".join(unread)
    assert "loose block" in " ".join(unread)


def test_the_newest_stands_first_with_the_figures_of_the_history(small: Study) -> None:
    rows = [row for row in rows_of(small.job) if row.counts and row.booked.survey not in small.open_surveys]
    lines = sections(small, ("A", "L-R"))["Closed surveys"]
    assert [line.split()[2] for line in lines] == [f"{row.length.value:.2f}" for row in reversed(rows) if row.length]
    assert lines[0].split()[3:7] == ["-7.00", "0.28", "-0.20", "0.10"]
    assert lines[0].split()[7:9] == ["above", "look"]
    assert lines[-1].split()[3] == "baseline"


def test_a_struck_out_booking_says_why() -> None:
    made = Shelf(route_with())
    made.survey(0.0, Read("L-R", "8000.00"))
    log = made.survey(3.0, Read("L-R", "7974.00"))
    made.journal(4.0, ("struck", {**place_of(log, "hole"), "reason": "another bolt, seen in the book"}))
    study = Study(made.job, made.job.surveys[-1].started)
    told = " ".join(sections(study, ("A", "L-R"))["Struck out or not read: 1"])
    assert told == "2031-05-07 06:05 survey day 3 T1 struck out: another bolt, seen in the book"


def test_two_readings_of_one_survey_the_one_that_does_not_count_says_that() -> None:
    made = Shelf(route_with())
    made.survey(0.0, Read("L-R", "8000.00"))
    made.survey(3.0, Read("L-R", "7999.00"), Read("L-R", "7999.02"))
    study = Study(made.job, made.job.surveys[-1].started)
    told = " ".join(sections(study, ("A", "L-R"))["Doubtful, not counted: 1"])
    assert "another reading of its survey counts" in told


def test_later_segments_say_what_was_carried_into_them(small: Study) -> None:
    made = Shelf(route_with())
    made.survey(0.0, Read("L-R", "8000.00"))
    made.survey(3.0, Read("L-R", "7999.00"))
    made.survey(6.0, Read("L-R", "8001.00"), tape="T2")
    job = made.job
    told = text_of(segment_lines(job.account.stories[("A", "L-R")], job.route, 200))
    assert told.startswith("Segment 2 from 2031-05-10 06:05: tape T2, X1; ")
    assert "carried over, by the last value before." in told
    assert segment_lines(small.job.account.stories[("A", "L-R")], small.job.route, 80) == []


def test_a_narrow_table_keeps_the_level(small: Study) -> None:
    for width in (40, 57, 78):
        lines = readings_table(small.rows[("A", "L-R")], small.open_surveys, small.job.route, width)
        assert max(width_of(line) for line in lines) <= width
    assert "above look" in text_of(readings_table(small.rows[("A", "L-R")], (), small.job.route, 57))


def test_nothing_read_is_said(small: Study) -> None:
    assert text_of(readings_table((), (), small.job.route, 60)) == "Nothing was read."


def test_the_segment_is_not_cut_off_where_the_year_can_give_way(small: Study) -> None:
    rows = small.rows["A", "L-R"]

    def lines(width: int) -> list[str]:
        told = text_of(readings_table(rows, small.open_surveys, small.job.route, width))
        return told.partition("Marked")[0].splitlines()

    whole = max(len(line) for line in lines(200) if line[:3] == "203")
    assert lines(whole)[1].split()[-1] == "seg"
    narrow = lines(whole - 1)
    assert narrow[1].split()[-1] == "seg"
    assert "start" in narrow[1]
    assert not any("…" in line for line in narrow[2:12])
    assert not any(line.startswith("2031") for line in narrow[2:12])


def certified() -> Shelf:
    """Three surveys; the tape's certificate ran out after the first."""
    made = Shelf(route_with(('serial = "T1"', 'serial = "T1"\ncertificate_until = 2031-05-05')))
    for days, length in ((0.0, "8000.00"), (3.0, "7999.90"), (4.0, "7999.85")):
        made.survey(days, Read("L-R", length), frame="5000.00")
    return made


RAN_OUT = "2 readings, 2031-05-07 06:05 to 2031-05-08 06:05: certificate of tape T1 ran out on 2031-05-05"


def test_a_mark_is_told_once_for_all_readings_that_carry_it() -> None:
    made = certified()
    told = sections(Study(made.job, made.job.surveys[-1].started), ("A", "L-R"))
    assert " ".join(told["Marked, each still counts: 1"]) == RAN_OUT
    assert len(told["Closed surveys"]) == 3
