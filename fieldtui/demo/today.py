"""What there is to type in the rest of today's survey, for somebody who tries the program at a desk."""

from __future__ import annotations

from collections.abc import Iterator

from fieldtui.demo.generate import asked_dials, gauge_of
from fieldtui.demo.plan import Planned
from fieldtui.demo.sight import Gauge, Sight
from fieldtui.demo.truth import Truth
from fieldtui.route import Route
from fieldtui.survey import Target, frame_target, zero_target
from fieldtui.survey.target import Part

_HEAD = """INVENTED. What tape, dial and thermometer would show on the demo's route today, to be typed at the prompts.
One chord a line: hole, dial readings (a fourth or fifth where the first three do not agree), tape temperature.
Of the dial zero its one figure.
Type something else as well: a hole too high by one, two digits swapped. See what the program says to it.
"""
_PARTS: tuple[Part, ...] = ("start", "between", "end")
_COLUMNS = "{:<9}{:<8}{:<8}{:<36}{}"


def figures_to_type(truth: Truth, route: Route, today: Planned) -> str:
    """The figures of today's survey as a page of text, the broken-off chord's among them."""
    return "\n".join((_HEAD, *_lines(truth, gauge_of(truth, route, today.label, today.tape), route))) + "\n"


def _lines(truth: Truth, gauge: Gauge, route: Route) -> Iterator[str]:
    yield _COLUMNS.format("station", "chord", "hole", "dials", "temperature")
    if route.controls:
        yield _line(gauge, frame_target("start"), gauge.frame(frame_target("start"), truth.end))
    for station, chord in route.walk():
        target = Target(station.name, chord.name)
        yield _line(gauge, target, gauge.chord(target, truth.end))
    if route.controls:
        yield _line(gauge, frame_target("end"), gauge.frame(frame_target("end"), truth.end))
    for part in _PARTS:
        yield f"{'zero':<9}{part:<8}{gauge.zero(zero_target(part))}"
    yield f"\nFace at {truth.face(truth.end):.1f}."


def _line(gauge: Gauge, target: Target, sight: Sight) -> str:
    place = (target.station, target.chord) if target.is_chord else ("frame", target.part)
    dials = "  ".join(sight.typed(slot) for slot in asked_dials(sight, gauge.extensometer.repeatability))
    return _COLUMNS.format(*place, sight.typed("hole"), dials, sight.typed("temperature")).rstrip()
