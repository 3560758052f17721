"""The demo job, laid once for every test of a run that only reads it."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldtui.demo import lay_demo
from fieldtui.demo.lay import read_truth
from fieldtui.demo.truth import Truth
from fieldtui.job import Job, load_job, logs_folder
from fieldtui.route import load_route

END = datetime(2025, 6, 18, 10, 12, tzinfo=UTC)


@pytest.fixture(scope="session")
def demo_laid(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The route file of a demo that nobody writes to."""
    return lay_demo(tmp_path_factory.mktemp("demo") / "job", END)


@pytest.fixture(scope="session")
def demo_job(demo_laid: Path) -> Job:
    route = load_route(demo_laid)
    return load_job(route, logs_folder(route))


@pytest.fixture(scope="session")
def demo_truth(demo_laid: Path) -> Truth:
    return read_truth(demo_laid)
