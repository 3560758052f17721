"""Which fieldtui is tested is said at the top of every run; where a release is checked it must be the installed one."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

import fieldtui
from harness.demo import demo_job, demo_laid, demo_truth  # noqa: F401  (fixtures of the whole run)

PLACE = Path(fieldtui.__file__).parent


def pytest_report_header() -> str:
    return f"fieldtui {fieldtui.__version__} from {PLACE}"


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Tests of the campaign and whole surveys in a real terminal run when they are asked for, by `-m`."""
    if not config.option.markexpr:
        left = [item for item in items if item.get_closest_marker("campaign") or item.get_closest_marker("slow")]
        config.hook.pytest_deselected(items=left)
        items[:] = [item for item in items if item not in left]


def pytest_sessionstart(session: pytest.Session) -> None:
    if os.environ.get("FIELDTUI_TEST_INSTALLED") and "site-packages" not in PLACE.parts:
        raise pytest.UsageError(f"the tests must run against the installed wheel, not {PLACE}")
