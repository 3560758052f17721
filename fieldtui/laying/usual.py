"""Figures to begin with, in the route's units. Every one is the job's to change, and is marked so in the file.

How often to read: practice in highway and rail tunnel codes, by widths from the face and by movement a day, the more
frequent of the two. Rest: practice in rock-cavern codes. Uncertainties, reach and care: this program's own start,
until the job has measured its own. No trigger figures: what is little at one job is much at another.
"""

from __future__ import annotations

from msgspec import Struct

from fieldtui.route import METRIC, US, Units


class Usual(Struct, frozen=True):
    """One system's figures, as texts."""

    units: Units
    temperature: str
    reproducibility: str
    hole: str
    repeatability: str
    resolution: str
    dial_high: str
    steel: str
    """Expansion of tape steel, millionths a degree: surveying steel, NBS circulars on tape calibration."""
    steel_uncertainty: str
    reference_temperature: str
    frame_limit: str
    standing_reach: str
    pole: str
    chest: str
    rates: tuple[str, str, str]
    rest: str


_METRIC = Usual(
    METRIC, "0.5", "0.08", "0.03", "0.05", "0.01", "50", "11.6", "0.5", "20", "0.15", "2.3", "1.5", "1.5",
    ("5", "1", "0.5"), "0.2",
)  # fmt: skip
_US = Usual(
    US, "1", "0.003", "0.0012", "0.002", "0.0005", "2", "6.45", "0.3", "68", "0.006", "7.5", "5", "5",
    ("0.2", "0.04", "0.02"), "0.008",
)  # fmt: skip

_USUAL = {one.units.name: one for one in (_METRIC, _US)}

WITHIN = (("1", "12"), ("2", "24"), ("5", "72"), ("1000", "168"))
"""Widths from the face, hours between readings; a thousand widths are everywhere beyond."""
RATE_HOURS = ("8", "24", "72")
"""Hours between readings where it moves faster than each of `rates`."""
CARE = (("dial battery", "365"), ("tape wiped, dried and looked over for kinks", "1"), ("anchors looked over", "30"))
SHARE_OF_END = "0.9"


def usual(units: str) -> Usual:
    """The figures of a system of units, by its name in the route file."""
    return _USUAL[units]
