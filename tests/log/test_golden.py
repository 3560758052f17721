"""Logs of format 1, laid once: read as on the first day, by the program and by a reader that knows none of it."""

from __future__ import annotations

import importlib.util
import json
from pathlib import Path
from types import ModuleType

import pytest

from fieldtui.log import BOOKKEEPING, read_log
from fieldtui.log.verify import verify_log

GOLDEN = Path(__file__).parent / "golden"
LOGS = sorted(GOLDEN.glob("*.jsonl"))


@pytest.fixture(scope="module")
def plain() -> ModuleType:
    path = Path(__file__).parent / "plain_reader.py"
    spec = importlib.util.spec_from_file_location("plain_reader", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_there_are_golden_logs_of_every_sort() -> None:
    assert [path.stem for path in LOGS] == ["continued", "damaged", "restored", "torn", "whole"]


@pytest.mark.parametrize("path", LOGS, ids=lambda path: path.stem)
def test_a_golden_log_is_read_as_on_the_first_day(path: Path) -> None:
    expected = json.loads(path.with_suffix(".expected.json").read_text())
    log = read_log(path)
    assert log.last is not None
    assert log.state == expected["state"]
    assert log.last.h == expected["head"]
    assert list(log.after) == expected["after"]
    assert log.continues == expected["continues"]
    assert [one.record for one in log.problems] == expected["damage"]
    assert [one.what for one in log.marks] == expected["marks"]
    assert [[one.seq, one.at, one.kind, one.data] for one in log.records] == expected["entries"]
    assert verify_log(path).state == expected["state"]


@pytest.mark.parametrize("path", LOGS, ids=lambda path: path.stem)
def test_a_reader_that_imports_nothing_of_ours_agrees(path: Path, plain: ModuleType) -> None:
    records, odd = plain.read(path.read_bytes())
    log = read_log(path)
    ours = [[one.seq, one.at, one.kind, one.data, one.h] for one in log.records]
    entries = [record for record in records if record["kind"] not in BOOKKEEPING]
    assert [[one["seq"], one["at"], one["kind"], one["data"], one["h"]] for one in entries] == ours
    assert records[-1]["h"] == log.last.h  # type: ignore[union-attr]
    damaged = [one.record for one in log.problems]
    assert plain.unlinked(records) == [record + 1 for record in damaged]
    assert bool(odd) == bool(log.problems or log.marks)


def test_the_other_reader_sees_what_is_wrong(plain: ModuleType) -> None:
    content = (GOLDEN / "whole.jsonl").read_bytes()
    assert plain.unlinked(plain.read(content)[0]) == []
    changed = content.replace(b"12.3400", b"12.34")
    records, odd = plain.read(changed)
    assert plain.unlinked(records) == [4]
    assert len(odd) == 1
    source = (Path(__file__).parent / "plain_reader.py").read_text()
    assert "fieldtui" not in source
    assert len([line for line in source.splitlines() if line.strip() and not line.startswith('"""')]) <= 30
