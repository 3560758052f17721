"""Sticks that are plugged in: folders that a copy of the log can be taken to."""

from __future__ import annotations

from pathlib import Path

PLACES = (Path("/media"), Path("/run/media"), Path("/Volumes"))
"""Where systems mount what is plugged in; below a user's name on some."""


def sticks(places: tuple[Path, ...] = PLACES) -> tuple[Path, ...]:
    """Mounted folders below the usual places, in order of their names."""
    found: list[Path] = []
    for place in places:
        for pattern in ("*", "*/*"):
            found += [folder for folder in place.glob(pattern) if folder.is_mount()]
    return tuple(sorted(set(found)))
