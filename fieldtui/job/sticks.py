"""Sticks that are plugged in: folders that a copy of the log can be taken to."""

from __future__ import annotations

import os
from pathlib import Path

PLACES = (Path("/media"), Path("/run/media"), Path("/Volumes"))
"""Where systems mount what is plugged in; below a user's name on some."""


def sticks(places: tuple[Path, ...] = PLACES) -> tuple[Path, ...]:
    """Mounted folders below the usual places, in order of their names. A stick that does not answer is left out."""
    below = [folder for place in places for folder in _folders(place)]
    return tuple(sorted(folder for one in below for folder in (one, *_folders(one)) if os.path.ismount(folder)))


def _folders(place: Path) -> list[Path]:
    """What is in a folder; nothing where it is not there, is another's, or its disk has failed."""
    try:
        return list(place.iterdir())
    except OSError:
        return []
