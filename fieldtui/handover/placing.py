"""A file or folder of ours under its name: there whole or not at all, and only in place of what we made ourselves.

    target ──► a hidden folder beside it ──► written, synced ──► named as the target, what was there put aside before

Whatever goes wrong, Ctrl+C as well, the target is what it was and nothing else is left.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from fieldtui.errors import FieldError

WhatElse = Callable[[Path], str]
"""Of a path that is there: what it is, in words, if it is not an export as this program left it; else nothing."""
_OLD = "old"


@contextmanager
def placing(target: Path, what_else: WhatElse) -> Iterator[Path]:
    """A path to write to; what stands there at the end gets the target's name.

    `FieldError` where something else than an export of ours is there, or the disk does not take it.
    """
    refuse_what_is_not_ours(target, what_else)
    work: Path | None = None
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        work = Path(tempfile.mkdtemp(prefix=f".{target.name}-", dir=target.parent))
        made = work / target.name
        yield made
        _sync(made)
        refuse_what_is_not_ours(target, what_else)
        _name(made, target, work / _OLD)
    except OSError as error:
        raise FieldError(
            f"The export cannot be written: {error.strerror or error}.",
            where=str(target),
            todo="Make space, or name another place with --out.",
        ) from error
    finally:
        # an old export that could not be put back is not thrown away
        if work is not None and (target.exists() or not (work / _OLD).exists()):
            shutil.rmtree(work, ignore_errors=True)


def refuse_what_is_not_ours(target: Path, what_else: WhatElse) -> None:
    """`FieldError` where something is there that must not be written over."""
    if not target.exists() and not target.is_symlink():
        return
    found = "This is a link" if target.is_symlink() else what_else(target)
    if found:
        raise FieldError(
            f"{found}; nothing was written.", where=str(target), todo="Move it away, or name another place with --out."
        )


def _name(made: Path, target: Path, aside: Path) -> None:
    if not target.is_dir():
        made.replace(target)
        return
    # a folder is not replaced in one step: the old one is put aside, and back if the new one cannot take its place
    try:
        target.rename(aside)
        made.rename(target)
    except BaseException:
        if aside.exists() and not target.exists():
            aside.rename(target)
        raise


def _sync(made: Path) -> None:
    for path in [made, *made.rglob("*")] if made.is_dir() else [made]:
        if path.is_file():
            with path.open("rb+") as file:
                os.fsync(file.fileno())
