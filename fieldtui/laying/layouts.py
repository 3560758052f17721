"""Layouts to begin with: which anchors on an outline, which chords between them. All of it is the job's to change.

One chord, three anchors with three chords, five anchors with six or more are common practice. Five anchors take seven
chords before displacements can be told; the six are offered beside them, so that the two can be compared.
"""

from __future__ import annotations

from decimal import Decimal

from fieldtui.laying.shapes import Outline

OWN = "own"
LAYOUTS = {
    "one": "two anchors, one chord across",
    "three": "three anchors, three chords",
    "five-six": "five anchors, six chords",
    "five": "five anchors, seven chords",
    "five-ten": "five anchors, all ten chords",
    OWN: "my own anchors and chords",
}
_FIVE = ("L-R", "L-K", "R-K", "HL-K", "HR-K")
CHORDS = {
    "one": ("L-R",),
    "three": ("L-R", "L-K", "R-K"),
    "five-six": (*_FIVE, "HL-HR"),
    "five": (*_FIVE, "L-HR", "R-HL"),
    "five-ten": (*_FIVE, "L-HR", "R-HL", "HL-HR", "L-HL", "R-HR"),
}
CENTIMETRES = Decimal("0.01")
Places = dict[str, tuple[Decimal, Decimal]]


def proposed(layout: str, outline: Outline, chest: float) -> Places:
    """Where the anchors of a layout go, in their order; `chest` is the height of the lower pair above the floor."""
    across, up = outline.wall_at(min(chest, 0.5 * outline.height))
    made = {"L": (-across, up), "R": (across, up)}
    if layout != "one":
        made["K"] = outline.crown
    if layout.startswith("five"):
        x, y = outline.haunch()
        made |= {"HL": (-x, y), "HR": (x, y)}
    return {name: (_rounded(x), _rounded(y)) for name, (x, y) in made.items()}


def _rounded(value: float) -> Decimal:
    return Decimal(value).quantize(CENTIMETRES) + 0
