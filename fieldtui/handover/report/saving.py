"""A report into a file: there whole or not at all (`handover.placing`), in place of an earlier report and of nothing
else."""

from __future__ import annotations

from pathlib import Path

from fieldtui.handover.placing import placing, refuse_what_is_not_ours

MARK = "fieldtui report"
"""What every form of a report has in its first lines, and no other file is taken to have."""
_BEGINNING = 600


def save_report(path: Path, text: str) -> None:
    """UTF-8. `FieldError` where something else is there or it cannot be written; nothing is left of it then."""
    with placing(path, _what_else) as made:
        made.write_bytes(text.encode("utf-8"))


def refuse_what_is_no_report(path: Path) -> None:
    """`FieldError` where the name is that of anything but an earlier report."""
    refuse_what_is_not_ours(path, _what_else)


def _what_else(path: Path) -> str:
    if not path.is_file():
        return "This is no file"
    with path.open("rb") as file:
        return "" if MARK.encode() in file.read(_BEGINNING) else "This file is there already and is no report"
