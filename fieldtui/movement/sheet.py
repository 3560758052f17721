"""A station's section true to scale on a canvas, with room around it for what is drawn at the anchors."""

from __future__ import annotations

from collections.abc import Mapping

from fieldtui.movement.canvas import ACROSS, DOWN, Canvas, Line
from fieldtui.movement.scale import nice_step
from fieldtui.route import Units

LONGEST = 0.25
"""The share of the drawing that the largest arrow or ellipse takes."""
_MARGIN = 2
Place = tuple[float, float]


class Sheet:
    """The section on a canvas, one scale in both directions, in the middle."""

    def __init__(self, places: Mapping[str, Place], width: int, height: int) -> None:
        self.canvas = Canvas(width, height)
        across, up = [x for x, _ in places.values()], [y for _, y in places.values()]
        # arrows and names need room around the anchors
        room = (width * (1 - LONGEST) - 2 * _MARGIN) * ACROSS, (height * (1 - LONGEST) - _MARGIN) * DOWN
        spans = max(across) - min(across), max(up) - min(up)
        self.dots_each = min(size / span for size, span in zip(room, spans, strict=True) if span > 0)
        self._middle = (min(across) + max(across)) / 2, (min(up) + max(up)) / 2
        self._centre = width * ACROSS / 2, height * DOWN / 2

    def dot(self, place: Place) -> tuple[float, float]:
        return (
            self._centre[0] + (place[0] - self._middle[0]) * self.dots_each,
            self._centre[1] - (place[1] - self._middle[1]) * self.dots_each,
        )

    def anchor(self, name: str, place: Place, mark: str = "o") -> None:
        """Its mark, and its name on the side away from the middle."""
        x, y = self.dot(place)
        column, row = round(x) // ACROSS, round(y) // DOWN
        self.canvas.sign(column, row, mark, "anchor")
        left = place[0] < self._middle[0]
        for start, line in (
            (column - len(name) - 1 if left else column + 2, row),
            (column - len(name) // 2, row - 1),
            (column - len(name) // 2, row + 1),
        ):
            if self.canvas.free(start, line, len(name)):
                self.canvas.text(start, line, name, "anchor")
                return


def scale_bars(sheet: Sheet, dots_each: float, size: float, units: Units, width: int, name: str) -> Line:
    """A bar for what is drawn at the anchors, `size` long or longer by a round step, and one for the section."""
    bars = []
    for word, each, unit, least in (
        (name, dots_each, units.small, size),
        ("section", sheet.dots_each, units.large, width / 8 * ACROSS / sheet.dots_each),
    ):
        length = nice_step(least, 1)
        bars.append(f"├{'─' * max(0, round(length * each / ACROSS) - 2)}┤ {length:g} {unit} {word}")
    text = f" {'   '.join(bars)}"
    if len(text) > width:  # half a bar would mislead
        text = f" {bars[0]}"
    return [(text[:width].ljust(width), "quiet")]
