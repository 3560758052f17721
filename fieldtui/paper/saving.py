"""A text into a new file: there whole or not at all, and never over another file."""

from __future__ import annotations

import os
from pathlib import Path

from fieldtui.errors import FieldError


def save_new(path: Path, text: str) -> None:
    """Write a text, UTF-8, line ends as they are. `FieldError` where the file is there already or cannot be written."""
    try:
        with path.open("xb") as file:
            try:
                file.write(text.encode("utf-8"))
                file.flush()
                os.fsync(file.fileno())
            except BaseException:
                path.unlink()
                raise
    except FileExistsError as error:
        raise FieldError(
            "This file is there already; nothing is written over it.", where=str(path), todo="Name another file."
        ) from error
    except OSError as error:
        raise FieldError(
            f"The file cannot be written: {error.strerror or error}.", where=str(path), todo="Name another place."
        ) from error
