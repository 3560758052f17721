"""What deserves a word in a route that can be walked as it is.

Nothing here is refused: rough lengths that disagree with the anchors, certificates that have run out, a chord's own
levels milder than those before them, things that a route usually has and this one has not. What is
missing on site is in `site.py`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from fieldtui.route.locate import lines_of
from fieldtui.route.model import Chord, Route, Station
from fieldtui.route.problem import KeyPath, Mistake, Problem, placed
from fieldtui.route.site import anchor_distance, site_advice

ROUGH = Decimal("0.2")
"""How far a rough length may be from the distance of its anchors, as a share of that distance."""


def advice(route: Route, today: date | None = None) -> tuple[Problem, ...]:
    """Words of advice in order of line. Without `today`, certificates are not looked at."""
    given = [
        *_usual_parts(route),
        *_frequencies(route),
        *_tables(route),
        *_certificates(route, today),
        *_same_instruments(route),
        *_stations(route),
        *site_advice(route),
    ]
    if not given:
        return ()
    file = route.path.name if route.path is not None else route.name
    return tuple(sorted(placed(given, lines_of(route.text), file)))


def _usual_parts(route: Route) -> Iterator[Mistake]:
    if not route.controls:
        yield Mistake(("control",), "is not there: nothing proves the instrument", "describe a frame under [[control]]")
    if not route.levels and not any(chord.levels for station in route.stations for chord in station.chords):
        yield Mistake(("level",), "is not there: no movement will be told to anybody", "agree levels for this job")
    if route.pole is not None and route.standing_reach is None:
        yield Mistake(("pole",), "says nothing without standing_reach", "add standing_reach = …")
    if all(station.closed for station in route.stations):
        yield Mistake(("station",), "is closed, every one: there is nothing to walk", "open one of them")


def _frequencies(route: Route) -> Iterator[Mistake]:
    for place, one in enumerate(route.frequencies):
        if one.within is not None and route.excavated_width is None:
            what = "counts in widths of the excavation, and no width is given"
            yield Mistake(("frequency", place, "within"), what, "add excavated_width = …, or it never applies")


def _same_instruments(route: Route) -> Iterator[Mistake]:
    if route.path is None:
        return
    for place, named in enumerate(route.same_instruments):
        if not (route.path.parent / named).is_file():
            what = f"names {named}, and there is no such file: its frame readings and care do not count here"
            yield Mistake(("same_instruments", place), what, "correct the name, as seen from this file's folder")


def _tables(route: Route) -> Iterator[Mistake]:
    for place, tape in enumerate(route.tapes):
        if tape.table is not None and len(tape.table) < tape.holes:
            what = f"has {len(tape.table)} of the tape's {tape.holes} holes; the others cannot be booked"
            yield Mistake(("tape", place, "calibration"), what, "complete the table if they are in use")


def _certificates(route: Route, today: date | None) -> Iterator[Mistake]:
    dated = [
        *((("tape", place), tape.serial, tape.certificate_until) for place, tape in enumerate(route.tapes)),
        *(
            (("extensometer", place), one.serial, one.certificate_until)
            for place, one in enumerate(route.extensometers)
        ),
    ]
    for at, serial, until in dated:
        if today is not None and until is not None and until < today:
            yield Mistake((*at, "certificate_until"), f"ran out on {until}", f"have {serial} calibrated")


def _stations(route: Route) -> Iterator[Mistake]:
    for place, station in enumerate(route.stations):
        for chord_place, chord in enumerate(station.chords):
            at: KeyPath = ("station", place, "chord", chord_place)
            yield from _rough_length(route, station, chord, at)
            yield from _chord_levels(chord, (*at, "level"))
        yield from _unused(station, ("station", place))


def _rough_length(route: Route, station: Station, chord: Chord, at: KeyPath) -> Iterator[Mistake]:
    large = route.units.large
    distance = anchor_distance(station, chord)
    if chord.length is not None and abs(chord.length - distance) > ROUGH * distance:
        what = f"is {chord.length} {large}, but the anchors are {distance:.2f} {large} apart"
        yield Mistake((*at, "length"), what, "correct the length, or across and up of the anchors")


def _chord_levels(chord: Chord, at: KeyPath) -> Iterator[Mistake]:
    """Levels that no order puts right: milder by one kind of figure, more severe by another.

    The later one is told as the more severe. Levels written side by side in a wrong order are refused
    (`level_rules.py`).
    """
    reached: dict[str, tuple[Decimal, str]] = {}
    milder: dict[str, str] = {}
    for level in chord.levels:
        for figure, value in (("closing", level.closing), ("opening", level.opening), ("rate", level.rate)):
            if value is not None:
                if figure in reached and value < reached[figure][0]:
                    milder.setdefault(level.name, reached[figure][1])
                reached[figure] = (value, level.name)
    for name, before in milder.items():
        what = f'has level "{name}" count as more severe than "{before}", and one of its figures is lower'
        yield Mistake(at, what, "raise that figure, or give it to a level of its own")


def _unused(station: Station, at: KeyPath) -> Iterator[Mistake]:
    used = {end for chord in station.chords for end in (chord.hook, chord.far)}
    for place, anchor in enumerate(station.anchors):
        if anchor.name not in used and not station.closed:
            what = f'"{anchor.name}" is the end of no chord: nothing is read there'
            yield Mistake((*at, "anchor", place), what, "add a chord to it, or do not set it")
