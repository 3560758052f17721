"""The route file onto the disk: a new one never over another, an older one added to or left as it is."""

from __future__ import annotations

import os
from pathlib import Path

from fieldtui.errors import FieldError
from fieldtui.paper.saving import save_new


def save(path: Path, before: bytes | None, text: str) -> None:
    """Write a route file whole or not at all. `before`: the bytes that it had, None for a new one.

    `FieldError` where the file is not as it was, or cannot be written.
    """
    if before is None:
        save_new(path, text)
        return
    beside = path.with_name(f"{path.name}.new")
    data = before + text.encode("utf-8")
    try:
        if path.read_bytes() != before:
            todo = "Nothing was written. Begin anew; the draft is kept."
            raise FieldError("The file was changed by somebody else meanwhile.", where=str(path), todo=todo)
        with beside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.chmod(path.stat().st_mode)
        beside.replace(path)
    except OSError as error:
        why = error.strerror or str(error)
        todo = "Nothing was written; the file is as it was."
        raise FieldError(f"The file cannot be written: {why}.", where=str(path), todo=todo) from error
