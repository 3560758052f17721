"""The demo job by a short name, and its tables."""

from __future__ import annotations

import pytest

from fieldtui.history import Tables, tables
from fieldtui.job import Job


@pytest.fixture(scope="session")
def job(demo_job: Job) -> Job:
    return demo_job


@pytest.fixture(scope="session")
def found(job: Job) -> Tables:
    return tables(job)
