"""The data that ships with the program is found in every form of installation."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from fieldtui.errors import FieldError
from fieldtui.places import shipped


@pytest.mark.parametrize("name", ["demo", "routes"])
def test_the_installed_program_finds_its_data(tmp_path: Path, name: str) -> None:
    """From another folder, so that nothing is found by chance."""
    asked = f"from fieldtui.places import shipped; print(shipped('{name}'))"
    found = subprocess.run(
        [sys.executable, "-c", asked], cwd=tmp_path, capture_output=True, text=True, check=True
    ).stdout.strip()
    assert list(Path(found).rglob("*.toml"))


def test_in_a_wheel_the_data_lies_inside_the_package(tmp_path: Path) -> None:
    package = tmp_path / "site-packages" / "fieldtui"
    (package / "data" / "demo").mkdir(parents=True)
    (tmp_path / "site-packages" / "demo").mkdir()
    assert shipped("demo", package) == package / "data" / "demo"


def test_in_a_source_tree_it_lies_beside_the_package(tmp_path: Path) -> None:
    (tmp_path / "fieldtui").mkdir()
    (tmp_path / "routes").mkdir()
    (tmp_path / "pyproject.toml").touch()
    assert shipped("routes", tmp_path / "fieldtui") == tmp_path / "routes"


def test_a_folder_beside_an_installed_package_is_somebody_elses(tmp_path: Path) -> None:
    (tmp_path / "fieldtui").mkdir()
    (tmp_path / "demo").mkdir()
    with pytest.raises(FieldError, match="Install fieldtui again"):
        shipped("demo", tmp_path / "fieldtui")
