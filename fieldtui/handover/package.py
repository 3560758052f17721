"""A folder of CSV tables with its `datapackage.json`, there whole or not at all.

    sheets ──► a folder beside the target, not yet named ──► fsync ──► named as the target

Never over a folder that is anything but an earlier package of this program, and then in place of the whole of it.
Frictionless Data Package: https://specs.frictionlessdata.io/data-package/.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from fieldtui import __version__
from fieldtui.errors import FieldError
from fieldtui.handover.columns import Sheet, as_csv, as_schema
from fieldtui.route import Route

DESCRIPTION = "datapackage.json"
_MAKER = "fieldtui"
_DIALECT = {"delimiter": ",", "lineTerminator": "\r\n", "quoteChar": '"', "doubleQuote": True, "header": True}
_TEXT_RULE = (
    "In columns of text, a cell that would begin with =, +, -, @, tab, carriage return or an apostrophe has one more "
    "apostrophe in front, so that no spreadsheet takes it for a formula; take that one off to have the text. "
    "Negative is closing in change, since_baseline and rate."
)


def save_package(folder: Path, route: Route, sheets: Sequence[Sheet]) -> None:
    """Write the package. `FieldError` where something else is there or it cannot be written; nothing is left then."""
    _refuse_what_is_not_ours(folder)
    unfinished: Path | None = None
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        unfinished = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
        unfinished.chmod(0o755)
        for name, text in _files(route, sheets).items():
            _write(unfinished / name, text)
        _put_in_place(unfinished, folder)
    except OSError as error:
        raise FieldError(
            f"The tables cannot be written: {error.strerror or error}.",
            where=str(folder),
            todo="Make space, or name another folder.",
        ) from error
    finally:
        # gone once it is in place; still there after anything that went wrong, Ctrl+C as well
        if unfinished is not None:
            shutil.rmtree(unfinished, ignore_errors=True)


def _files(route: Route, sheets: Sequence[Sheet]) -> dict[str, str]:
    files = {f"{sheet.name}.csv": as_csv(sheet) for sheet in sheets}
    return {**files, DESCRIPTION: json.dumps(description(route, sheets), indent=2, ensure_ascii=False) + "\n"}


def description(route: Route, sheets: Sequence[Sheet]) -> dict[str, Any]:
    """What `datapackage.json` says. Nothing in it depends on the day it is written: same logs, same bytes."""
    return {
        "profile": "tabular-data-package",
        "name": "tape-convergence",
        "title": route.name,
        "description": _TEXT_RULE,
        _MAKER: {"version": __version__},
        "resources": [
            {
                "profile": "tabular-data-resource",
                "name": sheet.name,
                "title": sheet.says,
                "path": f"{sheet.name}.csv",
                "format": "csv",
                "mediatype": "text/csv",
                "encoding": "utf-8",
                "dialect": _DIALECT,
                "schema": as_schema(sheet, route.units),
            }
            for sheet in sheets
        ],
    }


def _write(path: Path, text: str) -> None:
    with path.open("xb") as file:
        file.write(text.encode("utf-8"))
        file.flush()
        os.fsync(file.fileno())


def _put_in_place(unfinished: Path, folder: Path) -> None:
    """Name the folder; an earlier package is moved aside first, and back if that does not work."""
    if not folder.exists():
        unfinished.rename(folder)
        return
    aside = Path(tempfile.mkdtemp(prefix=f".{folder.name}-old-", dir=folder.parent)) / folder.name
    try:
        folder.rename(aside)
        try:
            unfinished.rename(folder)
        except BaseException:
            aside.rename(folder)
            raise
    finally:
        if folder.exists():
            shutil.rmtree(aside.parent, ignore_errors=True)


def _refuse_what_is_not_ours(folder: Path) -> None:
    if not folder.exists() and not folder.is_symlink():
        return
    if folder.is_symlink() or not folder.is_dir():
        raise _not_ours(folder, "This is not a folder of tables")
    found = {path.name for path in folder.iterdir()}
    try:
        told = json.loads((folder / DESCRIPTION).read_text(encoding="utf-8"))
        ours = {DESCRIPTION, *(resource["path"] for resource in told["resources"])}
        maker = told[_MAKER]
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise _not_ours(folder, "This folder is there already and was not made by an export") from error
    strange = sorted(found - ours)
    if not maker or strange:
        raise _not_ours(folder, f"This folder holds what no export made: {', '.join(strange[:5])}")


def _not_ours(folder: Path, what: str) -> FieldError:
    return FieldError(f"{what}; nothing was written.", where=str(folder), todo="Name another folder with --out.")
