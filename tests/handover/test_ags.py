"""The AGS4 file: the figures of the job, every text whole or its sign named, one line a row."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from fieldtui.cli import main
from fieldtui.handover.ags import monitored
from fieldtui.handover.texts import original
from fieldtui.route import load_route
from harness.hostile import hostile_job
from harness.jobs import begin, book_chord, lay, lay_shipped, nothing_read, with_past
from harness.sheets import job_of, row, sheet

Rows = list[dict[str, str]]
NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
BEFORE = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)


def exported(path: Path, *more: str) -> Path:
    out = path.parent / "job.ags"
    assert main(["export", str(path), "--to", "ags", "--out", str(out), *more]) == nothing_read(path)
    return out


def groups(file: Path) -> dict[str, Rows]:
    """The rows of each group, as whoever takes the file reads them; UNIT and TYPE with them."""
    found: dict[str, Rows] = {}
    data = file.read_bytes()
    assert data.count(b"\r\n") == data.count(b"\n") == data.count(b"\r")
    for line in csv.reader(data.decode("utf-8").split("\r\n")):
        if line[:1] == ["GROUP"]:
            found[line[1]] = rows = []
        elif line[:1] == ["HEADING"]:
            heading = line
        elif line:
            rows.append(dict(zip(heading, line, strict=True)))
    return found


def data(file: Path, group: str) -> Rows:
    return [one for one in groups(file).get(group, []) if one["HEADING"] == "DATA"]


def book(path: Path, *lines: str, more: str = "") -> None:
    (path.parent / "sheet.csv").write_text(sheet(*lines, header=sheet().strip() + more), encoding="utf-8", newline="")
    assert main(["book", str(path), str(path.parent / "sheet.csv")]) in (0, 1)


def test_every_length_comes_out_again_from_its_repeats(tmp_path: Path) -> None:
    """Mean of the distances, and the tape's expansion of TRADE's rule: 11.6e-6 a degree from 20 degC."""
    path = with_past(lay(tmp_path), before=BEFORE)
    compared = 0
    for readings in _bookings(data(exported(path), "MOND")):
        repeats = [Decimal(one["MOND_RDNG"]) for one in readings if one["MOND_TYPE"] == "DSTL"]
        (warmth,) = (Decimal(one["MOND_RDNG"]) for one in readings if one["MOND_TYPE"] == "TEMP")
        (length,) = (Decimal(one["MOND_RDNG"]) for one in readings if one["MOND_TYPE"] == "CLEN")
        raw = sum(repeats) / len(repeats)
        assert abs(raw + Decimal("11.6e-6") * raw * (warmth - 20) - length) < Decimal("0.001")
        compared += 1
    assert compared == 15


def _bookings(rows: Rows) -> Iterator[Rows]:
    keys = dict.fromkeys((one["LOCA_ID"], one["MONG_ID"], one["MOND_DTIM"]) for one in rows)
    return ([one for one in rows if (one["LOCA_ID"], one["MONG_ID"], one["MOND_DTIM"]) == key] for key in keys)


def test_changes_and_rates_are_those_of_the_job(tmp_path: Path) -> None:
    path = with_past(lay(tmp_path), before=BEFORE)
    rows = data(exported(path), "MOND")
    history = job_of(path).history()
    for code, figure in (("DSPA", "since_baseline"), ("VEL", "rate")):
        told = [Decimal(one["MOND_RDNG"]) for one in rows if one["MOND_TYPE"] == code]
        known = [getattr(one, figure) for one in history]
        assert told == [round(Decimal(one.value), 6) for one in known if one is not None]
    assert {one["MOND_RDNG"] for one in rows if one["MOND_TYPE"] == "STAT"} <= {"0", "1", "2"}


def test_a_reading_says_what_it_is_of(tmp_path: Path) -> None:
    path = lay(tmp_path, more='time_zone = "Europe/Zurich"')
    book(path, row(dials=('"24,340"', "24.36", "24.35")))
    file = exported(path)
    first = data(file, "MOND")[0]
    assert first == {
        "HEADING": "DATA",
        "LOCA_ID": "A",
        "MONG_ID": "L-R",
        "MONG_DIS": "0.00",
        "MOND_DTIM": "2031-05-04T02:00:00",
        "MOND_TYPE": "DSTL",
        "MOND_REF": "1",
        "MOND_INST": "T1, X1",
        "MOND_RDNG": "7999.340",
        "MOND_UNIT": "mm",
        "MOND_METH": "Tape extensometer",
        "MOND_REM": "hole 319, dial 24,340",
    }
    assert {one["MONG_TYPE"] for one in data(file, "MONG")} == {"ETT"}
    assert [(one["LOCA_ID"], one["LOCA_CNGE"]) for one in data(file, "LOCA")] == [("A", "100.0"), ("B", "120.0")]
    (said,) = data(file, "TRAN")
    assert said["TRAN_AGS"] == "4.1.1"
    assert said["TRAN_REM"].startswith("Times are UTC. Negative is closing.")


def test_inches_stay_inches(tmp_path: Path) -> None:
    path = lay_shipped(tmp_path, "us-cavern")
    route = load_route(path)
    tape = route.tapes[0]
    hole = sorted(tape.table)[40] if tape.table else tape.first_hole + 40
    station, chord = next(iter(route.walk()))
    book(path, row("s", 0, station.name, chord.name, str(hole), ("0.51", "0.52", "0.53"), "61.0"))
    file = exported(path)
    units = {one["UNIT_UNIT"] for one in data(file, "UNIT")}
    assert {one["MOND_UNIT"] for one in data(file, "MOND")} == {"in", "DegF"}
    assert units >= {"in", "DegF", "in/day", "ft"}
    assert "mm" not in units


def test_a_dial_that_subtracts_is_taken_off(tmp_path: Path) -> None:
    path = lay(tmp_path)
    path.write_text(path.read_text().replace('dial = "adds"', 'dial = "subtracts"'))
    book(path, row(dials=("24.34", "24.36", "24.35")))
    repeats = [one["MOND_RDNG"] for one in data(exported(path), "MOND") if one["MOND_TYPE"] == "DSTL"]
    assert repeats == ["7950.66", "7950.64", "7950.65"]


def test_what_was_not_read_is_a_row_that_says_why(tmp_path: Path) -> None:
    path = lay(tmp_path)
    book(path, row("s1", 0, hole="", dials=(), temperature="") + ",unsafe,loose block", more=",outcome,note")
    (one,) = data(exported(path), "MOND")
    assert (one["MOND_TYPE"], one["MOND_RDNG"], one["MOND_UNIT"]) == ("NFIG", "", "UNITLESS")
    assert one["MOND_REM"] == "unsafe; kept or not read because: loose block"


def test_what_was_not_finished_is_not_handed_over(tmp_path: Path) -> None:
    path = lay(tmp_path)
    walk = begin(path)
    for typed in ("AB", "", "1", "1", "", "1", "0.00"):
        walk.book(typed)
    book_chord(walk, "320", "24.35", "24.36", "24.34")
    walk.book("240")
    walk.leave()
    read = {(one["LOCA_ID"], one["MONG_ID"]) for one in data(exported(path), "MOND")}
    assert read == {("A", "L-R")}


def test_two_readings_in_one_second_are_told_apart(tmp_path: Path) -> None:
    path = lay(tmp_path)
    book(path, row(), row(dials=("24.44", "24.46", "24.45")))
    rows = data(exported(path), "MOND")
    keys = [(one["LOCA_ID"], one["MONG_ID"], one["MOND_DTIM"], one["MOND_TYPE"], one["MOND_REF"]) for one in rows]
    assert len(set(keys)) == len(keys)
    assert {one["MOND_REF"] for one in rows if one["MOND_TYPE"] == "CLEN"} == {"1", "1 (2)"}


def test_strange_signs_are_refused_with_their_place_and_nothing_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = lay(tmp_path)
    path.write_text(path.read_text().replace('name = "B"', 'name = "Β"').replace("Loose", "Süd – loose"))
    book(path, row("s1") + ",crack 2 → 3 mm", more=",note")
    assert main(["export", str(path), "--to", "ags", "--out", str(tmp_path / "job.ags")]) == 2
    told = capsys.readouterr().err
    assert "station A, caution, face or note: “–” (EN DASH, U+2013)" in told
    assert "station Β, name: “Β” (GREEK CAPITAL LETTER BETA, U+0392)" in told
    assert "station A, chord L-R, survey s1, 2031-05-04T02:00:00, note or reason: “→” (RIGHTWARDS ARROW" in told
    assert "ü" not in told
    assert "--spell-out" in told
    assert not [one for one in tmp_path.iterdir() if "job.ags" in one.name]


def test_what_is_said_of_a_text_does_not_act_on_the_screen(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = ""
    for seed in (1, 3, 5):
        assert main(["export", str(hostile_job(tmp_path / str(seed), seed)), "--to", "ags"]) == 2
        told += capsys.readouterr().err
    assert "nothing was written" in told
    assert not [sign for sign in told if ord(sign) < 32 and sign not in "\t\n"]


def test_spelt_out_every_text_comes_back(tmp_path: Path) -> None:
    path = lay(tmp_path)
    path.write_text(path.read_text().replace('name = "B"', 'name = "Β"').replace("Loose", 'Süd – \\"loose\\"\\n'))
    book(path, row("s1") + ',"crack, 2 → 3 mm; ""new"""', more=",note")
    file = exported(path, "--spell-out")
    assert file.read_bytes().decode("latin-1").isascii() is False
    assert [original(one["LOCA_ID"]) for one in data(file, "LOCA")] == ["A", "Β"]
    assert original(data(file, "LOCA")[0]["LOCA_REM"]) == 'Caution: Süd – "loose"\n block above the left anchor.'
    remarks = [original(one["MOND_REM"]) for one in data(file, "MOND")]
    assert any(remark.endswith('note: crack, 2 → 3 mm; "new"') for remark in remarks)


