"""What the command `history` says, to a person and to a program."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from fieldtui.cli import main
from fieldtui.errors import FieldError
from fieldtui.history import Tables, tables
from fieldtui.history.shown import chosen, lines, objects
from fieldtui.job import Job, load_job, logs_folder
from fieldtui.route import load_route
from fieldtui.survey import frame_target
from harness.hostile import hostile_job
from harness.jobs import answer_start, begin, book_chord, lay
from harness.sheets import answers, job_of, row, sheet


def test_a_chord_in_the_order_of_reading_with_what_was_carried_over(job: Job, found: Tables) -> None:
    told = list(lines(chosen(found, job.route, "S07", "L-R", "2025-06-14"), job.route))
    assert told == [
        "S07 L-R  (mm; negative is closing; +- with k = 2)",
        "  time              survey       length  since last    +-  since start    +-  a day    +-  level",
        "  2025-06-14 08:42  2025-06-14  8836.06       +0.17  0.29        -7.29  0.41  +0.09  0.14  below",
        "  2025-06-16 08:49  2025-06-16  8835.83       -0.23  0.29        -7.52  0.42  -0.11  0.14  below",
        "  2025-06-18 09:41  2025-06-18  8835.96       +0.14  0.29        -7.39  0.41  +0.07  0.14  below"
        "  (survey still open)",
        "  Marked, 2025-06-14 08:42: control frame drifts: the weighted mean of its readings is outside its limits.",
        "  From 2025-01-13 15:03 with tape T-12, extensometer E-4: -4.05 +- 0.30 carried over, by readings of both.",
    ]


def test_what_was_not_read_stands_apart_with_its_reason(job: Job, found: Tables) -> None:
    told = "\n".join(lines(chosen(found, job.route, "S08", "L-K"), job.route))
    assert "Struck out or not read:" in told
    assert "unsafe: loose block above the platform, being scaled" in told


def test_every_chord_in_walking_order(job: Job, found: Tables) -> None:
    heads = [line.split("  ")[0] for line in lines(found, job.route) if line.endswith("k = 2)")]
    assert heads == [f"{station.name} {chord.name}" for station, chord in job.route.walk()]


def test_the_chord_is_the_same_from_the_other_end(job: Job, found: Tables) -> None:
    one, other = (chosen(found, job.route, "S08", name) for name in ("L-K", "K-L"))
    assert len(one.readings) == len(other.readings) > 0


def test_since_is_a_day_or_a_time_of_the_route_s_zone(job: Job, found: Tables) -> None:
    assert set(chosen(found, job.route, since="2025-06-18").readings["survey"]) == {"2025-06-18"}
    late = chosen(found, job.route, since="2025-06-18T09:00:00")
    assert 0 < len(late.readings) < len(chosen(found, job.route, since="2025-06-18").readings)


@pytest.mark.parametrize(
    ("station", "chord", "since", "told"),
    [("S99", "", "", "S01"), ("S08", "X-L", "", "L-K"), ("", "", "yesterday", "2031-05-04")],
)
def test_what_is_not_there_is_refused_with_what_is(
    job: Job, found: Tables, station: str, chord: str, since: str, told: str
) -> None:
    with pytest.raises(FieldError) as refused:
        chosen(found, job.route, station, chord, since)
    assert told in refused.value.todo


def test_for_a_program_every_row_and_null_for_what_is_not_there(found: Tables) -> None:
    rows = list(objects(found))
    assert len(rows) == len(found.readings) + len(found.doubtful) + len(found.not_read)
    first = rows[0]
    assert (first["kind"], first["station"], first["change"], first["level"]) == ("reading", "S01", None, None)
    assert first["time"].endswith("Z")
    blocked = next(row for row in rows if row["outcome"] == "blocked")
    assert (blocked["kind"], blocked["length"], blocked["segment"]) == ("not read", None, None)
    assert [row["time"] for row in rows] == sorted(row["time"] for row in rows)
    json.dumps(rows)


def test_the_command(demo_laid: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["history", str(demo_laid), "--station", "S08", "--json"]) == 0
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert {row["station"] for row in rows} == {"S08"}
    assert main(["history", str(demo_laid), "--station", "S99"]) == 2
    assert "There is no station S99." in capsys.readouterr().err


def test_a_folder_of_logs_that_is_not_there_is_a_slip_and_no_empty_job(tmp_path, capsys):
    path = lay(tmp_path)
    for command in (["history"], ["due"], ["export", "--to", "csv"]):
        assert main([command[0], str(path), *command[1:], "--logs", str(tmp_path / "nix")]) == 2
        assert "no such folder of logs" in capsys.readouterr().err


def test_a_mark_stands_under_the_readings_that_carry_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = lay(tmp_path, control=True)
    path.write_text(path.read_text().replace('serial = "T1"', 'serial = "T1"\ncertificate_until = 2031-05-03'))
    walk = begin(path)
    answer_start(walk)
    walk.unread(frame_target("start"), "other", "far away")
    book_chord(walk, "320", "12.30", "12.32", "12.31")
    walk.leave()
    assert main(["history", str(path)]) == 0
    marks = "instrument not proven: no control frame; certificate of tape T1 ran out on 2031-05-03"
    assert f"  Marked, 2031-05-04 02:00: {marks}." in capsys.readouterr().out
    assert main(["history", str(path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out.splitlines()[0])["marks"] == marks


def test_what_stands_in_foreign_logs_can_do_nothing_to_the_terminal(tmp_path: Path) -> None:
    path = hostile_job(tmp_path / "job", 3)
    route = load_route(path)
    job = load_job(route, logs_folder(route))
    assert any(not one.label.isprintable() for one in job.surveys)
    assert all(line.isprintable() for line in lines(tables(job), route))


def test_lengths_taken_over_after_a_reading_are_told_without_an_instrument(tmp_path: Path) -> None:
    path = lay(tmp_path)
    answers(path, sheet(row()))
    old = path.parent / "old.csv"
    old.write_text("station,chord,time,length\nA,L-R,2031-06-03,7998.60\n")
    assert main(["import", str(path), str(old)]) == 1
    job = job_of(path)
    (told,) = [line for line in lines(tables(job), job.route) if "carried over" in line]
    assert told.startswith("  From 2031-06-03 12:00 with lengths taken over: ")


def test_a_length_is_rounded_half_to_even_as_everywhere(tmp_path: Path) -> None:
    path = lay(tmp_path)
    old = path.parent / "old.csv"
    old.write_text("station,chord,time,length\nA,L-R,2021-06-03,7998.345\n")
    assert main(["import", str(path), str(old)]) == 0
    job = job_of(path)
    assert "  7998.34" in list(lines(tables(job), job.route))[2]
