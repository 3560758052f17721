"""The job as tables: every booking in them, every length recomputed from its raw figures, valid as a data package."""

from __future__ import annotations

import csv
import importlib.util
import json
import subprocess
import sys
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from types import ModuleType

import pytest

from fieldtui.cli import main
from fieldtui.job import PRACTICE, Walk, load_job, logs_folder
from fieldtui.paper.book import book_table
from fieldtui.paper.rows import OPTIONAL, REQUIRED
from fieldtui.paper.table import read_table
from fieldtui.paper.takeover import NEEDED, WANTED
from fieldtui.paper.taking import take_table
from fieldtui.route import load_route
from fieldtui.survey import Target, frame_target
from harness.jobs import answer_start, begin, book_calm, book_chord, lay, lay_shipped, nothing_read
from harness.sheets import HEADER, job_of, row, sheet


def script() -> ModuleType:
    """The independent recomputation, loaded from its file."""
    spec = importlib.util.spec_from_file_location("recompute", Path(__file__).parent / "recompute.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def book(path: Path, text: str) -> None:
    job = job_of(path)
    booked = book_table(job, read_table(text, "sheet.csv", REQUIRED, OPTIONAL))
    assert {answer.done for answer in booked.answers} == {"booked"}


def export(path: Path) -> Path:
    out = path.parent / "out"
    assert main(["export", str(path), "--to", "csv", "--out", str(out)]) == nothing_read(path)
    return out


def table(folder: Path, name: str) -> list[dict[str, str]]:
    with (folder / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


NOTES = ("=1+1", "@SUM(A1)", "+49", "-", "'quoted", "plain, with a comma", 'and "quotes"', "Grüße …")


def mixed_sheet() -> str:
    """Two surveys with everything a booking can be."""
    header = HEADER + ",dial_4,outcome,note,observer,recorder"
    lines = []
    for day, dial in (("s1", 24.35), ("s2", 24.05)):
        start = 0 if day == "s1" else 2880
        zero = row(day, start - 9, "", "zero", "", ("0.01",), "")
        frame = row(day, start - 5, "", "frame", "199", ("25.10", "25.12", "25.11"), "12.4")
        lines += [f"{zero},,,,AB,CD", f"{frame},,,,,"]
        for place, note in enumerate(NOTES):
            chord = ("L-R", "L-K")[place % 2]
            hole, base = ("319", dial) if chord == "L-R" else ("240", dial - 3.5)
            dials = [f"{base + 0.01 * place:.2f}", f"{base + 0.02:.2f}", f"{base:.2f}"]
            quoted = '"' + note.replace('"', '""') + '"'
            lines.append(f"{row(day, start + place, 'A', chord, hole, dials)},,,{quoted},,")
        lines.append(f"{row(day, start + 20, 'B', 'L-R', '319', ('24.1', '24.9', '24.2'), '13.0')},24.3,,,,")
        end = row(day, start + 40, "", "frame", "199", ("25.16", "25.17", "25.15"), "13.4")
        lines.append(f"{end},,,,,")
    lines.append(f"{row('s3', 5760, 'A', 'L-R', '', (), '')},,unsafe,loose block,,")
    return sheet(*lines, header=header)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return lay(tmp_path, control=True)


@pytest.fixture
def booked(path: Path) -> Path:
    book(path, mixed_sheet())
    return path


def test_every_length_is_recomputed_from_its_raw_figures(booked: Path) -> None:
    out = export(booked)
    recomputed = list(script().recompute(out))
    assert len(recomputed) == len([one for one in table(out, "readings") if one["length"]])
    assert len(recomputed) == 2 * (len(NOTES) + 3)
    for one, length in recomputed:
        assert abs(length - Decimal(one["length"])) < Decimal("0.001"), one


def test_with_the_frame_taken_off_as_well(tmp_path: Path) -> None:
    path = lay(tmp_path, control=True)
    path.write_text(
        path.read_text().replace("correct = false", "correct = true").replace("limit = 0.15", "limit = 0.5")
    )
    at = "s2,2031-05-06T01:55:00Z,,frame,199,"
    book(path, mixed_sheet().replace(f"{at}25.10,25.12,25.11", f"{at}25.20,25.22,25.21"))
    out = export(path)
    shifted = [one for one in table(out, "readings") if one["frame_correction"] and one["station"]]
    assert any(Decimal(one["frame_correction"]) != 0 for one in shifted)
    for one, length in script().recompute(out):
        assert abs(length - Decimal(one["length"])) < Decimal("0.001"), one


@pytest.mark.parametrize("name", ["highway", "us-cavern"])
def test_calibration_tables_subtracting_dials_and_inches(tmp_path: Path, name: str) -> None:
    path = lay_shipped(tmp_path, name)
    route = load_route(path)
    tape = route.tapes[0]
    hole = sorted(tape.table)[40] if tape.table else tape.first_hole + 40
    lines = [
        row(
            f"s{day}", 2880 * day + place, station.name, chord.name, str(hole + place), ("0.51", "0.52", "0.53"), "61.0"
        )
        for day in range(2)
        for place, (station, chord) in enumerate(route.walk())
    ]
    book(path, sheet(*lines))
    out = export(path)
    recomputed = list(script().recompute(out))
    assert len(recomputed) == len(lines)
    assert max(abs(length - Decimal(one["length"])) for one, length in recomputed) < Decimal("0.001")
    assert (out / "calibrations.csv").exists() == (tape.table is not None)


def test_a_wrong_figure_is_noticed_by_the_recomputation(booked: Path) -> None:
    out = export(booked)
    file = out / "readings.csv"
    file.write_text(file.read_text(encoding="utf-8").replace(",24.35,", ",24.39,", 1), encoding="utf-8", newline="")
    ran = subprocess.run([sys.executable, Path(__file__).parent / "recompute.py", out], check=False)
    assert ran.returncode == 1


def test_every_booking_is_a_row(booked: Path) -> None:
    (survey, *_) = [one for one in job_of(booked).surveys if one.label == "s1"]
    rows = table(export(booked), "readings")
    assert len([one for one in rows if one["survey"] == "s1"]) == len(survey.state.bookings)
    assert {one["outcome"] for one in rows} >= {"read", "unsafe"}
    assert {one["chord"] for one in rows} == {"zero", "frame", "L-R", "L-K"}
    assert [one["time"] for one in rows] == sorted(one["time"] for one in rows)
    (unread,) = [one for one in rows if one["survey"] == "s3"]
    assert (unread["outcome"], unread["reason"], unread["length"]) == ("unsafe", "loose block", "")


def test_raw_figures_are_as_typed_and_decimals_are_points(path: Path) -> None:
    book(path, sheet("s1;2031-05-04 02:00;A;L-R;0319;24,340;24,36;24,35;12", header=HEADER.replace(",", ";")))
    (one,) = table(export(path), "readings")
    assert (one["hole"], one["dial_1"], one["dial_2"], one["temperature"]) == ("319", "24.340", "24.36", "12")


def test_changes_are_negative_when_closing_and_add_up(booked: Path) -> None:
    rows = [one for one in table(export(booked), "readings") if one["station"] == "B"]
    first, second = rows
    assert first["change"] == ""
    assert Decimal(second["change"]) == Decimal(second["length"]) - Decimal(first["length"])
    assert second["since_baseline"] == second["change"]
    assert Decimal(second["change_u"]) > 0
    terms = [Decimal(second[name]) for name in second if name.startswith("u_") and second[name]]
    assert float(sum(term * term for term in terms)) ** 0.5 == pytest.approx(float(second["length_u"]), abs=1e-5)
    length = sum(Decimal(second[name]) for name in ("raw_length", "temperature_correction", "frame_correction"))
    assert abs(length - Decimal(second["length"])) <= Decimal("0.000002")


def test_times_have_their_offset_and_the_zone_its_column(tmp_path: Path) -> None:
    path = lay(tmp_path, more='time_zone = "Europe/Zurich"')
    book(path, sheet(row()))
    (one,) = table(export(path), "readings")
    assert (one["time"], one["time_zone"]) == ("2031-05-04T04:00:00.000+02:00", "Europe/Zurich")
    assert datetime.fromisoformat(one["time"]).utcoffset() is not None


def test_no_cell_of_text_starts_a_formula_and_every_note_comes_back(booked: Path) -> None:
    out = export(booked)
    numbers = {
        (resource["name"], field["name"])
        for resource in json.loads((out / "datapackage.json").read_text())["resources"]
        for field in resource["schema"]["fields"]
        if field["type"] in ("number", "integer")
    }
    for name in ("readings", "chords", "stations", "instruments", "notes"):
        for one in table(out, name):
            for column, cell in one.items():
                if (name, column) not in numbers:
                    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r")), (name, column, cell)
                elif cell:
                    Decimal(cell)
    texts = [one["text"] for one in table(out, "notes") if one["kind"] == "remark"]
    back = [text[1:] if text[:1] == "'" and text[1:2] in ("=", "+", "-", "@", "'") else text for text in texts]
    assert sorted(back) == sorted(NOTES * 2)


def test_the_package_is_valid(booked: Path) -> None:
    """Frictionless reads every cell by its column's type and format, and checks that keys are unique."""
    out = export(booked)
    ran = subprocess.run(
        [sys.executable, "-W", "ignore", "-m", "frictionless", "validate", "datapackage.json", "--json"],
        cwd=out,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    report = json.loads(ran.stdout)
    assert report["valid"], report
    assert report["stats"]["tasks"] == 5


def test_the_package_names_units_and_types(booked: Path) -> None:
    told = json.loads((export(booked) / "datapackage.json").read_text())
    fields = {field["name"]: field for field in told["resources"][0]["schema"]["fields"]}
    assert fields["length"]["unit"] == "mm"
    assert fields["rate"]["unit"] == "mm/d"
    assert fields["temperature"]["unit"] == "Cel"
    assert fields["time"]["type"] == "datetime"
    assert all(field["description"] for field in fields.values())


def test_practice_is_left_out_and_earlier_lengths_are_in(path: Path) -> None:
    walk = Walk.begin(job_of(path), scope=PRACTICE)
    answer_start(walk)
    walk.leave()
    lengths = "station,chord,time,length,note\nA,L-R,2031-01-03 09:00,8001.12,from the old sheet\n"
    take_table(job_of(path), read_table(lengths, "old.csv", NEEDED, WANTED))
    out = export(path)
    (one,) = table(out, "readings")
    assert (one["outcome"], one["length"], one["hole"], one["tape"]) == ("earlier", "8001.120000", "", "")


def test_a_figure_that_was_booked_over_stays_visible(path: Path) -> None:
    walk = begin(path)
    answer_start(walk)
    walk.unread(frame_target("start"), "other")
    book_chord(walk, "319", "24.35", "24.36", "24.34")
    walk.figure(Target("A", "L-R"), "dial_2", "24.31")
    walk.leave()
    (one,) = [one for one in table(export(path), "readings") if one["station"] == "A"]
    assert one["struck"] == "dial_2 24.36 -> 24.31"
    assert one["dial_2"] == "24.31"


def test_a_job_without_surveys_gives_empty_tables(path: Path) -> None:
    out = export(path)
    assert table(out, "readings") == []
    assert [one["station"] for one in table(out, "stations")] == ["A", "B"]
    assert [one["kind"] for one in table(out, "instruments")] == ["control frame", "extensometer", "tape"]


def test_the_folder_beside_the_route_is_the_default(booked: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", str(booked), "--to", "csv"]) == 0
    folder = booked.parent / "heading-csv"
    assert f"{folder}: " in capsys.readouterr().out
    assert main(["export", str(booked), "--to", "csv"]) == 0
    (folder / "mine.txt").write_text("x")
    assert main(["export", str(booked), "--to", "csv"]) == 2
    assert "mine.txt" in capsys.readouterr().err


def test_the_same_logs_give_the_same_bytes(booked: Path) -> None:
    first = {file.name: file.read_bytes() for file in export(booked).iterdir()}
    route = load_route(booked)
    assert load_job(route, logs_folder(route)).surveys
    assert {file.name: file.read_bytes() for file in export(booked).iterdir()} == first


@pytest.mark.parametrize(
    ("to", "name", "right"),
    [
        ("csv", "all.csv", "Call it all, for one."),
        ("parquet", "all.csv", "Call it all, for one."),
        ("xlsx", "all.csv", "Call it all.xlsx, for one."),
        ("ags", "all.xlsx", "Call it all.ags, for one."),
    ],
)
def test_a_name_that_says_another_kind_of_file_is_refused_before_the_work(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], to: str, name: str, right: str
) -> None:
    path = lay(tmp_path)
    book_calm(begin(path))
    assert main(["export", str(path), "--to", to, "--out", str(tmp_path / name)]) == 2
    assert right in capsys.readouterr().err
    assert not (tmp_path / name).exists()


def test_a_part_that_begins_after_its_end_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = lay(tmp_path)
    book_calm(begin(path))
    part = ["--since", "2031-05-05", "--as-of", "2031-05-04"]
    assert main(["export", str(path), "--to", "csv", *part]) == 2
    assert "Nothing lies between 2031-05-05 and 2031-05-04 23:59 UTC" in capsys.readouterr().err
    assert main(["report", str(path), "--since", "2031-05-05"]) == 2
    assert "Nothing lies between 2031-05-05 and 2031-05-04 02:01 UTC" in capsys.readouterr().err


def test_a_name_without_what_it_is_named_for_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = lay(tmp_path)
    book_calm(begin(path))
    assert main(["report", str(path), "--by", "A. N. Engineer"]) == 2
    assert "Say --status checked or --status issued with it." in capsys.readouterr().err


@pytest.mark.parametrize(("folder", "told"), [(False, "no folder of logs"), (True, "no log in")])
def test_an_export_of_no_log_says_so_and_wants_to_be_looked_at(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], folder: bool, told: str
) -> None:
    path = lay(tmp_path)
    if folder:
        (tmp_path / "logs").mkdir()
    assert main(["export", str(path), "--to", "csv"]) == 1
    assert f"! There is {told}" in capsys.readouterr().out.splitlines()[-1]
    assert table(tmp_path / "heading-csv", "readings") == []
