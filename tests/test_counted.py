"""One of something is not called several, wherever a count stands in words."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldtui.cli import main
from fieldtui.counted import counted
from fieldtui.review.route_page import RouteDesk
from fieldtui.review.study import Study
from fieldtui.tui.start import StartDesk
from harness.html_page import Page
from harness.jobs import begin, book_calm, lay
from harness.sheets import job_of


@pytest.mark.parametrize(
    ("count", "words", "told"),
    [
        (0, ("survey",), "0 surveys"),
        (1, ("survey",), "1 survey"),
        (2, ("closed survey",), "2 closed surveys"),
        (2, ("entry", "entries"), "2 entries"),
    ],
)
def test_a_count_in_words(count: int, words: tuple[str, ...], told: str) -> None:
    assert counted(count, *words) == told


def test_a_job_of_one_survey_is_told_in_the_singular(tmp_path: Path) -> None:
    path = lay(tmp_path)
    walk = begin(path)
    book_calm(walk)
    job = job_of(path)
    assert any(line.startswith("1 closed survey. ") for line in StartDesk(job).about)
    study = Study(job, walk.begun)
    study.read()
    assert RouteDesk(study).head()[1] == "3 chords"
    out = tmp_path / "report.html"
    main(["report", str(path), "--out", str(out)])
    page = Page(out.read_text(encoding="utf-8")).text
    assert "1 reading not in doubt, baseline of 1" in page
    for several in ("1 readings", "1 surveys", "1 chords", "1 logs", "1 stations", "1 records"):
        assert f" {several}" not in page
