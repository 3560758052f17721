"""Booking a sheet: what is written, what is said of every row, and what booking it again does."""

from __future__ import annotations

import json
import os
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldtui.job import Walk
from fieldtui.paper.book import book
from fieldtui.paper.table import SheetRefused
from fieldtui.survey import Target, frame_target, zero_target
from harness.jobs import Ticking, answer_start, begin, book_chord, lay
from harness.sheets import HEADER, NOW, answers, job_of, log_files, records, row, said, sheet

ZERO = row(minutes=-10, station="", chord="zero", hole="", dials=("0.01",), temperature="")
FRAME = row(minutes=-5, station="", chord="frame", hole="199", dials=("20.10", "20.12", "20.11"))
FRAME_END = row(minutes=60, station="", chord="frame", hole="199", dials=("20.11", "20.12", "20.10"))
CHORDS = (
    row(minutes=0),
    row(minutes=5, chord="L-K", hole="240", dials=("20.81", "20.83", "20.85")),
    row(minutes=10, station="B", hole="319", dials=("30.00", "30.02", "30.01")),
)
OTHER = ("24.31", "24.30", "24.36")
WHOLE = sheet(ZERO, FRAME, *CHORDS, FRAME_END)

CONTRACT = [
    "survey",
    "time",
    "station",
    "chord",
    "units",
    "length",
    "uncertainty",
    "change",
    "change_uncertainty",
    "since_baseline",
    "rate",
    "repeats_agree",
    "agrees",
    "explanations",
    "level",
]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return lay(tmp_path, control=True)


def test_a_booked_survey_is_closed_and_whole(path: Path) -> None:
    answers(path, WHOLE)
    (survey,) = job_of(path).surveys
    assert (survey.label, survey.state.closed, survey.scope) == ("s1", True, "survey")
    assert {target for target, booking in survey.state.bookings.items() if booking.was_read} == {
        zero_target("start"),
        frame_target("start"),
        Target("A", "L-R"),
        Target("A", "L-K"),
        Target("B", "L-R"),
        frame_target("end"),
    }
    assert records(path, "closed")[0]["missing"] == []
    assert len(log_files(path)) == 1


def test_reading_times_are_the_sheets_and_booking_times_the_clocks(path: Path) -> None:
    answers(path, WHOLE)
    assert records(path, "figure")[-1]["read_at"] == "2031-05-04T03:00:00.000Z"
    assert {record["at"] for record in records(path)} == {"2031-06-01T09:00:00.000Z"}
    (survey,) = job_of(path).surveys
    assert survey.state.bookings[Target("A", "L-R")].read_at == datetime(2031, 5, 4, 2, 0, tzinfo=UTC)


def test_figures_are_booked_as_written(path: Path) -> None:
    text = sheet("s1;2031-05-04 04:00;A;L-R;0319;24,340;24,36;24,35;12", header=HEADER.replace(",", ";"))
    answers(path, text)
    assert [one["typed"] for one in records(path, "figure")] == ["0319", "24,340", "24,36", "24,35", "12"]


def test_paper_and_the_walk_give_the_same_figures(path: Path, tmp_path: Path) -> None:
    (tmp_path / "walked").mkdir()
    walked = lay(tmp_path / "walked")
    walk = begin(walked, Ticking(datetime(2031, 5, 4, 1, 0, tzinfo=UTC)))
    answer_start(walk)
    book_chord(walk, "319", "24.34", "24.36", "24.35")
    walk.close()
    at_the_anchor = records(walked, "closed")[0]["bookings"][-1]
    answers(path, sheet(row()))
    on_paper = records(path, "closed")[0]["bookings"][-1]
    assert on_paper["figures"].items() <= at_the_anchor["figures"].items()
    same = ("length", "uncertainty", "tape", "extensometer", "outcome")
    assert {key: at_the_anchor[key] for key in same} == {key: on_paper[key] for key in same}


def test_an_answer_holds_the_contract_first(path: Path) -> None:
    first = answers(path, WHOLE)[2]
    assert list(first)[: len(CONTRACT)] == CONTRACT
    assert (first["survey"], first["time"], first["station"], first["chord"]) == (
        "s1",
        "2031-05-04T02:00:00Z",
        "A",
        "L-R",
    )
    assert first["units"] == "mm"
    # 25 + 318 x 25 + 24.35, and 11.6e-6 x 7999.35 x (12 - 20)
    assert first["length"] == pytest.approx(7999.35 - 11.6e-6 * 7999.35 * 8, abs=1e-6)
    assert first["change"] is None
    assert first["repeats_agree"] is True


