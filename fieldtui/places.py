"""Where the data that ships with the program is: the demo job and the example routes.

In a wheel they lie inside the package (`fieldtui/data`); in a source tree, unpacked or installed for editing, they are
folders beside it.
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from fieldtui.errors import FieldError

_PACKAGE = Path(__file__).resolve().parent


def shipped(name: Literal["demo", "routes"], package: Path = _PACKAGE) -> Path:
    """The folder of that name, as it came with the program. `FieldError` if the installation lacks it."""
    inside = package / "data" / name
    beside = package.parent / name
    if inside.is_dir():
        return inside
    # any folder may lie beside an installed package; the project's own file says that this is its source tree
    if beside.is_dir() and (package.parent / "pyproject.toml").is_file():
        return beside
    raise FieldError(
        f"The folder “{name}” that ships with the program is not there.",
        where=str(inside),
        todo="Install fieldtui again; its data was not installed with it.",
    )
