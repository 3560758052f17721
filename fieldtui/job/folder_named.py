"""A folder as a person typed it."""

from __future__ import annotations

from pathlib import Path

from fieldtui.survey import EntryRefused


def folder_named(typed: str) -> Path:
    """The folder, `~` resolved. `EntryRefused` where no folder can have that name."""
    try:
        folder = Path(typed.strip()).expanduser()
        folder.is_dir()  # a name that is too long is refused by the system, not denied
    except (RuntimeError, OSError, ValueError) as error:
        raise EntryRefused(f"There is no folder {typed.strip()[:40]}.", todo="Name one that is there.") from error
    return folder
