"""Who writes: machine, process, user and boot, booked in record 0 and at each resumption."""

from __future__ import annotations

import getpass
import os
import platform
from pathlib import Path

from msgspec import Struct
from msgspec.structs import asdict

BOOT_ID = Path("/proc/sys/kernel/random/boot_id")


class Identity(Struct, frozen=True):
    """The writer of a log; names are cut at 64 characters so that record 0 stays below 1 kB."""

    machine: str
    pid: int
    user: str
    boot: str

    @classmethod
    def of_this_process(cls) -> Identity:
        """Read from the system; what it does not tell is left empty."""
        return cls(machine=platform.node()[:64], pid=os.getpid(), user=_user()[:64], boot=_boot())

    def as_data(self) -> dict[str, str | int]:
        return asdict(self)


def _user() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):  # a process without a name in the user database
        return ""


def _boot() -> str:
    try:
        return BOOT_ID.read_text(encoding="ascii").strip()
    except OSError:  # only Linux keeps one
        return ""
