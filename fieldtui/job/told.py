"""One thing said: label, text, weight. Every front shows it in its own way."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

Weight = Literal["", "quiet", "main", "notice", "alarm"]


class Told(Struct, frozen=True):
    """One thing said. `label` may be empty: then the line goes on with the one before."""

    label: str
    text: str
    weight: Weight = ""
