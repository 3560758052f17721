"""Small disks for the fault tests: made in a mount of their own, gone afterwards. Needs root."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest


def run(*command: str | Path) -> None:
    subprocess.run([str(word) for word in command], check=True, capture_output=True)


def need_root(*programs: str) -> None:
    """Skip where this machine cannot mount; skips.txt lists the tests that may."""
    if getattr(os, "geteuid", lambda: 1)() != 0:
        pytest.skip("needs root")
    for program in ("mount", "umount", *programs):
        if shutil.which(program) is None:
            pytest.skip(f"needs {program}")


@contextmanager
def mounted(place: Path, *options: str) -> Iterator[Path]:
    """`mount OPTIONS place`, unmounted afterwards; skips where the system does not allow it."""
    place.mkdir(parents=True, exist_ok=True)
    try:
        run("mount", *options, place)
    except subprocess.CalledProcessError as error:
        pytest.skip(f"cannot mount: {error.stderr.decode(errors='replace').strip()}")
    try:
        yield place
    finally:
        run("umount", place)
