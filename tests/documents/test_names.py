"""What DEVELOPERS.md and the README name is there: files, folders, functions, commands, options."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldtui.cli import main

ROOT = Path(__file__).parents[2]
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")
PLACES = (ROOT, ROOT / "fieldtui", ROOT / "fieldtui" / "handover" / "report")
"""A file of the package is named from `fieldtui/` on, as on the map of rooms; parts of the report by their own name."""


def named() -> Iterator[tuple[str, str]]:
    """Every `path/file.py: name, name.name` in backticks; one name each."""
    for path, names in re.findall(r"`([\w/]+\.py): ([\w., ]+)`", " ".join(DEVELOPERS.split()).replace("/ ", "/")):
        for name in names.split(", "):
            yield path, name


def defined(tree: ast.AST) -> Iterator[str]:
    """Functions, classes and constants of a module, those of a class behind its name."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            yield node.name
            yield from (f"{node.name}.{one}" for one in defined(node))
        targets = (
            node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
        )
        yield from (one.id for one in targets if isinstance(one, ast.Name))


def found(path: str) -> Path | None:
    return next((place / path for place in PLACES if (place / path).exists()), None)


@pytest.mark.parametrize(("path", "name"), sorted({*named()}))
def test_a_function_that_the_guide_names_is_there(path: str, name: str) -> None:
    file = found(path)
    assert file is not None, f"there is no {path}"
    names = {*defined(ast.parse(file.read_text(encoding="utf-8")))}
    assert name in names or any(one.endswith(f".{name}") for one in names), f"{path} has no {name}"


def test_the_guide_names_enough_to_follow_a_reading() -> None:
    assert len({*named()}) > 25


@pytest.mark.parametrize("text", [DEVELOPERS, README], ids=["DEVELOPERS", "README"])
def test_a_file_or_folder_that_is_named_is_there(text: str) -> None:
    paths = set(re.findall(r"`((?:[\w.-]+/)+[\w.-]*)[`:]", text))
    ours = {path for path in paths if not path.startswith(("logs/", "sites/", "laptop", "fieldtui-demo/"))}
    assert ours
    assert [path for path in sorted(ours) if found(path) is None] == []


def test_every_room_of_the_package_is_on_the_map() -> None:
    rooms = {path.name for path in (ROOT / "fieldtui").iterdir() if (path / "__init__.py").exists()}
    (table,) = re.findall(r"^\| room \|.*?\n\n", DEVELOPERS, re.M | re.S)
    assert rooms == set(re.findall(r"^\| `(\w+)/`", table, re.M))


def test_every_command_of_the_program_is_in_the_readme(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    commands = re.findall(r"^    ([a-z]+)  ", capsys.readouterr().out.partition("commands:")[2], re.M)
    assert len(commands) > 10
    assert {*commands} == set(re.findall(r"^\| `fieldtui ?(\w*)", README, re.M)) - {""}