def test_a_change_is_counted_from_the_survey_before_and_closing_is_negative(path: Path) -> None:
    found = answers(path, sheet(row("s1"), row("s2", minutes=2880, dials=("23.35", "23.35", "23.35"))))
    second = found[1]
    assert second["change"] == pytest.approx(-1.0, abs=1e-3)
    assert second["since_baseline"] == pytest.approx(-1.0, abs=1e-3)
    assert second["rate"] == pytest.approx(-0.5, abs=1e-3)
    assert second["change_uncertainty"] > 0.2
    assert second["level"] == "below"


def test_a_level_is_named_and_asks_for_attention(path: Path) -> None:
    rows = (row("s1"), row("s2", minutes=2880, hole="318", dials=("37.35", "37.35", "37.35")))
    status, _ = said(path, sheet(*rows))
    assert status == 1
    again = answers(path, sheet(*rows))
    assert (again[1]["level"], again[1]["level_name"]) == ("above", "stop")


def test_where_a_hole_misread_by_one_would_pass_for_movement_that_is_said(path: Path) -> None:
    surveys = [row(f"s{day}", minutes=1440 * day, dials=(f"{24.34 - day / 50:.2f}",) * 3) for day in range(8)]
    _, lines = said(path, sheet(*surveys[:2]))
    assert "2 rows: a hole misread by one would pass for movement. Hold the hole against the field book." in lines
    found = answers(path, sheet(*surveys, ZERO))
    unsure = [one["hole_unsure"] for one in found]
    assert unsure[:2] == [True, True]
    assert unsure[-2:] == [False, None]


def test_answers_come_in_the_order_of_the_sheet(path: Path) -> None:
    text = sheet(row("s2", minutes=2880), row("s1"), "s1,never,A,L-R,1,1,1,1,1", row("s1", minutes=5, chord="L-K"))
    assert [one["line"] for one in answers(path, text)] == [2, 3, 4, 5]


def test_a_row_is_judged_from_earlier_readings_only(path: Path, tmp_path: Path) -> None:
    days = [row(f"s{day}", minutes=1440 * day, dials=(f"{24.34 - day}",) * 3) for day in range(5)]
    together = answers(path, sheet(*days))
    (tmp_path / "other").mkdir()
    other = lay(tmp_path / "other", control=True)
    one_by_one = [answers(other, sheet(days[day]))[0] for day in (4, 0, 2, 3, 1)]
    alike = ("length", "change", "change_uncertainty", "rate")
    # booked last to first, a row knows less or as much, never something later
    assert {key: one_by_one[1][key] for key in alike} == {key: together[0][key] for key in alike}
    assert one_by_one[0]["change"] is None
    again = answers(other, sheet(*days))
    for first, second in zip(together, again, strict=True):
        assert {key: first[key] for key in alike} == {key: second[key] for key in alike}
        assert second["done"] == "already booked"


def test_rows_of_one_label_are_one_survey_wherever_they_stand(path: Path) -> None:
    answers(path, sheet(row("s1"), row("s2", minutes=2880), row("s1", minutes=5, chord="L-K", hole="240")))
    assert sorted(survey.label for survey in job_of(path).surveys) == ["s1", "s2"]


def test_the_same_chord_twice_is_a_second_booking(path: Path) -> None:
    found = answers(path, sheet(row(), row(minutes=9, dials=("24.31", "24.33", "24.32"))))
    assert [one["done"] for one in found] == ["booked", "booked"]
    (survey,) = job_of(path).surveys
    assert [target.reading for target in survey.state.bookings] == [1, 2]


def test_a_chord_that_was_not_read_is_booked_with_its_reason(path: Path) -> None:
    text = sheet("s1,2031-05-04T02:00:00Z,A,L-R,,,,,,unsafe,loose block", header=HEADER + ",outcome,note")
    (found,) = answers(path, text)
    assert (found["outcome"], found["length"], found["agrees"]) == ("unsafe", None, None)
    assert records(path, "unread")[0] | {"read_at": ""} == {
        "station": "A",
        "chord": "L-R",
        "reading": 1,
        "outcome": "unsafe",
        "note": "loose block",
        "read_at": "",
    }
    assert answers(path, text)[0]["done"] == "already booked"


