"""Every length of a report comes out again from the raw figures of the export, by a script that is none of ours."""

from __future__ import annotations

import importlib.util
from decimal import Decimal
from pathlib import Path
from types import ModuleType

from fieldtui.cli import main
from fieldtui.paper.book import book_table
from fieldtui.paper.rows import OPTIONAL, REQUIRED
from fieldtui.paper.table import read_table
from harness.jobs import lay
from harness.sheets import HEADER, job_of, row


def script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("compare", Path(__file__).parent / "compare.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def booked(folder: Path, *, corrects: bool) -> Path:
    """Two surveys with a frame that shifts, decimal commas, repeats that do not agree, and a warm tunnel."""
    path = lay(folder, control=True)
    if corrects:
        path.write_text(path.read_text(encoding="utf-8").replace("correct = false", "correct = true"), encoding="utf-8")
    lines = [HEADER]
    for place, (survey, shift) in enumerate((("s1", Decimal(0)), ("s2", Decimal("0.07")))):
        start = 2880 * place
        for when, chord, hole, dial in ((0, "frame", "199", "25.10"), (90, "frame", "199", "25.12")):
            figures = tuple(str(Decimal(dial) + shift + Decimal(n) / 100) for n in (0, 2, 1))
            lines.append(row(survey, start + when, "", chord, hole, figures, "12.4"))
        lines.append(row(survey, start + 10, "A", "L-R", "320", ("12.30", "12.32", "12.31"), "21.5"))
        lines.append(row(survey, start + 20, "A", "L-K", "240", ("12.30", "12.99", "12.31"), "3.5"))
        lines.append(row(survey, start + 30, "B", "L-R", "320", ("14.30", "14.32", "14.31"), "20"))
    answers = book_table(job_of(path), read_table("\n".join(lines) + "\n", "sheet.csv", REQUIRED, OPTIONAL)).answers
    assert {one.done for one in answers} == {"booked"}
    return path


def compared(path: Path, folder: Path) -> tuple[int, int, Decimal]:
    report, tables = folder / "out.html", folder / "csv"
    assert main(["report", str(path), "--out", str(report)]) in (0, 1)
    assert main(["export", str(path), "--to", "csv", "--out", str(tables)]) == 0
    count, lacking, worst = script().compare(report, tables)
    return count, lacking, worst


def test_every_length_of_a_report_comes_out_again_from_the_raw_figures(tmp_path: Path) -> None:
    count, lacking, worst = compared(booked(tmp_path, corrects=False), tmp_path)
    assert (count, lacking) == (6, 0)
    assert worst <= Decimal("0.001")


def test_so_does_one_with_the_control_frame_taken_off(tmp_path: Path) -> None:
    count, lacking, worst = compared(booked(tmp_path, corrects=True), tmp_path)
    assert (count, lacking) == (6, 0)
    assert worst <= Decimal("0.001")


def test_the_frame_at_the_end_is_in_a_report_though_it_is_read_after_the_last_chord(tmp_path: Path) -> None:
    path = booked(tmp_path, corrects=False)
    assert main(["report", str(path), "--form", "shift", "--out", str(tmp_path / "out.html")]) in (0, 1)
    page = (tmp_path / "out.html").read_text(encoding="utf-8")
    assert "; at the end +" in page or "; at the end -" in page
    assert "not read at the end" not in page
