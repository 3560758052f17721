"""Movement, changes and rates of whole jobs recomputed from their CSV export, the program left out."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from shutil import copytree

from fieldtui.handover.export import export
from fieldtui.handover.part import part_of
from fieldtui.job import Job, load_job, logs_folder
from fieldtui.progress import silent
from fieldtui.route import load_route
from harness.year import year

SCRIPT = Path(__file__).parent / "recompute_movement.py"
WALKED = Path(__file__).parents[1] / "job" / "golden" / "walked"


def recomputed(job: Job, out: Path) -> subprocess.CompletedProcess[str]:
    """The script's answer to the job's export."""
    export("csv", part_of(job, "", ""), out, lambda _: None, progress=silent)
    return subprocess.run([sys.executable, SCRIPT, out], check=False, capture_output=True, text=True)


def test_of_a_simulated_year(tmp_path: Path) -> None:
    ran = recomputed(year().job, tmp_path / "out")
    assert ran.returncode == 0, ran.stdout
    assert "since_epoch: 0" not in ran.stdout


def test_of_a_job_walked_by_keys(tmp_path: Path) -> None:
    copytree(WALKED, tmp_path / "job")
    route = load_route(tmp_path / "job" / "heading.toml")
    ran = recomputed(load_job(route, logs_folder(route)), tmp_path / "out")
    assert ran.returncode == 0, ran.stdout
    assert "total: 24 figures" in ran.stdout


def test_a_figure_that_is_off_by_two_thousandths_is_found(tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert recomputed(year().job, out).returncode == 0
    lines = (out / "readings.csv").read_text().splitlines()
    place = lines[0].split(",").index("change")
    cells = lines[-1].split(",")
    cells[place] = f"{float(cells[place]) + 0.002:.6f}"
    (out / "readings.csv").write_text("\n".join([*lines[:-1], ",".join(cells)]) + "\n")
    ran = subprocess.run([sys.executable, SCRIPT, out], check=False, capture_output=True, text=True)
    assert ran.returncode == 1
    assert "change: " in ran.stdout