@pytest.mark.parametrize("name", [b"a\x1b[31m.csv", b"a\xff.csv"])
def test_the_name_of_a_sheet_is_printed_and_booked_as_text(path: Path, name: bytes) -> None:
    file = path.parent / os.fsdecode(name)
    file.write_text(sheet(row(), row("s1", station="Z")))
    lines: list[str] = []
    assert book(job_of(path), file, lines.append, clock=lambda: NOW) == 1
    assert all(line.isprintable() for line in lines)
    assert "2 rows: 1 booked, 1 not booked." in lines
    (told,) = [one["typed"] for one in records(path, "said") if one["what"] == "sheet"]
    assert told.isprintable()


def test_one_row_is_called_one_row(path: Path) -> None:
    assert "1 row: 1 booked." in said(path, sheet(row()))[1]


def test_a_frame_not_read_before_or_after_is_told_apart_and_a_row_twice_names_its_own_record(path: Path) -> None:
    header = f"{HEADER},outcome"
    text = sheet(
        "s1,2031-05-04T01:50:00Z,,frame,,,,,,blocked",
        "s1,2031-05-04T02:00:00Z,A,L-R,,,,,,blocked",
        "s1,2031-05-04T02:10:00Z,A,L-R,,,,,,unsafe",
        "s1,2031-05-04T02:20:00Z,A,L-R,,,,,,blocked",
        "s1,2031-05-04T02:30:00Z,,frame,,,,,,blocked",
        header=header,
    )
    first = answers(path, text)
    assert [one["done"] for one in first] == ["booked"] * 3 + ["already booked", "booked"]
    assert first[3]["seq"] == first[1]["seq"] != first[2]["seq"]
    again = answers(path, text)
    assert {one["done"] for one in again} == {"already booked"}
    assert [one["seq"] for one in again] == [one["seq"] for one in first]


def test_the_other_ends_name_is_booked_as_the_same_chord_and_said(path: Path) -> None:
    (found,) = answers(path, sheet(row(chord="R-L")))
    assert found["chord"] == "R-L"
    assert records(path, "figure")[0]["chord"] == "L-R"
    assert records(path, "accepted")[0]["reason"] == "read from the other end, as R-L"


def test_a_frame_is_of_the_start_the_end_or_in_between_by_its_time(path: Path) -> None:
    between = row(minutes=7, station="", chord="frame", hole="199", dials=("20.10", "20.12", "20.11"))
    answers(path, sheet(FRAME_END, FRAME, between, *CHORDS))
    (survey,) = job_of(path).surveys
    assert {target.part for target in survey.state.bookings if target.is_frame} == {"start", "between", "end"}


def test_a_survey_without_zero_or_frame_is_booked_and_marked(path: Path) -> None:
    status, lines = said(path, sheet(row("s1"), ZERO.replace("s1", "s2"), row("s2", minutes=2880, dials=OTHER)))
    assert "Not proven, without dial zero or control frame: s1, s2." in lines
    assert status == 0
    assert all(one["proven"] is False for one in answers(path, sheet(row("s1"))))
    assert all(one["proven"] is True for one in answers(path, WHOLE.replace("s1", "s3")))


def test_a_frame_beyond_its_limit_puts_the_survey_in_doubt(path: Path) -> None:
    second = WHOLE.replace("s1", "s2").replace("2031-05-04", "2031-05-06").replace("20.1", "20.9")
    second = second.replace("24.3", "24.2").replace("20.8", "20.7")
    answers(path, WHOLE)
    found = {one["chord"]: one for one in answers(path, second)}
    assert found["L-K"]["doubtful"] is True
    assert "control frame beyond its limit" in found["L-K"]["doubt"]


# -- booked again --------------------------------------------------------------------------------------------------


def test_a_row_already_booked_adds_nothing_and_says_where_it_stands(path: Path) -> None:
    first = answers(path, WHOLE)
    before = [file.read_bytes() for file in log_files(path)]
    again = answers(path, WHOLE)
    assert [file.read_bytes() for file in log_files(path)] == before
    assert all(one["done"] == "already booked" for one in again)
    assert [(one["log"], one["seq"]) for one in again] == [(one["log"], one["seq"]) for one in first]
    written = {record["seq"]: record for record in records(path)}
    hole = written[again[2]["seq"]]
    assert (hole["kind"], hole["data"]["slot"], hole["data"]["typed"]) == ("figure", "hole", "319")
    without = ("done",)
    assert [{k: v for k, v in one.items() if k not in without} for one in again] == [
        {k: v for k, v in one.items() if k not in without} for one in first
    ]


def test_the_same_row_twice_in_a_sheet_is_booked_once(path: Path) -> None:
    found = answers(path, sheet(row(), row()))
    assert [one["done"] for one in found] == ["booked", "already booked"]
    assert found[0]["seq"] == found[1]["seq"]
    assert len(records(path, "accepted")) == 1


