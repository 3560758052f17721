"""A report into a file: there whole or not at all, in place of an earlier report and of nothing else.

text ──► a file beside the target, not yet named ──► fsync ──► named as the target
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from fieldtui.errors import FieldError

MARK = "fieldtui report"
"""What every form of a report has in its first lines, and no other file is taken to have."""
_BEGINNING = 600
_TODO = "Name another file with --out."


def save_report(path: Path, text: str) -> None:
    """UTF-8. `FieldError` where something else is there or it cannot be written; nothing is left of it then."""
    refuse_what_is_no_report(path)
    unfinished: Path | None = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        number, name = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)
        unfinished = Path(name)
        with os.fdopen(number, "wb") as file:
            file.write(text.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
        unfinished.chmod(0o644)
        unfinished.replace(path)
        unfinished = None
        _sync(path.parent)
    except OSError as error:
        told = f"The report cannot be written: {error.strerror or error}."
        raise FieldError(told, where=str(path), todo="Make space, or name another place with --out.") from error
    finally:
        # gone once it is in place; still there after anything that went wrong, Ctrl+C as well
        if unfinished is not None:
            unfinished.unlink(missing_ok=True)


def refuse_what_is_no_report(path: Path) -> None:
    """`FieldError` where the name is that of anything but an earlier report."""
    if not path.exists() and not path.is_symlink():
        return
    if path.is_symlink() or not path.is_file():
        raise FieldError("This is no file; nothing was written.", where=str(path), todo=_TODO)
    try:
        with path.open("rb") as file:
            beginning = file.read(_BEGINNING)
    except OSError as error:
        told = f"This file is there and cannot be read: {error.strerror}."
        raise FieldError(told, where=str(path), todo=_TODO) from error
    if MARK.encode() not in beginning:
        raise FieldError(
            "This file is there already and is no report; nothing was written.", where=str(path), todo=_TODO
        )


def _sync(folder: Path) -> None:
    """The name as well is on the disk, where the system lets a folder be synced."""
    if os.name != "posix":
        return
    number = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(number)
    finally:
        os.close(number)
