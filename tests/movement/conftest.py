"""The demo job, laid once for all tests that only read it."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldtui.demo import lay_demo
from fieldtui.demo.lay import read_truth
from fieldtui.demo.truth import Truth
from fieldtui.job import Job, load_job, logs_folder
from fieldtui.job.faces import Faces, faces_of
from fieldtui.route import load_route

END = datetime(2025, 6, 18, 10, 12, tzinfo=UTC)


@pytest.fixture(scope="session")
def laid(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The route file of a demo that nobody writes to."""
    return lay_demo(tmp_path_factory.mktemp("movement") / "job", END)


@pytest.fixture(scope="session")
def job(laid: Path) -> Job:
    route = load_route(laid)
    return load_job(route, logs_folder(route))


@pytest.fixture(scope="session")
def faces(job: Job) -> Faces:
    return faces_of(job.route, job.counting)


@pytest.fixture(scope="session")
def truth(laid: Path) -> Truth:
    return read_truth(laid)
