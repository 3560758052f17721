"""A survey booked from a sheet is in doubt over its instrument for the very reasons that the history gives."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from fieldtui.job import declare
from fieldtui.paper.before import Before
from fieldtui.reduction.chart import SET
from harness.jobs import lay
from harness.sheets import DAY as FIRST_DAY
from harness.sheets import NOW, answers, job_of, row, sheet

DAY = 24 * 60


def survey(day: int, frame: str, *, zero: str = "0.00", end: str = "") -> list[str]:
    """Zero, frame and one chord; a second zero and the frame at the end where they are given."""
    start, name = day * DAY, f"day {day:02}"
    lines = [
        row(name, start, "", "zero", "", ["0.00"], ""),
        row(name, start + 5, "", "frame", "199", [frame] * 3, "20.0"),
        row(name, start + 15, dials=[f"24.{30 + (day * by) % 10}" for by in (3, 7, 9)]),
    ]
    if zero != "0.00":
        lines.append(row(name, start + 20, "", "zero", "", [zero], ""))
    if end:
        lines.append(row(name, start + 25, "", "frame", "199", [end] * 3, "20.0"))
    return lines


def at_day(day: float) -> datetime:
    return FIRST_DAY + timedelta(days=day)


def both(path: Path, lines: list[str]) -> list[tuple[str, str]]:
    """Doubt of each chord: as it was answered when it was booked, and as the history has it."""
    told = [one for one in answers(path, sheet(*lines)) if one["chord"] == "L-R"]
    rows = {row.booked.label: row for row in job_of(path).history()}
    return [(one["doubt"] or "", rows[one["survey"]].doubt) for one in told]


def test_outside_the_frame_s_own_history_in_one_sheet_and_in_a_second_one(tmp_path: Path) -> None:
    path = lay(tmp_path, control=True)
    usual = ("20.02", "19.98", "20.00")
    first = [line for day in range(SET) for line in survey(day, usual[day % 3])]
    outside = "control frame outside the limits of its own readings at the start"
    assert both(path, [*first, *survey(SET, "20.11")])[-1] == (outside, outside)
    assert both(path, survey(SET + 1, "20.11"))[-1] == (outside, outside)
    assert both(path, survey(SET + 2, "20.01"))[-1] == ("", "")


def test_a_zero_that_moved_and_an_end_that_is_not_the_start(tmp_path: Path) -> None:
    path = lay(tmp_path, control=True)
    lines = [*survey(0, "20.00"), *survey(1, "20.00", zero="0.31"), *survey(2, "19.80", end="20.20")]
    moved = "dial zero moved by +0.31 mm during the survey"
    apart = (
        "control frame beyond its limit at the start; control frame beyond its limit at the end; "
        "control frame at the end not what it was at the start"
    )
    assert both(path, lines) == [("", ""), (moved, moved), (apart, apart)]


def test_a_reading_that_does_not_agree_says_what_its_instrument_is_worth_as_well(tmp_path: Path) -> None:
    path = lay(tmp_path, control=True)
    far = survey(1, "20.40")
    far[-1] = row("day 01", DAY + 15, dials=["24.35", "21.10", "24.36"])
    _, (answered, told) = both(path, [*survey(0, "20.00"), *far])
    for doubt in (answered, told):
        own, _, over_the_instrument = doubt.rpartition("; ")
        assert own
        assert over_the_instrument == "control frame beyond its limit at the start"


def test_what_is_marked_is_answered_row_by_row(tmp_path: Path) -> None:
    path = lay(tmp_path, control=True)
    path.write_text(path.read_text().replace('serial = "T1"', 'serial = "T1"\ncertificate_until = 2031-05-03'))
    (told,) = (one for one in answers(path, sheet(row())) if one["chord"] == "L-R")
    assert told["marks"] == [
        "instrument not proven: no dial zero and no control frame",
        "certificate of tape T1 ran out on 2031-05-03",
    ]


def test_a_frame_that_is_another_one_is_not_held_against_the_old_one(tmp_path: Path) -> None:
    path = lay(tmp_path, control=True)
    first = [line for day in range(SET) for line in survey(day, "20.00")]
    assert both(path, first)[-1] == ("", "")
    since = f"{at_day(SET - 0.5):%Y-%m-%dT%H:%M:%SZ}"
    declare(job_of(path), "CD", [("new_thing", {"table": "control", "name": "bar", "since": since})], lambda: NOW)
    assert both(path, survey(SET, "23.00"))[-1] == ("", "")
    beyond = "control frame beyond its limit at the start"
    assert both(path, survey(SET + 1, "20.00"))[-1] == (beyond, beyond)


def test_the_frame_s_chart_is_that_of_the_time_asked_for_whatever_was_asked_before(tmp_path: Path) -> None:
    path = lay(tmp_path, control=True)
    answers(path, sheet(*(line for day in range(6) for line in survey(day, f"20.0{day}"))))
    job, instrument = job_of(path), ("T1", "X1")

    def chart(before: Before, day: float) -> list[str]:
        held = before.held(instrument, at_day(day), "another", job.route)
        assert held.chart is not None
        return [point.name for point in held.chart.points]

    before = Before(job)
    asked = [chart(before, day) for day in (5, 2, 6, 3)]
    assert [len(points) for points in asked] == [5, 2, 6, 3]
    assert asked == [chart(Before(job), day) for day in (5, 2, 6, 3)]


def test_what_the_frame_shows_after_a_reading_is_not_known_at_it_in_a_second_sheet_of_the_survey_either(
    tmp_path: Path,
) -> None:
    """Each sheet ends with the frame; the second one's end takes the place of the first one's, after its chord."""
    path = lay(tmp_path, control=True)
    path.write_text(path.read_text().replace("correct = false", "correct = true"))

    def at_b(day: int, minutes: float) -> str:
        dials = [f"24.{30 + (day * by) % 10}" for by in (9, 3, 7)]
        return row(f"day {day:02}", day * DAY + minutes, "B", dials=dials)

    for day in range(6):
        lines = survey(day, "20.00", end="20.00")
        answers(path, sheet(*lines[:3], at_b(day, 18), *lines[3:]))
    answers(path, sheet(*survey(6, "20.00", end="20.00")))
    end = row("day 06", 6 * DAY + 50, "", "frame", "199", ["26.00"] * 3, "20.0")
    told = next(one for one in answers(path, sheet(at_b(6, 40), end)) if one["station"] == "B")
    assert told["agrees"], "with the frame's end taken off it would be 3 mm off"
    assert abs(told["change"]) > 2
