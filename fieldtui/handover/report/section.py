"""A station's section drawn: anchors at their places, chords between them, the state of each told beside it."""

from __future__ import annotations

from collections.abc import Mapping

from fieldtui.handover.report.svg import ALARM, INK, LEVEL, POINT, QUIET, Figure, as_svg, drawing
from fieldtui.handover.report.words import Words
from fieldtui.handover.texts import visible
from fieldtui.route import Station

_WIDTH, _HEIGHT = 3.6, 2.1
_COLOURS = {"above": ALARM, "cannot tell": LEVEL}


def section_figure(
    station: Station, movements: Mapping[str, str], states: Mapping[str, str], words: Words, name: str
) -> Figure:
    """Looking towards rising chainage. `movements` and `states` are by the chord's name, and may lack some."""
    places = {one.name: (float(one.across), float(one.up)) for one in station.anchors}
    with drawing(_WIDTH, _HEIGHT) as made:
        axes = made.add_subplot()
        for chord in station.chords:
            (x1, y1), (x2, y2) = places[chord.hook], places[chord.far]
            state = states.get(chord.name, "")
            heavy = state in _COLOURS
            colour = _COLOURS.get(state, POINT)
            axes.plot((x1, x2), (y1, y2), color=colour, linewidth=2.2 if heavy else 1.1, solid_capstyle="round")
        for anchor, (x, y) in places.items():
            axes.plot((x,), (y,), marker="o", markersize=5, color=INK)
            axes.annotate(
                visible(anchor), (x, y), xytext=(0, 5), textcoords="offset points", ha="center", va="bottom", fontsize=9
            )
        axes.set_aspect("equal", adjustable="datalim")
        axes.margins(x=0.16, y=0.3)
        large = words.route.units.large
        axes.set_title(
            f"up and across, {large}, looking towards rising chainage", loc="left", fontsize=8, color=QUIET, pad=10
        )
        svg = as_svg(made, name)
    told = "; ".join(f"{chord.name} {movements.get(chord.name, 'not read')}" for chord in station.chords)
    anchors = ", ".join(f"{anchor} at {x:g} across, {y:g} up" for anchor, (x, y) in places.items())
    text = f"Section of station {station.name}, {words.route.units.large}. Anchors: {anchors}. Since start: {told}."
    return Figure(svg, text)
