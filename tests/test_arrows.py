"""The house plan's arrows: which room may use which, by what is written and by what is really loaded."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import fieldtui

PACKAGE = Path(fieldtui.__file__).parent

ROOMS = {
    "route": set(),
    "log": set(),
    "reduction": {"route"},
    "survey": {"route", "reduction"},
    "job": {"route", "log", "reduction", "survey"},
    "demo": {"route", "log", "reduction", "survey", "job"},
    "plain": {"route", "log", "reduction", "survey", "job"},
    "custody": {"route", "log", "reduction", "survey", "job"},
    "paper": {"route", "log", "reduction", "survey", "job"},
    "handover": {"route", "log", "reduction", "survey", "job", "paper", "history", "movement"},
    "history": {"route", "log", "reduction", "survey", "job"},
    "movement": {"route", "log", "reduction", "survey", "job", "history"},
    "tui": {"route", "log", "reduction", "survey", "job"},
    "laying": {"route", "log", "reduction", "survey", "job", "paper", "history", "movement", "tui"},
    "review": {"route", "log", "reduction", "survey", "job", "history", "movement", "tui"},
}
"""A room and what it may use besides itself; what lies beside the rooms is everybody's."""

EVERYBODYS = {"counted", "errors", "loading", "places", "printable", "progress", "settings", ""}
HEAVY = {"pandas", "numpy", "scipy", "matplotlib"}
CHECKING = {"pydantic", "pydantic_core", "fieldtui.route.draft", "fieldtui.route.rules", "tomllib"}


def imported(file: Path) -> set[str]:
    """Full names of the modules that a file imports."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{file}: relative imports hide where an arrow points"
            found.add(node.module or "")
    return found


def rooms_used(room: str) -> set[str]:
    used: set[str] = set()
    for file in (PACKAGE / room).rglob("*.py"):
        for module in imported(file):
            if module.split(".")[0] == "fieldtui":
                used.add(([*module.split("."), ""])[1])
    return used - EVERYBODYS - {room}


def test_every_room_is_named_in_the_plan() -> None:
    rooms = {path.parent.name for path in PACKAGE.glob("*/__init__.py")}
    assert rooms == set(ROOMS), "a room without arrows, or arrows without a room"


@pytest.mark.parametrize("room", sorted(ROOMS))
def test_a_room_uses_only_what_the_plan_allows(room: str) -> None:
    assert rooms_used(room) <= ROOMS[room]


@pytest.mark.parametrize("room", sorted(set(ROOMS) - {"tui", "review"}))
def test_no_room_but_the_screens_imports_the_screen_library(room: str) -> None:
    for file in (PACKAGE / room).rglob("*.py"):
        assert not {name.split(".")[0] for name in imported(file)} & {"textual", "rich"}, file


@pytest.mark.parametrize("room", ["reduction", "survey"])
def test_the_core_reads_no_clock_file_or_environment(room: str) -> None:
    forbidden = {"os", "io", "pathlib", "time", "subprocess", "socket", "random", "secrets"}
    for file in (PACKAGE / room).rglob("*.py"):
        assert not {name.split(".")[0] for name in imported(file)} & forbidden, file
        assert ".now(" not in file.read_text(encoding="utf-8"), file


def loaded_by(code: str) -> set[str]:
    """Top-level names of the modules that a fresh interpreter has loaded after running some code."""
    told = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys; print(' '.join(sys.modules))"],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    names = set(told.stdout.split())
    return names | {name.split(".")[0] for name in names}


def test_the_walk_is_loaded_without_the_heavy_libraries() -> None:
    loaded = loaded_by(
        "import fieldtui.tui.app, fieldtui.tui.start, fieldtui.job, fieldtui.cli, fieldtui.review.opening"
    )
    assert "textual" in loaded
    assert not loaded & HEAVY
    assert not loaded & CHECKING, "what checks a route waits for one that was not checked before"


def test_the_core_is_loaded_without_the_screen_library() -> None:
    loaded = loaded_by("import fieldtui.job, fieldtui.plain, fieldtui.demo")
    assert not loaded & {"textual", "rich", *HEAVY}


def test_the_command_line_loads_no_room_before_its_command_is_called() -> None:
    loaded = loaded_by("import fieldtui.cli")
    assert not {f"fieldtui.{room}" for room in ROOMS} & loaded