def test_the_same_figures_written_otherwise_are_the_same_row(path: Path) -> None:
    answers(path, sheet(row()))
    assert (
        answers(path, sheet(row(dials=("24.340", "024.36", "24.35"), temperature="12")))[0]["done"] == "already booked"
    )
    assert answers(path, sheet(row(temperature="12.1")))[0]["done"] == "booked"


def test_the_same_figures_at_another_time_are_another_reading(path: Path) -> None:
    answers(path, sheet(row()))
    assert answers(path, sheet(row(minutes=1)))[0]["done"] == "booked"


def test_further_rows_of_a_closed_survey_go_to_a_new_log_of_it(path: Path) -> None:
    answers(path, sheet(row()))
    closed = log_files(path)[0].read_bytes()
    found = answers(path, sheet(row(), row(minutes=5, chord="L-K", hole="240")), clock=lambda: NOW.replace(hour=10))
    assert [one["done"] for one in found] == ["already booked", "booked"]
    assert log_files(path)[0].read_bytes() == closed
    assert len(log_files(path)) == 2
    (survey,) = job_of(path).surveys
    assert set(survey.state.bookings) == {Target("A", "L-R"), Target("A", "L-K")}
    assert survey.state.closed


def test_rows_of_a_survey_that_waits_are_appended_to_its_log_and_it_stays_open(path: Path) -> None:
    walk = begin(path)
    answer_start(walk)
    label = walk.label
    walk.leave()
    found = answers(path, sheet(row(label, minutes=400)))
    assert found[0]["done"] == "booked"
    (survey,) = job_of(path).surveys
    assert survey.open
    assert Target("A", "L-R") in survey.state.bookings
    assert answers(path, sheet(row(label, minutes=400)))[0]["done"] == "already booked"


def test_a_survey_open_in_another_program_takes_no_rows_and_says_so(path: Path) -> None:
    walk: Walk = begin(path)
    answer_start(walk)
    try:
        found = answers(path, sheet(row(walk.label), row("s2", minutes=2880)))
    finally:
        walk.leave()
    assert [one["done"] for one in found] == ["not booked", "booked"]
    assert "open in another program" in found[0]["problem"]
    assert found[0]["length"] is None


# -- what is not booked --------------------------------------------------------------------------------------------


def test_rows_that_cannot_be_read_are_reported_and_the_others_booked(path: Path) -> None:
    status, lines = said(path, sheet(row(), "s1,2031-05-04T02:05:00Z,A,L-K,240,x,7.0,7.1,12.0"))
    text = "\n".join(lines)
    assert status == 1
    assert "sheet.csv:3" in text
    assert "dial_1: “x” is not a number" in text
    assert "2 rows: 1 booked, 1 not booked." in text
    (survey,) = job_of(path).surveys
    assert set(survey.state.bookings) == {Target("A", "L-R")}


def test_a_wrong_header_books_nothing(path: Path) -> None:
    with pytest.raises(SheetRefused):
        said(path, WHOLE.replace("dial_1", "dial one"))
    assert log_files(path) == []


def test_one_byte_of_latin_1_books_nothing(path: Path) -> None:
    file = path.parent / "sheet.csv"
    file.write_bytes((HEADER + ",note\n" + row() + ",Stoß\n").encode("latin-1"))
    from fieldtui.paper.book import book

    with pytest.raises(SheetRefused, match="Line 2"):
        book(job_of(path), file, print)
    assert log_files(path) == []


def test_a_folder_that_cannot_be_written_is_told_at_every_row(path: Path) -> None:
    (path.parent / "logs").write_text("in the way")
    found = answers(path, sheet(row(), row("s2", minutes=2880)))
    assert [one["done"] for one in found] == ["not booked", "not booked"]
    assert all(one["problem"] and one["todo"] for one in found)


def test_json_lines_are_one_object_a_row(path: Path) -> None:
    status, lines = said(path, WHOLE, as_lines=True)
    assert status == 0
    assert [json.loads(line)["line"] for line in lines] == [2, 3, 4, 5, 6, 7]


# -- doubt ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cells", "word"),
    [
        ({"dials": ("62.34",) * 3}, "62.34 cannot be"),
        ({"temperature": "75"}, "cannot be"),
        ({"hole": "601"}, "no hole"),
    ],
)
def test_a_figure_that_cannot_be_is_booked_as_written_and_doubtful(
    path: Path, cells: dict[str, str], word: str
) -> None:
    found = answers(path, sheet(row("s1"), row("s2", minutes=2880, **cells), row("s3", minutes=5760, dials=OTHER)))
    doubtful = found[1]
    assert (doubtful["done"], doubtful["doubtful"]) == ("booked", True)
    assert word in doubtful["doubt"]
    kept = [one for one in records(path, "accepted") if one["as"] == "kept"]
    assert len(kept) == 1
    assert word in kept[0]["reason"]
    # what follows is counted from the last reading that was not doubtful
    assert found[2]["change"] == pytest.approx(-0.0267, abs=1e-3)