@pytest.mark.parametrize("seed", range(12))
def test_hostile_texts_break_no_line_and_no_number(tmp_path: Path, seed: int) -> None:
    path = hostile_job(tmp_path, seed)
    file = exported(path, "--spell-out")
    found = groups(file)
    assert list(found) == ["PROJ", "TRAN", "TYPE", "UNIT", "ABBR", "LOCA", "MONG", "MOND"]
    for one in data(file, "MOND"):
        assert NUMBER.fullmatch(one["MOND_RDNG"]) or (one["MOND_TYPE"] == "NFIG" and one["MOND_REM"])
    names = [original(one["LOCA_ID"]) for one in data(file, "LOCA")]
    assert names == [station.name for station in load_route(path).stations]
    assert {one["LOCA_ID"] for one in data(file, "MOND")} <= {one["LOCA_ID"] for one in data(file, "LOCA")}


def test_a_job_without_readings_has_no_group_of_them(tmp_path: Path) -> None:
    found = groups(exported(lay(tmp_path), "--as-of", "2031-05-04"))
    assert "MOND" not in found
    assert data(tmp_path / "job.ags", "TRAN")[0]["TRAN_DATE"] == "2031-05-04"


def test_where_nothing_was_entered_no_date_is_made_up(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """TRAN_DATE must be given (AGS4, rule 10b), and the clock's would say that something was read today."""
    assert main(["export", str(lay(tmp_path)), "--to", "ags"]) == 2
    told = capsys.readouterr().err
    assert "there is no date for this file to bear" in told
    assert "--as-of" in told
    assert not [one for one in tmp_path.iterdir() if one.suffix == ".ags"]


def test_the_same_logs_give_the_same_bytes(tmp_path: Path) -> None:
    path = with_past(lay(tmp_path), before=BEFORE, surveys=2)
    first = exported(path).read_bytes()
    assert exported(path).read_bytes() == first


def test_a_file_that_somebody_has_worked_in_is_not_written_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = with_past(lay(tmp_path), before=BEFORE, surveys=1)
    file = exported(path)
    file.write_bytes(file.read_bytes().replace(b'"Draft"', b'"Final"'))
    before = file.read_bytes()
    (tmp_path / "other.ags").write_text('"GROUP","PROJ"\r\n')
    for there in (file, tmp_path / "other.ags", tmp_path):
        assert main(["export", str(path), "--to", "ags", "--out", str(there)]) == 2
        assert "nothing was written" in capsys.readouterr().err
    assert file.read_bytes() == before


def test_stopped_in_the_middle_the_earlier_file_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = lay(tmp_path)
    book(path, row())
    before = exported(path).read_bytes()

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(monitored, "_figures", stopped)
    assert main(["export", str(path), "--to", "ags", "--out", str(tmp_path / "job.ags")]) == 2
    assert (tmp_path / "job.ags").read_bytes() == before
    assert not [one for one in tmp_path.iterdir() if one.name.startswith(".")]
