"""One reading booked in two surveys: said of the row and of the job, both kept, settled by a strike."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from fieldtui.job import declare
from harness.jobs import Ticking, answer_start, begin, book_chord, lay
from harness.sheets import DAY, HEADER, NOW, answers, job_of, log_files, row, said, sheet

SHEET = sheet(row(), row(minutes=5, chord="L-K", hole="240"))
AGAIN = SHEET.replace("s1,", "s2,")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return lay(tmp_path)


def doubled(path: Path) -> list[str]:
    return [told for told in job_of(path).warnings if "stand" in told]


def test_a_sheet_booked_again_under_another_label_is_told_row_by_row(path: Path) -> None:
    first = answers(path, SHEET)
    assert all(one["warnings"] == [] for one in first)
    again = answers(path, AGAIN)
    for booked, twin in zip(again, first, strict=True):
        where = f"(log {twin['log'][:8]}, record {twin['seq']})"
        assert booked["done"] == "booked"
        assert booked["warnings"] == [
            f"the same figures stand in survey s1, read {twin['time'][:19]}.000Z {where}: what was read once counts "
            "twice; strike one of the two out in the journal"
        ]
    assert said(path, AGAIN)[0] == 1
    assert [one["done"] for one in answers(path, AGAIN)] == ["already booked"] * 2
    assert doubled(path) == [
        "surveys s1 and s2: 2 readings stand in both with the same figures, A L-R of 2031-05-04 02:00 UTC and others: "
        "what was read once counts twice. Strike one of the two out in the journal."
    ]


def test_within_one_sheet_the_other_line_is_named(path: Path) -> None:
    first, again = answers(path, sheet(row(), row("s2", minutes=3)))
    assert first["warnings"] == []
    assert "survey s1, read 2031-05-04T02:00:00.000Z (line 2)" in again["warnings"][0]
    assert len(log_files(path)) == 2


def test_a_chord_walked_and_booked_from_paper_too_is_told_though_paper_gives_the_minute(path: Path) -> None:
    walk = begin(path, Ticking(DAY + timedelta(seconds=17)))
    answer_start(walk)
    book_chord(walk, "319", "24.34", "24.36", "24.35")
    walk.close()
    (paper,) = answers(path, sheet(row("paper", minutes=60, dials=("24.340", "24.36", "24.35"), temperature="12")))
    assert f"survey {walk.label}" in paper["warnings"][0]


@pytest.mark.parametrize(
    "other",
    [
        row("s2", minutes=121),
        row("s2", dials=("24.34", "24.36", "24.36")),
        row("s2", temperature="12.1"),
        row("s2", hole="320"),
        row("s2", station="B"),
        row("s1", minutes=1),
    ],
)
def test_another_reading_is_another_reading(path: Path, other: str) -> None:
    answers(path, sheet(row()))
    assert answers(path, sheet(other))[0]["warnings"] == []
    assert doubled(path) == []


def test_a_doubtful_reading_booked_twice_does_not_confirm_itself(path: Path) -> None:
    answers(path, sheet(*(row(f"s{day}", minutes=day * 1440) for day in range(1, 5))))
    late = {"minutes": 5 * 1440, "hole": "318", "dials": ("24.31", "24.37", "24.33")}
    (doubtful,) = answers(path, sheet(row("s5", **late)))
    assert doubtful["doubtful"]
    answers(path, sheet(row("s6", **late)))
    newest = [one for one in job_of(path).account.readings if one.label in ("s5", "s6")]
    assert [one.confirmed_by for one in newest] == ["", ""]
    answers(path, sheet(row("s7", **{**late, "minutes": 6 * 1440, "dials": ("24.30", "24.36", "24.35")})))
    assert job_of(path).account.readings[-1].label == "s7"
    assert [one.confirmed_by for one in job_of(path).account.readings if one.label == "s5"] == ["s7"]


def test_a_strike_in_the_journal_settles_it(path: Path) -> None:
    answers(path, sheet(row()))
    answers(path, sheet(row("s2")))
    job = job_of(path)
    log = next(one for one in job.logs.logs if one.head["label"] == "s2")
    seq = next(one.seq for one in log.records if one.kind == "accepted")
    strike = {"log": log.id, "seq": seq, "reason": "booked twice"}
    declare(job, "CD", [("struck", strike)], Ticking(NOW))
    assert doubled(path) == []
    assert len(list(job_of(path).readings())) == 1
    assert "booked twice" in {
        struck.reason
        for survey in job_of(path).surveys
        for one in survey.state.bookings.values()
        for struck in one.struck
    }


def struck(path: Path, label: str, kind: str, **more: str) -> None:
    """An entry of a survey's first reading struck out, or set right, in the journal."""
    job = job_of(path)
    log = next(one for one in job.logs.logs if one.head["label"] == label)
    seq = next(one.seq for one in log.records if kind in (one.kind, one.data.get("slot")))
    declare(job, "CD", [("struck", {"log": log.id, "seq": seq, "reason": "looked again", **more})], Ticking(NOW))


def test_a_row_that_was_struck_out_since_is_not_booked_again(path: Path) -> None:
    answers(path, SHEET)
    answers(path, AGAIN)
    struck(path, "s2", "accepted")
    first, second = answers(path, AGAIN)
    assert (first["done"], second["done"]) == ("already booked", "already booked")
    assert first["remark"] == "struck out since: looked again (CD)"
    assert (first["length"], first["warnings"]) == (None, [])
    assert second["warnings"] != []
    assert len(log_files(path)) == 3, "two surveys and the journal"
    assert len(list(job_of(path).readings())) == 3


def test_a_row_that_was_set_right_since_does_not_bring_the_wrong_figure_back(path: Path) -> None:
    answers(path, sheet(row(hole="318")))
    struck(path, "s1", "hole", typed="319")
    (again,) = answers(path, sheet(row(hole="318")))
    assert again["done"] == "already booked"
    assert again["remark"] == "hole 318 struck out since, 319 stands instead: looked again (CD)"
    (right,) = answers(path, sheet(row(hole="319")))
    assert right["done"] == "already booked"
    assert [one.booking.hole for one in job_of(path).readings()] == [319]


def test_a_chord_that_was_not_read_and_is_struck_out_since_is_not_booked_again(path: Path) -> None:
    blocked = sheet(row(), "s1,2031-05-04T02:05:00Z,A,L-K,,,,,,blocked", header=f"{HEADER},outcome")
    answers(path, blocked)
    struck(path, "s1", "unread")
    (_, again) = answers(path, blocked)
    assert (again["done"], again["remark"]) == ("already booked", "struck out since: looked again (CD)")
