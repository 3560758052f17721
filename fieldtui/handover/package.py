"""A folder of tables with its `datapackage.json`: CSV, or any other form of the same tables.

    sheets ──► files of tables ──► datapackage.json: types, units, meaning of each column; size and SHA-256 of each file

Frictionless Data Package: https://specs.frictionlessdata.io/data-package/; the hashes tell an export as it was written
from one that somebody has worked in since.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from fieldtui import __version__
from fieldtui.handover.columns import Sheet, as_schema, write_csv
from fieldtui.handover.placing import placing
from fieldtui.handover.texts import RULE, visible
from fieldtui.progress import Progress
from fieldtui.route import Route

DESCRIPTION = "datapackage.json"
SIGN_RULE = "Negative is closing in change, since_baseline, total, since_epoch and rate."
_MAKER = "fieldtui"
_CSV = {
    "format": "csv",
    "mediatype": "text/csv",
    "encoding": "utf-8",
    "dialect": {"delimiter": ",", "lineTerminator": "\r\n", "quoteChar": '"', "doubleQuote": True, "header": True},
}
_CSV_RULE = (
    "In columns of text, a cell that would begin with =, +, -, @, tab or an apostrophe has one more apostrophe in "
    "front, so that no spreadsheet takes it for a formula; take that one off to have the text."
)


def save_csv(folder: Path, route: Route, sheets: Sequence[Sheet], progress: Progress) -> None:
    """Write the package as CSV. `FieldError` where something else is there or it cannot be written."""
    with placing(folder, what_else) as made:
        made.mkdir()
        files: dict[str, list[Path]] = {}
        for sheet in sheets:
            path = made / f"{sheet.name}.csv"
            with path.open("x", encoding="utf-8", newline="") as file:
                write_csv(sheet, file, progress)
            files[sheet.name] = [path]
        describe(made, route, sheets, files, _CSV, f"{_CSV_RULE} {RULE} {SIGN_RULE}")


def describe(
    folder: Path,
    route: Route,
    sheets: Sequence[Sheet],
    files: Mapping[str, Sequence[Path]],
    form: Mapping[str, Any],
    rules: str,
) -> None:
    """Write `datapackage.json`. Nothing in it depends on the day it is written: same logs, same bytes."""
    resources = [_resource(folder, sheet, files[sheet.name], form, route) for sheet in sheets]
    told = {
        "profile": "data-package",
        "name": "tape-convergence",
        "title": visible(route.name),
        "description": rules,
        _MAKER: {"version": __version__, "files": _hashes(folder, files)},
        "resources": resources,
    }
    text = json.dumps(told, indent=2, ensure_ascii=False) + "\n"
    (folder / DESCRIPTION).write_text(text, encoding="utf-8", newline="")


def _resource(
    folder: Path, sheet: Sheet, files: Sequence[Path], form: Mapping[str, Any], route: Route
) -> dict[str, Any]:
    names = [path.relative_to(folder).as_posix() for path in files]
    resource = {
        "profile": "tabular-data-resource",
        "name": sheet.name,
        "title": sheet.says,
        "path": names[0] if len(names) == 1 else names,
        **form,
        "schema": as_schema(sheet, route.units),
    }
    if len(files) == 1:
        resource |= {"bytes": files[0].stat().st_size, "hash": f"sha256:{_sha256(files[0])}"}
    return resource


def what_else(folder: Path) -> str:
    """What a folder is, if it is not a package as this program left it; else nothing."""
    if not folder.is_dir():
        return "This is a file, not a folder of tables"
    found = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if not path.is_dir()}
    try:
        hashes = json.loads((folder / DESCRIPTION).read_text(encoding="utf-8"))[_MAKER]["files"]
        strange = sorted(found - {DESCRIPTION, *hashes})
        changed = sorted(name for name in found & {*hashes} if _sha256(folder / name) != hashes[name])
    except (OSError, ValueError, KeyError, TypeError):
        return "This folder is there already and was not made by an export"
    if strange:
        return f"This folder holds what no export made: {', '.join(strange[:5])}"
    if changed:
        return f"Somebody has changed what an earlier export wrote: {', '.join(changed[:5])}"
    return ""


def _hashes(folder: Path, files: Mapping[str, Sequence[Path]]) -> dict[str, str]:
    return {path.relative_to(folder).as_posix(): _sha256(path) for paths in files.values() for path in paths}


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
