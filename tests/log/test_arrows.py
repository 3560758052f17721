"""The log knows bytes and hashes: it imports nothing of the project but the errors."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import fieldtui.log

ROOM = Path(fieldtui.log.__file__).parent


def test_the_room_imports_only_itself_the_errors_and_the_version() -> None:
    for path in ROOM.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            names = [node.module] if isinstance(node, ast.ImportFrom) else []
            names += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            ours = [name for name in names if name and name.startswith("fieldtui")]
            assert all(name.startswith("fieldtui.log") or name in {"fieldtui.errors", "fieldtui"} for name in ours), (
                path
            )
            others = {name.partition(".")[0] for name in names if name} - {
                "fieldtui",
                "msgspec",
                "pydantic_core",
                "__future__",
            }
            assert others <= sys.stdlib_module_names, path


def test_what_is_loaded_with_it() -> None:
    asked = "import sys, fieldtui.log; print(*sorted(name for name in sys.modules if name.startswith('fieldtui')))"
    loaded = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True).stdout.split()
    assert {name for name in loaded if not name.startswith("fieldtui.log")} == {"fieldtui", "fieldtui.errors"}


def test_each_file_is_small_enough_to_be_read() -> None:
    assert {path.name: len(path.read_text().splitlines()) for path in ROOM.glob("*.py")}.items() <= {
        (path.name, lines) for path in ROOM.glob("*.py") if (lines := len(path.read_text().splitlines())) < 300
    }
