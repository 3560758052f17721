"""A job of nine surveys walked by keys, kept as it was written: it reads as on the first day, whatever comes later.

An invented heading, of format 1: the tape changed in the middle of a survey (once with both read, once without), an
anchor replaced, a wrong expansion set right, a late certificate, two crews at once, a sheet booked late, entries
struck, a station renamed, a declaration taken back, a level and who was told of it.
"""

from __future__ import annotations

import json
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest

from fieldtui.custody.telling import tell_verify
from fieldtui.job import Job, load_job, logs_folder
from fieldtui.log import read_folder
from fieldtui.route import load_route

GOLDEN = Path(__file__).parent / "golden"


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Job:
    place = tmp_path_factory.mktemp("walked") / "job"
    copytree(GOLDEN / "walked", place)
    route = load_route(place / "heading.toml")
    return load_job(route, logs_folder(route))


def told(job: Job) -> list[dict[str, Any]]:
    """Each row of the history, in figures of the job's own units."""
    return [
        {
            "survey": row.booked.label,
            "chord": f"{row.station} {row.key[1]}",
            "reading": row.booked.target.reading,
            "length": f"{row.length.value:.3f}" if row.length is not None else None,
            "since_base": f"{row.since_baseline.value:.3f}" if row.since_baseline is not None else None,
            "u": f"{row.since_baseline.u:.4f}" if row.since_baseline is not None else None,
            "segment": row.segment,
            "counts": row.counts,
        }
        for row in job.history()
    ]


def test_its_history_is_what_it_was(job: Job) -> None:
    assert told(job) == json.loads((GOLDEN / "walked.json").read_text())


def test_nothing_in_it_is_wrong_or_open(job: Job) -> None:
    assert job.problems == ()
    assert job.questions() == ()
    assert job.open_calls() == ()
    assert [call.told[0].person for call in job.calls if call.told] == ["N. Invented"]


def test_every_log_is_whole_and_every_length_comes_out_again(job: Job) -> None:
    assert {log.state for log in read_folder(job.folder).logs} == {"whole"}
    lines: list[str] = []
    assert tell_verify([job.folder], lines.append, code=None, figures=True, as_json=False) == 0
    assert "45 of 45 closed lengths come out the same from their raw figures" in lines[-1]
