"""The demo job by a short name, and where its faces were."""

from __future__ import annotations

import pytest

from fieldtui.demo.truth import Truth
from fieldtui.job import Job
from fieldtui.job.faces import Faces, faces_of


@pytest.fixture(scope="session")
def job(demo_job: Job) -> Job:
    return demo_job


@pytest.fixture(scope="session")
def faces(job: Job) -> Faces:
    return faces_of(job.route, job.counting)


@pytest.fixture(scope="session")
def truth(demo_truth: Truth) -> Truth:
    return demo_truth
