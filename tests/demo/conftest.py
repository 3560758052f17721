"""The demo job by short names: see `harness.demo`."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from fieldtui.demo.truth import Truth
from fieldtui.job import Job
from harness.demo import END


@pytest.fixture(scope="session")
def end() -> datetime:
    return END


@pytest.fixture(scope="session")
def laid(demo_laid: Path) -> Path:
    return demo_laid


@pytest.fixture(scope="session")
def job(demo_job: Job) -> Job:
    return demo_job


@pytest.fixture(scope="session")
def truth(demo_truth: Truth) -> Truth:
    return demo_truth
