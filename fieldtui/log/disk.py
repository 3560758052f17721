"""What kind of disk a folder lies on: a network disk may say saved before it is, and may lock nothing.

Only what the system tells is used; a folder that a program copies elsewhere by itself looks like any other.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

MOUNTS = Path("/proc/self/mountinfo")
NETWORK = ("nfs", "cifs", "smb", "9p", "afs", "ceph", "ncp", "davfs", "glusterfs", "lustre", "fuse.")
REMOTE_DRIVE = 4  # GetDriveTypeW of Windows
_ESCAPED = re.compile(r"\\([0-7]{3})")  # blank, tab, line end and backslash, by proc(5)


def disk_warning(folder: Path, *, mounts: Path = MOUNTS, platform: str = sys.platform) -> str:
    """A sentence where a folder lies on a network disk, else empty."""
    if platform == "win32":
        remote = _is_remote_drive(folder)
    else:
        try:
            kind = kind_of_disk(folder.resolve(), mounts.read_text(encoding="utf-8", errors="surrogateescape"))
        except OSError:  # only Linux has this file; elsewhere nothing is known
            return ""
        remote = kind.startswith(NETWORK)
    if not remote:
        return ""
    return (
        "This folder lies on a network disk: what is said to be saved may be lost there, "
        "and two programs may write at once."
    )


def kind_of_disk(folder: Path, mountinfo: str) -> str:
    """The file system of a folder from Linux's mountinfo (proc(5)); empty where no mount holds it."""
    best, kind = -1, ""
    for line in mountinfo.splitlines():
        before, found, after = line.partition(" - ")
        fields = before.split(" ")
        if not found or len(fields) < 5:
            continue
        place = Path(_ESCAPED.sub(lambda one: chr(int(one[1], 8)), fields[4]))
        if folder.is_relative_to(place) and len(place.parts) >= best:
            best, kind = len(place.parts), after.split(" ")[0]
    return kind


def _is_remote_drive(folder: Path) -> bool:
    if str(folder).startswith("\\\\"):
        return True
    import ctypes  # only where it is needed

    windows = getattr(ctypes, "windll", None)
    anchor = folder.absolute().anchor
    return windows is not None and windows.kernel32.GetDriveTypeW(anchor) == REMOTE_DRIVE
