"""The reduction is pure: no file, no clock, no screen, nothing of the project but the route's model."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import fieldtui.reduction

ALLOWED = {"__future__", "collections", "datetime", "decimal", "fractions", "math", "types", "typing"}
ALLOWED |= {"functools", "itertools", "msgspec"}
FILES = sorted(Path(fieldtui.reduction.__file__).parent.glob("*.py"))


def imported(tree: ast.AST) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0
            names.add(node.module or "")
    return names


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_file_of_the_reduction_imports_only_sums_and_the_route(file):
    for name in imported(ast.parse(file.read_text(encoding="utf-8"))):
        ours = name in ("fieldtui.route.model", "fieldtui.route.units") or name.startswith("fieldtui.reduction")
        assert ours or name.split(".")[0] in ALLOWED, name


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_file_of_the_reduction_asks_neither_the_clock_nor_the_disk(file):
    calls = {
        node.attr for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))) if isinstance(node, ast.Attribute)
    }
    names = {node.id for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))) if isinstance(node, ast.Name)}
    assert not calls & {"now", "utcnow", "today", "environ"}
    assert not names & {"open", "print", "input", "getcontext", "setcontext"}
