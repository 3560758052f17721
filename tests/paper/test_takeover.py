"""Earlier lengths and raw readings taken over from the spreadsheet in use so far."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from fieldtui.cli import main
from fieldtui.paper.answer import as_json
from fieldtui.paper.table import SheetRefused, read_table
from fieldtui.paper.takeover import NEEDED, WANTED
from fieldtui.paper.taking import take_table
from harness.jobs import lay
from harness.sheets import NOW, answers, job_of, log_files, records, row, sheet

HEADER = "station,chord,time,length,uncertainty,baseline"
THREE = f"""{HEADER}
A,L-R,2031-01-03 09:00,8001.12,0.25,yes
A,L-R,2031-02-03 09:00,8000.02,0.25,
B,L-R,2031-01-03 10:00,7990.50,,yes
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return lay(tmp_path, control=True)


def taken(path: Path, text: str) -> list[Mapping[str, Any]]:
    job = job_of(path)
    found = take_table(job, read_table(text, "old.csv", NEEDED, WANTED), clock=lambda: NOW)
    return [json.loads(json.dumps(as_json(answer, job.route))) for answer in found.answers]


def test_lengths_become_records_of_one_closed_survey(path: Path) -> None:
    found = taken(path, THREE)
    assert [one["done"] for one in found] == ["booked"] * 3
    booked = records(path, "earlier")
    assert booked[0] == {
        "station": "A",
        "chord": "L-R",
        "read_at": "2031-01-03T09:00:00.000Z",
        "length": "8001.12",
        "unit": "mm",
        "uncertainty": "0.25",
        "baseline": True,
        "tape": "",
        "extensometer": "",
        "written": "8001.12 mm",
    }
    assert [one["baseline"] for one in booked] == [True, True, False]
    (survey,) = job_of(path).surveys
    assert survey.state.closed
    assert survey.label == "earlier lengths, old"
    assert len(log_files(path)) == 1


def test_taken_over_again_adds_nothing_and_says_where_it_stands(path: Path) -> None:
    first = taken(path, THREE)
    again = taken(path, THREE.replace("8001.12", "8001.120"))
    assert [one["done"] for one in again] == ["already booked"] * 3
    assert [(one["log"], one["seq"]) for one in again] == [(one["log"], one["seq"]) for one in first]
    assert len(log_files(path)) == 1
    more = taken(path, THREE + "B,L-R,2031-02-03 10:00,7990.10,,\n")
    assert [one["done"] for one in more] == ["already booked"] * 3 + ["booked"]


def test_a_length_in_the_large_unit_is_taken_exactly(path: Path) -> None:
    taken(path, "station,chord,time,length,unit,uncertainty\nA,L-R,2031-01-03 09:00,8.00112,m,0.00025\n")
    (booked,) = records(path, "earlier")
    assert (booked["length"], booked["uncertainty"], booked["written"]) == ("8001.12", "0.25", "8.00112 m")


def test_a_length_of_many_digits_is_taken_and_the_job_still_opens(path: Path) -> None:
    (one,) = taken(path, f"{HEADER},unit\nA,L-R,2031-01-03 09:00,8.0011234567,.0002512345,,m\n")
    assert one["done"] == "booked"
    (found,) = job_of(path).history()
    assert found.length is not None


def test_a_figure_of_more_digits_than_can_be_read_back_is_not_written(path: Path) -> None:
    """Once in the log it would stand there for good, and no job with it could be opened."""
    (one,) = taken(path, f"{HEADER}\nA,L-R,2031-01-03 09:00,8001.12,.25123456789,\n")
    assert (one["done"], one["todo"]) == ("not booked", "round it")
    assert "uncertainty: 0.25123456789 mm has more digits than a figure can have" in one["problem"]
    assert not log_files(path)


def test_a_length_of_a_chord_that_was_not_read_is_not_taken(path: Path) -> None:
    text = (
        "station,chord,time,length,outcome\nA,L-R,2031-01-03 09:00,8001.12,blocked\nA,L-R,2031-02-03 09:00,8000,Read\n"
    )
    blocked, read = taken(path, text)
    assert (blocked["done"], read["done"]) == ("not booked", "booked")
    assert blocked["problem"] == "outcome: it says blocked, and there is a length"


