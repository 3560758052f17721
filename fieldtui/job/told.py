"""One thing said: label, text, weight. Every front shows it in its own way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Weight = Literal["", "quiet", "main", "notice", "alarm"]


@dataclass(frozen=True, slots=True)
class Told:
    """One thing said. `label` may be empty: then the line goes on with the one before."""

    label: str
    text: str
    weight: Weight = ""
