"""The CSV package, read cell by cell by the reference implementation of its standards: valid, whatever was typed."""

from __future__ import annotations

import csv
import hashlib
import json
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from fieldtui.cli import main
from fieldtui.demo import open_or_lay_demo
from fieldtui.handover.texts import original
from fieldtui.paper.cells import unguarded
from fieldtui.route import load_route
from harness.hostile import hostile_job
from harness.jobs import lay, lay_shipped, nothing_read
from harness.sheets import job_of, row, sheet


def a_us_job(folder: Path) -> Path:
    path = lay_shipped(folder, "us-cavern")
    walk = list(load_route(path).walk())
    lines = [
        row(f"s{day}", 2880 * day + place, station.name, chord.name, str(60 + place), ("0.51", "0.52", "0.53"), "61.0")
        for day in range(2)
        for place, (station, chord) in enumerate(walk)
    ]
    (folder / "sheet.csv").write_text(sheet(*lines))
    assert main(["book", str(path), str(folder / "sheet.csv")]) in (0, 1)
    return path


JOBS = {
    "demo": lambda folder: open_or_lay_demo(folder / "demo", datetime(2031, 6, 1, tzinfo=UTC))[0],
    "inches": a_us_job,
    "hostile": lambda folder: hostile_job(folder, 1),
    "hostile too": lambda folder: hostile_job(folder, 2),
    "empty": lay,
}


@pytest.mark.parametrize("name", [*JOBS])
def test_the_package_is_valid(tmp_path: Path, name: str) -> None:
    out = tmp_path / "out"
    path = JOBS[name](tmp_path)
    assert main(["export", str(path), "--to", "csv", "--out", str(out)]) == nothing_read(path)
    report = validated(out)
    assert report["valid"], report
    assert report["stats"]["tasks"] == len([*out.glob("*.csv")]) >= 5


def test_a_figure_that_is_none_is_found(tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert main(["export", str(hostile_job(tmp_path, 1)), "--to", "csv", "--out", str(out)]) == 0
    text = (out / "readings.csv").read_bytes().replace(b",true,", b",nope,", 1)
    (out / "readings.csv").write_bytes(text)
    told = json.loads((out / "datapackage.json").read_text(encoding="utf-8"))
    told["resources"][0]["hash"] = f"sha256:{hashlib.sha256(text).hexdigest()}"
    (out / "datapackage.json").write_text(json.dumps(told))
    report = validated(out)
    assert [error["type"] for task in report["tasks"] for error in task["errors"]] == ["type-error"]


def test_a_file_that_was_changed_is_found(tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert main(["export", str(lay(tmp_path)), "--to", "csv", "--out", str(out)]) == 1
    with (out / "stations.csv").open("a", newline="") as file:
        file.write("C,3,140.0,,,false,\r\n")
    report = validated(out)
    assert {error["type"] for task in report["tasks"] for error in task["errors"]} == {"hash-count", "byte-count"}


def validated(folder: Path) -> dict[str, Any]:
    ran = subprocess.run(
        [sys.executable, "-W", "ignore", "-m", "frictionless", "validate", "datapackage.json", "--json"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    return json.loads(ran.stdout)


@pytest.mark.parametrize("seed", range(12))
def test_every_note_comes_back_and_no_cell_acts(tmp_path: Path, seed: int) -> None:
    path = hostile_job(tmp_path, seed)
    out = tmp_path / "out"
    assert main(["export", str(path), "--to", "csv", "--out", str(out)]) == 0
    for file in out.glob("*.csv"):
        text = file.read_bytes().decode("utf-8")
        assert not [sign for sign in text if ord(sign) < 32 and sign not in "\t\r\n"]
        assert not set(text) & set("\x7f\x85\u202e\u2066\u2028")
    with (out / "notes.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    told = sorted(original(unguarded(one["text"])) for one in rows if one["kind"] == "remark")
    assert told == sorted(note.text for survey in job_of(path).surveys for note in survey.state.notes)