def test_a_day_alone_is_its_noon_and_that_is_said(path: Path) -> None:
    (found,) = taken(path, "station,chord,time,length\nA,L-R,2031-01-03,8001.12\n")
    assert records(path, "earlier")[0]["read_at"] == "2031-01-03T12:00:00.000Z"
    assert "noon" in found["remark"]


def test_rows_of_raw_figures_are_booked_as_paper_is(path: Path) -> None:
    text = "station,chord,time,hole,dial_1,dial_2,dial_3,temperature,length\n"
    text += "A,L-R,2031-01-03 09:00,319,24.34,24.36,24.35,12.0,\nB,L-R,2031-01-03 09:10,,,,,,7990.5\n"
    raw, length = taken(path, text)
    assert (raw["survey"], raw["done"], length["done"]) == ("2031-01-03", "booked", "booked")
    assert raw["length"] == pytest.approx(7998.607660, abs=1e-6)
    assert [one["typed"] for one in records(path, "figure")] == ["319", "24.34", "24.36", "24.35", "12.0"]
    assert {one["done"] for one in taken(path, text)} == {"already booked"}


def test_movement_goes_on_from_the_earlier_lengths(path: Path) -> None:
    taken(path, THREE)
    (found,) = answers(path, sheet(row()))
    # carried: 8000.02 - 8001.12 moved before this program was used
    assert found["since_baseline"] == pytest.approx(-1.10, abs=0.01)


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("C,L-R,2031-01-03 09:00,8001.12,,", "no chord"),
        ("A,L-R,03.01.2031,8001.12,,", "not a time"),
        ("A,L-R,2031-01-03 09:00,long,,", "not a number"),
        ("A,L-R,2031-01-03 09:00,,,", "neither a length nor raw figures"),
        ("A,L-R,2031-01-03 09:00,-8001.12,,", "not more than nil"),
        ("A,L-R,2031-01-03 09:00,8001.12,,perhaps", "neither yes nor no"),
        ("A,L-R,2031-01-03 09:00,8.00112,,", "far from"),
    ],
)
def test_a_row_that_cannot_be_taken_is_reported_and_the_others_are(path: Path, line: str, word: str) -> None:
    found = taken(path, THREE + line + "\n")
    assert [one["done"] for one in found] == ["booked"] * 3 + ["not booked"]
    assert word in found[3]["problem"]
    assert found[3]["todo"]


def test_a_header_without_a_chord_is_refused(path: Path) -> None:
    with pytest.raises(SheetRefused, match="“chord” is missing"):
        taken(path, "station,time,length\nA,2031-01-03,8001.12\n")


def test_the_command_says_every_row_and_its_status(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = path.parent / "old.csv"
    file.write_text(THREE.replace("2031", "2021"))
    assert main(["import", str(path), str(file)]) == 0
    assert "3 rows: 3 booked." in capsys.readouterr().out
    file.write_text(THREE.replace("2031", "2021") + "A,L-R,never,1,,\n")
    assert main(["import", str(path), str(file), "--json"]) == 1
    lines = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [one["done"] for one in lines] == ["already booked"] * 3 + ["not booked"]


def test_raw_figures_marked_as_a_baseline_that_are_none_are_told(path: Path) -> None:
    text = "station,chord,time,hole,dial_1,dial_2,dial_3,temperature,baseline\n" + "".join(
        f"A,L-R,2031-0{month}-03 09:00,319,24.3{month},24.36,24.35,12.0,{mark}\n"
        for month, mark in ((1, "yes"), (2, "yes"), (3, ""))
    )
    first, second, third = taken(path, text)
    assert first["warnings"] == third["warnings"] == []
    assert second["warnings"] == [
        "not taken over as the baseline: a chord's first reading is; declare another one in the journal"
    ]
    assert taken(path, text)[1]["warnings"] == second["warnings"]


def test_everything_wrong_with_a_row_reads_as_one_sentence(path: Path) -> None:
    (one,) = taken(path, f"{HEADER}\nA,L-R,2031-02-30,1,,\n")
    assert ".;" not in one["problem"] + one["todo"]
    assert one["problem"].count(";") == 1
