"""The systems of units that a route may be in, with all that is said of each anywhere in the program."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType

from msgspec import Struct

LARGEST, FINEST = Decimal("1e9"), Decimal("1e-15")
"""No figure of a tape survey comes near these, in any units; beyond them a slip of the keyboard is certain."""


class Units(Struct, frozen=True):
    """One system of units: what is said of it anywhere in the program follows from this, or is found by its names."""

    name: str
    """As the route file says it."""
    small: str
    large: str
    degree: str
    """degC or degF."""
    small_per_large: int
    decimals: int
    """How many a length is shown with."""
    millimetre: float
    """One millimetre, in small units."""
    temperature_range: tuple[int, int]
    """What a tape temperature can be at all, in `degree`; outside it an entry is refused."""
    ucum: tuple[str, str]
    """Small and large in the Unified Code for Units of Measure, https://ucum.org."""
    words: tuple[tuple[str, str], tuple[str, str]]
    """Small and large in full, one and many."""


METRIC = Units(
    "metric", "mm", "m", "degC", 1000, 2, 1.0, (-40, 60), ("mm", "m"),
    (("millimetre", "millimetres"), ("metre", "metres")),
)  # fmt: skip
US = Units(
    "US", "in", "ft", "degF", 12, 4, 1 / 25.4, (-40, 140), ("[in_i]", "[ft_i]"),
    (("inch", "inches"), ("foot", "feet")),
)  # fmt: skip
SYSTEMS: Mapping[str, Units] = MappingProxyType({units.name: units for units in (METRIC, US)})
"""Those that a route may be in."""
