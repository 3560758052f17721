"""Drawings kept as text files: `golden/NAME.txt`. To look at what changed, write them anew and read the difference:

FIELDTUI_DRAW=1 python -m pytest tests/movement
"""

from __future__ import annotations

import os
from pathlib import Path

from fieldtui.movement.canvas import Lines, as_text

GOLDEN = Path(__file__).parent / "golden"


def check_drawing(name: str, drawn: Lines, width: int, height: int) -> None:
    """The drawing is of that size, cell for cell, and is the one that is kept."""
    assert len(drawn) == height
    assert {len("".join(text for text, _ in line)) for line in drawn} == {width}
    file = GOLDEN / f"{name}.txt"
    text = as_text(drawn) + "\n"
    if os.environ.get("FIELDTUI_DRAW"):
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")
