"""What deserves a word in a route that can be walked as it is.

Nothing here is refused: rough lengths that disagree with the anchors, chords and frames beyond the tape, anchors out
of reach, certificates that have run out, things that a route usually has and this one has not.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from fieldtui.route.locate import lines_of
from fieldtui.route.model import Chord, Route, Station, Tape
from fieldtui.route.problem import KeyPath, Mistake, Problem, placed

ROUGH = Decimal("0.2")
"""How far a rough length may be from the distance of its anchors, as a share of that distance."""


def advice(route: Route, today: date | None = None) -> tuple[Problem, ...]:
    """Words of advice in order of line. Without `today`, certificates are not looked at."""
    given = [
        *_usual_parts(route),
        *_frequencies(route),
        *_tables(route),
        *_frames(route),
        *_certificates(route, today),
        *_stations(route),
    ]
    if not given:
        return ()
    file = route.path.name if route.path is not None else route.name
    return tuple(sorted(placed(given, lines_of(route.text), file)))


def anchor_distance(station: Station, chord: Chord) -> Decimal:
    """The distance of a chord's anchors by their coordinates, large units."""
    one, other = station.anchor(chord.hook), station.anchor(chord.far)
    return ((one.across - other.across) ** 2 + (one.up - other.up) ** 2).sqrt()


def longest_reading(route: Route) -> Decimal:
    """The longest length that any tape with any extensometer of the route can show, small units."""
    dials = [one.dial_range[1] if one.dial == "adds" else -one.dial_range[0] for one in route.extensometers]
    return max(_last_distance(tape) for tape in route.tapes) + max(dials)


def _last_distance(tape: Tape) -> Decimal:
    return tape.hole_distance(max(tape.table) if tape.table is not None else tape.last_hole)


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


def _tables(route: Route) -> Iterator[Mistake]:
    for place, tape in enumerate(route.tapes):
        if tape.table is not None and len(tape.table) < tape.holes:
            what = f"has {len(tape.table)} of the tape's {tape.holes} holes; the others cannot be booked"
            yield Mistake(("tape", place, "calibration"), what, "complete the table if they are in use")


def _frames(route: Route) -> Iterator[Mistake]:
    longest = longest_reading(route)
    for place, frame in enumerate(route.controls):
        if frame.length > longest:
            what = f"is {frame.length} {route.units.small}, beyond every tape ({longest} {route.units.small})"
            yield Mistake(("control", place, "length"), what, "look at the unit; frames are given as tapes are")


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
    longest = longest_reading(route) / route.units.small_per_large
    for place, station in enumerate(route.stations):
        at: KeyPath = ("station", place)
        for chord_place, chord in enumerate(station.chords):
            yield from _chord(route, station, chord, (*at, "chord", chord_place), longest)
        yield from _reach(route, station, at)


def _chord(route: Route, station: Station, chord: Chord, at: KeyPath, longest: Decimal) -> Iterator[Mistake]:
    large = route.units.large
    distance = anchor_distance(station, chord)
    if chord.length is not None and abs(chord.length - distance) > ROUGH * distance:
        what = f"is {chord.length} {large}, but the anchors are {distance:.2f} {large} apart"
        yield Mistake((*at, "length"), what, "correct the length, or across and up of the anchors")
    length = chord.length if chord.length is not None else distance
    if length > longest:
        what = f"is {length:.2f} {large} long, beyond every tape of this route ({longest:.2f} {large})"
        yield Mistake(at, what, "name a longer tape or another chord")


def _reach(route: Route, station: Station, at: KeyPath) -> Iterator[Mistake]:
    """Anchors that need a platform; `up` is taken to count from the floor one stands on (*common practice*)."""
    if route.standing_reach is None:
        return
    reach = route.standing_reach + (route.pole or 0)
    for place, anchor in enumerate(station.anchors):
        if anchor.up > reach:
            what = f"is {anchor.up} {route.units.large} up, beyond reach and pole ({reach} {route.units.large})"
            yield Mistake((*at, "anchor", place, "up"), what, "plan a platform and fall protection, or a longer pole")
