"""The fault bench is importable, and a skip that is not listed in skips.txt fails."""

from __future__ import annotations

import sys
from collections.abc import Generator
from pathlib import Path

import pytest

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))


def allowed_skips() -> frozenset[str]:
    """Names of tests that may be skipped: the first word of each line of skips.txt."""
    lines = (HERE / "skips.txt").read_text(encoding="utf-8").splitlines()
    return frozenset(line.split()[0] for line in lines if line.strip() and not line.startswith("#"))


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    name = getattr(item, "originalname", None) or item.name
    if report.skipped and not hasattr(report, "wasxfail") and name not in allowed_skips():
        report.outcome = "failed"
        report.longrepr = f"{name} was skipped and is not listed in {HERE.name}/skips.txt: {report.longrepr}"
    return report