# -- instruments and people ----------------------------------------------------------------------------------------


def test_what_is_said_of_the_survey_is_booked_when_it_changes(path: Path) -> None:
    header = HEADER + ",observer,recorder,stage"
    text = sheet(row() + ",AB,CD,bench 1", row(minutes=5, chord="L-K") + ",AB,EF,", header=header)
    answers(path, text)
    said_ = [
        (one["what"], one["typed"]) for one in records(path, "said") if one["what"] in ("reader", "recorder", "stage")
    ]
    assert said_ == [("reader", "AB"), ("recorder", "CD"), ("stage", "bench 1"), ("recorder", "EF")]


def test_the_sheet_that_a_survey_came_from_is_named(path: Path) -> None:
    answers(path, sheet(row()))
    assert ("sheet", "sheet.csv") in [(one["what"], one["typed"]) for one in records(path, "said")]


def test_a_tape_changed_in_mid_survey_is_the_tape_of_the_rows_after(tmp_path: Path) -> None:
    path = lay(tmp_path)
    text = path.read_text()
    tape = text[text.index("[[tape]]") : text.index("[[extensometer]]")]
    path.write_text(text.replace("[[extensometer]]", tape.replace("T1", "T2") + "[[extensometer]]", 1))
    rows = (row() + ",T2", row(minutes=5, chord="L-K") + ",", row(minutes=9, station="B") + ",T1")
    found = answers(path, sheet(*rows, header=HEADER + ",tape"))
    assert [one["tape"] for one in found] == ["T2", "T2", "T1"]
    # the next sheet names none: the one last in use is taken, and that is said
    later = answers(path, sheet(row("s2", minutes=2880)))[0]
    assert later["tape"] == "T1"
    assert later["remark"] == "tape T1 taken, the sheet names none"


def test_the_doubtful_first_reading_with_another_tape_is_told_alike_by_the_answer_and_the_history(
    tmp_path: Path,
) -> None:
    path = lay(tmp_path)
    text = path.read_text()
    tape = text[text.index("[[tape]]") : text.index("[[extensometer]]")]
    path.write_text(text.replace("[[extensometer]]", tape.replace("T1", "T2") + "[[extensometer]]", 1))
    rows = [row(f"s{day}", 1440 * day, dials=[f"24.{30 - day}"] * 3) + ",T1" for day in range(4)]
    found = answers(path, sheet(*rows, row("s9", 1440 * 9, hole="310") + ",T2", header=HEADER + ",tape"))
    last = job_of(path).history()[-1]
    assert last.doubtful
    told = found[-1]["since_baseline"]
    assert told == pytest.approx(float(last.since_baseline.value), abs=1e-5) == pytest.approx(-0.03, abs=1e-4)
    assert found[-1]["level"] == last.level.state


def test_a_row_that_cannot_be_booked_is_shown_in_one_line_and_no_longer_than_tells_which(path: Path) -> None:
    strange = sheet(row("x" * 10_000), row(station="B\x1b[31m", chord="L-R"), row())
    _, lines = said(path, strange)
    assert max(len(line) for line in lines) < 500
    assert all(line.isprintable() for line in lines)
    assert any("the route has no station “B [31m”" in line for line in lines)
    assert [one["done"] for one in answers(path, strange)] == ["not booked", "not booked", "already booked"]


def test_a_file_that_is_no_sheet_is_refused_with_its_first_columns(path: Path) -> None:
    with pytest.raises(SheetRefused) as refused:
        said(path, ",".join(f"\x1bcolumn {place}" for place in range(300)))
    assert "“column 11” is not a column of this sheet; and 288 more are not" in refused.value.what
    assert refused.value.what.isprintable()


def test_a_hole_as_a_spreadsheet_writes_it_is_the_same_hole(path: Path) -> None:
    whole = [line.replace(",199,", ",199.0,").replace(",319,", ",319.0,") for line in (ZERO, FRAME, *CHORDS, FRAME_END)]
    told = answers(path, sheet(*whole))
    assert [(one["done"], one["doubt"]) for one in told] == [("booked", None)] * len(whole)
