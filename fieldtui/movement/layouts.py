"""What all layouts of a route can see: stations with the same anchors and chords are told once."""

from __future__ import annotations

from typing import Any

from fieldtui.movement.canvas import as_text
from fieldtui.movement.displacement import NoDisplacements
from fieldtui.movement.ellipses import blocked_sentences, draw_ellipses, sight_lines, unseen_sentences
from fieldtui.movement.sight import sight
from fieldtui.route import Route, Station

WIDTH, _HEIGHT = 78, 18


def layouts(route: Route) -> list[list[Station]]:
    """The stations that have chords, in order, those of one layout together."""
    groups: dict[object, list[Station]] = {}
    for station in route.stations:
        if station.chords and not station.closed:
            anchors = frozenset((one.name, one.across, one.up, one.fixed) for one in station.anchors)
            key = (anchors, tuple(chord.name for chord in station.chords))
            groups.setdefault(key, []).append(station)
    return list(groups.values())


def layout_lines(route: Route, width: int = WIDTH) -> list[str]:
    """Each layout drawn and told, as plain text."""
    lines: list[str] = []
    for group in layouts(route):
        seen = sight(route, group[0])
        lines += [f"Layout of {', '.join(one.name for one in group)}", ""]
        lines += as_text(draw_ellipses(seen, route, width, _HEIGHT)).split("\n")
        lines += [*as_text(sight_lines(seen, route, width)).split("\n"), ""]
    return lines


def layout_objects(route: Route) -> list[dict[str, Any]]:
    """The same for a program. Uncertainties are standard, small units; angles in degrees from across."""
    made = []
    for group in layouts(route):
        seen = sight(route, group[0])
        made.append(
            {
                "stations": [one.name for one in group],
                "tape": seen.planned.tape,
                "extensometer": seen.planned.extensometer,
                "units": route.units.small,
                "change_uncertainty": {name: change.u for name, change in seen.changes.items()},
                "ellipses": [
                    {"anchor": one.anchor, "long": one.long, "short": one.short, "angle": one.angle}
                    for one in seen.ellipses
                ],
                "no_displacements": seen.found.why if isinstance(seen.found, NoDisplacements) else None,
                "unseen": list(unseen_sentences(seen)),
                "blocked": list(blocked_sentences(seen, route)),
            }
        )
    return made
